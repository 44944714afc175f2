import { expect, test } from 'vitest'
import { noActiveContent as check } from '../../../src/checks/documents/no-active-content.ts'
import type { PdfActive } from '../../../src/facts/pdf-history.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const found = (rest: Partial<PdfActive> = {}): PdfActive => ({
  kind: 'script',
  text: 'app.alert(1)',
  where: 'when the file is opened',
  page: null,
  object: 7,
  ...rest,
})
const file = (active: PdfActive[] | null) =>
  makeDocument('invoice', 'bill.pdf', { pdf: { revisions: [], marks: [], active } })
const judge = (active: PdfActive[] | null) => messagesOf(check, makePacket([file(active)]))

test('nothing, something, and what could not be told', () => {
  expect(judge([])).toEqual(['none'])
  expect(judge([found()])).toEqual(['acts'])
  expect(judge(null)).toEqual(['not-followed'])
  expect(messagesOf(check, makePacket([makeDocument('invoice', 'a.pdf')]))).toEqual(['not-followed'])
  expect(messagesOf(check, makePacket([makeDocument('scan', 'a.csv', { media: 'text/csv' })]))).toEqual(['no-pdf'])
})

test('each is named with its place', () => {
  const link = found({ kind: 'launch', text: 'run.exe', where: 'an annotation (Link) on page 2', page: 2 })
  const [outcome] = runCheck(check, makePacket([file([found(), link])]))
  expect(outcome?.data.what).toEqual([
    'a script “app.alert(1)” (when the file is opened, object 7)',
    'starting a program “run.exe” (an annotation (Link) on page 2, object 7)',
  ])
  expect(outcome?.evidence.map(({ page }) => page)).toEqual([undefined, 2])
})

test('the data of an electronic invoice is told as such; other attached files are not', () => {
  const data = found({ kind: 'file', text: 'invoice.xml', relation: 'Alternative', media: 'text/xml' })
  expect(judge([data])).toEqual(['data-attached'])
  expect(judge([{ ...data, relation: 'Supplement' }])).toEqual(['attached'])
  expect(judge([{ ...data, text: 'scan.zip', media: 'application/zip' }])).toEqual(['attached'])
  expect(judge([data, found()])).toEqual(['acts', 'data-attached'])
})
