import { expect, test } from 'vitest'
import { procedureCited as check } from '../../../src/checks/completeness/procedure-cited.ts'
import type { CalibrationReading } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeRecord } from './documents.ts'

const general = generalParameters(check.id)
const messages = (...readings: Partial<CalibrationReading>[]) =>
  messagesOf(check, makePacket(readings.map((reading, at) => makeRecord(`${at}.pdf`, reading))), general)

test.each([
  ['NSI 66-0412, issued 2026-02-03', 'cited'],
  ['VSP 57-44 of March 9, 2026', 'cited'],
  ['TB 41-07, 10/2025', 'cited'],
  ['MRI 32-11, 15.04.2026', 'cited'],
  ['SI 86-2214', 'undated'],
  ['workshop manual', 'no-document'],
  [undefined, 'not-cited'],
])('%s: %s', (procedure, message) => {
  expect(messages(procedure === undefined ? {} : { procedure })).toEqual([message])
})

test('several calibrations of one file lack it together', () => {
  const [first] = makeRecord('a.pdf').calibrations ?? []
  const [second] = makeRecord('a.pdf', { sensor: 'front-camera', method: 'static' }).calibrations ?? []
  if (!first || !second) throw new Error('no calibrations')
  const record = makeDocument('calibration', 'a.pdf', { calibrations: [first, second] })
  expect(runCheck(check, makePacket([record]), general)).toMatchObject([
    { message: 'not-cited', data: { calibrations: ['front radar, dynamic', 'front camera, static'] } },
  ])
})

test('a zero point set, an unread record and none', () => {
  expect(messages({ method: 'initialisation', sensor: 'steering-angle' })).toEqual(['no-record'])
  const problems = [{ code: 'page-unread', message: 'A page could not be read.' }]
  expect(messagesOf(check, makePacket([makeRecord('a.pdf', {}, { problems })]), general)).toEqual(['unread'])
  expect(messages()).toEqual(['no-record'])
})
