import { expect, test } from 'vitest'
import { calibrationRecorded } from '../../../src/checks/completeness/calibration-recorded.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'
import { makeInvoice, makeRecord, makeUnread, photo } from './documents.ts'

function judge(declaration: Partial<Declaration> | null, ...documents: DocumentFacts[]) {
  return runCheck(calibrationRecorded, makePacket(documents, { declaration }))
}
const messages = (...args: Parameters<typeof judge>) => judge(...args).map((outcome) => outcome.message)

const dynamic: Partial<Declaration> = { calibrations: [{ sensor: 'front-radar', method: 'dynamic' }] }
const both: Partial<Declaration> = {
  calibrations: [
    { sensor: 'front-radar', method: 'static' },
    { sensor: 'front-radar', method: 'dynamic' },
  ],
}
const left: Partial<Declaration> = { calibrations: [{ sensor: 'corner-radar', position: 'left' }] }

test('a declared calibration and its record', () => {
  expect(judge(dynamic, makeRecord('a.pdf'))).toMatchObject([
    {
      state: 'met',
      message: 'recorded',
      data: { calibration: 'dynamic calibration of the front radar', files: ['a.pdf'] },
    },
  ])
})

test('a declared calibration without one', () => {
  const outcomes = judge(dynamic, makeRecord('a.pdf', { sensor: 'steering-angle', method: 'initialisation' }))
  expect(outcomes).toMatchObject([{ state: 'unmet', message: 'missing', evidence: [{ file: 'packet.yaml' }] }])
  expect(messages(dynamic, photo)).toEqual(['missing-but-photos'])
})

test('static and dynamic are two calibrations', () => {
  expect(messages(both, makeRecord('a.pdf'), makeRecord('b.pdf', { method: 'static' }))).toEqual([
    'recorded',
    'recorded',
  ])
  expect(messages(both, makeRecord('a.pdf'))).toEqual(['other-method', 'recorded'])
  expect(messages(both, makeRecord('a.pdf', { method: 'unknown' }))).toEqual([
    'method-or-position-not-stated',
    'method-or-position-not-stated',
  ])
})

test('left is not right', () => {
  const at = (position: string | null) => makeRecord('a.pdf', { sensor: 'corner-radar', position })
  expect(messages(left, at('left'))).toEqual(['recorded'])
  expect(messages(left, at('right'))).toEqual(['mixed-up'])
  expect(messages(left, at(null))).toEqual(['method-or-position-not-stated'])
})

test('a record that says it was not performed is none; a failed one is a record', () => {
  expect(messages(dynamic, makeRecord('a.pdf', { outcome: 'not-performed' }))).toEqual(['not-performed'])
  expect(messages(dynamic, makeRecord('a.pdf', { outcome: 'failed' }))).toEqual(['recorded'])
})

test('a bill, an estimate or a letter is no record', () => {
  const [calibration] = makeRecord('a.pdf').calibrations ?? []
  const letter = makeDocument('statement', 'letter.pdf', calibration ? { calibrations: [calibration] } : {})
  expect(messages(dynamic, letter)).toEqual(['missing'])
})

test('an unread or unrecognised file may be the record', () => {
  expect(messages(dynamic, makeUnread('calibration', 'a.pdf'))).toEqual(['maybe-unread'])
  expect(messages(dynamic, makeUnread('other', 'a.pdf', 'encrypted'))).toEqual(['maybe-unread'])
  expect(messages(dynamic, makeUnread('pre-scan', 'a.pdf', 'damaged'))).toEqual(['missing'])
})

test('a repair’s call requires a record where the calibration is listed too', () => {
  const repair = { text: 'Front bumper cover', kind: 'repair' } as const
  expect(messages(null, makeInvoice(repair, {}))).toEqual(['missing'])
  expect(messages(null, makeInvoice(repair, {}), makeRecord('a.pdf', { method: 'static' }))).toEqual(['recorded'])
  expect(messages(null, makeInvoice(repair))).toEqual(['nothing-required'])
  const notNeeded = { notNeeded: [{ sensor: 'front-radar' as const, because: 'not fitted' }] }
  expect(messages(notNeeded, makeInvoice(repair, {}))).toEqual(['nothing-required'])
})

test('what is listed and nothing else requires is left to billed-is-evidenced', () => {
  expect(messages(null, makeInvoice({}))).toEqual(['listed-not-recorded'])
  expect(messages(null, makeInvoice({}), makeRecord('a.pdf'))).toEqual(['recorded'])
})

test('a declared calibration that is listed too is asked for once', () => {
  expect(messages(both, makeInvoice({}), makeRecord('a.pdf'), makeRecord('b.pdf', { method: 'static' }))).toEqual([
    'recorded',
    'recorded',
  ])
})

test('nothing declared, nothing listed', () => {
  expect(messages(null, makeRecord('a.pdf'))).toEqual(['nothing-required'])
})
