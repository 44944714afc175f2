import { expect, test } from 'vitest'
import { alignmentRecorded as check } from '../../../src/checks/completeness/alignment-recorded.ts'
import type { DocumentFacts, OperationReading } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { general, generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'
import { makeInvoice, makeRecord, makeUnread } from './documents.ts'

const judge = (documents: DocumentFacts[], declaration: Partial<Declaration> | null = null) =>
  runCheck(check, makePacket(documents, { declaration }), generalParameters(check.id), general.procedures)
const messages = (...args: Parameters<typeof judge>) => judge(...args).map(({ message }) => message)

const alignment: Partial<OperationReading> = { text: 'Four-wheel alignment', kind: 'alignment', calls: [] }
const arm: Partial<OperationReading> = { text: 'Left front lower control arm, replace', kind: 'repair', calls: [] }
const estimate = (...operations: Partial<OperationReading>[]): DocumentFacts => ({
  ...makeInvoice(...operations.map((operation) => ({ ...operation, billed: false }))),
  kind: 'estimate',
  file: 'estimate.pdf',
})
const printout = makeDocument('alignment', 'align.pdf', { alignment: { values: [], outcome: 'completed' } })

test('recorded, whoever asks for it', () => {
  for (const asked of [makeInvoice(alignment), estimate(alignment), makeInvoice(arm)])
    expect(messages([asked, printout])).toEqual(['recorded'])
})

test('not recorded: charged, estimated, usual, declared', () => {
  expect(messages([makeInvoice(alignment)])).toEqual(['billed'])
  expect(messages([estimate(alignment)])).toEqual(['estimated'])
  expect(messages([makeInvoice(arm)])).toEqual(['usual'])
  expect(messages([], { repairs: [{ what: 'Wheel alignment, four wheels' }] })).toEqual(['missing'])
  expect(messages([], { repairs: [{ what: 'Right tie rod replaced' }] })).toEqual(['usual'])
})

test('what is charged is left to the check of charges, declared or not', () => {
  expect(messages([makeInvoice(alignment)], { repairs: [{ what: 'Wheel alignment' }] })).toEqual(['billed'])
})

test('a calibration that relies on it is the reason', () => {
  const [outcome] = judge([makeInvoice(arm), makeRecord('a.pdf')])
  expect(outcome?.working).toMatchObject([{ data: { calibration: 'front radar, dynamic' } }])
  expect(outcome?.sources?.join()).toContain('thrust line')
  const angle = makeRecord('a.pdf', { sensor: 'steering-angle', method: 'initialisation' })
  expect(judge([makeInvoice(arm), angle])[0]?.working).toEqual([])
})

test('a file that could not be read may be the printout', () => {
  const unread = makeUnread('alignment', 'align.jpg', 'no-text-layer', {
    alignment: { values: [], outcome: 'unknown' },
  })
  expect(messages([makeInvoice(arm), unread])).toEqual(['maybe-unread'])
  expect(messages([makeInvoice(arm), makeUnread('other', 'a.pdf', 'encrypted')])).toEqual(['maybe-unread'])
})

test('nothing calls for one', () => {
  expect(messages([makeInvoice({ text: 'Windshield, replace', kind: 'repair' })])).toEqual(['not-called-for'])
  expect(messages([makeInvoice({ text: 'Strut mount noise, inspect', kind: 'repair' })])).toEqual(['not-called-for'])
  expect(messages([], { repairs: [{ what: 'Camera alignment' }] })).toEqual(['not-called-for'])
})
