import { expect, test } from 'vitest'
import { originalsNotCopies as check } from '../../../src/checks/documents/originals-not-copies.ts'
import type { DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const paper = (kind: DocumentKind, rest: Partial<DocumentFacts> = {}) => makeDocument(kind, 'one.pdf', rest)
const judge = (document: DocumentFacts) => messagesOf(check, makePacket([document]))
const problem = (code: string, pages: string) => ({ code, message: `${pages}: a picture without text.` })

test('a report with text, and what is no report', () => {
  expect(judge(paper('invoice'))).toEqual(['originals'])
  expect(judge(paper('statement', { problems: [problem('no-text-layer', 'Page 1')] }))).toEqual(['no-report'])
  expect(judge(paper('photo', { problems: [problem('no-text-layer', 'Page 1')] }))).toEqual(['no-report'])
  expect(judge(paper('invoice', { problems: [{ code: 'encrypted', message: 'Locked.' }] }))).toEqual(['no-report'])
})

test('a page that is a picture, whether its words were read or not', () => {
  for (const code of ['no-text-layer', 'read-from-picture'])
    expect(judge(paper('other', { problems: [problem(code, 'Page 1')] })), code).toEqual(['picture'])
  const both = [problem('read-from-picture', 'Pages 1-3, 5'), problem('page-without-text', 'Page 4')]
  expect(judge(paper('scan', { pages: 5, problems: both }))).toEqual(['picture'])
})

test('some pages of a report; of what is none, nothing is said', () => {
  const rest = { pages: 4, problems: [problem('page-without-text', 'Pages 2-3')] }
  const [outcome] = runCheck(check, makePacket([paper('calibration', rest)]))
  expect(outcome).toMatchObject({ message: 'some-pages', data: { because: ['pages 2-3'] } })
  expect(judge(paper('other', rest))).toEqual(['no-report'])
})

test('a photo of a report, and photos of a label or a bay', () => {
  const photo = { taken: null, location: null }
  const media = 'image/jpeg'
  expect(judge(makeDocument('calibration', 'p.jpg', { media, photo }))).toEqual(['photographed'])
  expect(judge(makeDocument('photo', 'p.jpg', { media, photo }))).toEqual(['no-report'])
})
