import { expect, test } from 'vitest'
import { odometerRunsForward } from '../../../src/checks/identity/odometer-runs-forward.ts'
import type { DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDate, makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('odometer-runs-forward')

type Unit = 'mi' | 'km' | null

function reading(hour: number, value: number, unit: Unit = 'mi', kind: DocumentKind = 'scan'): DocumentFacts {
  const date = makeDate(`2026-10-20T${String(hour).padStart(2, '0')}:00-06:00`)
  return makeDocument(kind, `${hour}.pdf`, { odometer: { value, unit }, date })
}
const judge = (...documents: DocumentFacts[]) => runCheck(odometerRunsForward, makePacket(documents), parameters)
const messages = (...documents: DocumentFacts[]) => judge(...documents).map((outcome) => outcome.message)

test('forward, across units', () => {
  const [outcome] = judge(reading(8, 48211), reading(10, 77593, 'km'), reading(12, 48215))
  expect(outcome).toMatchObject({ message: 'forward', data: { count: 3, first: '48211 mi', last: '48215 mi' } })
})

test('backwards is told with both places', () => {
  expect(judge(reading(8, 48211), reading(12, 48200))).toMatchObject([
    {
      state: 'unmet',
      message: 'backwards',
      data: { earlier: '48211 mi', earlierFile: '8.pdf', later: '48200 mi', laterFile: '12.pdf' },
      evidence: [{ file: '8.pdf' }, { file: '12.pdf' }],
    },
  ])
})

test('one unit of the coarser reading is rounding; two are not', () => {
  expect(messages(reading(8, 48211), reading(12, 48210))).toEqual(['forward'])
  expect(messages(reading(8, 48211), reading(12, 48209))).toEqual(['backwards'])
  // 48211 mi = 77588.1 km, by the international mile of 1.609344 km.
  expect(messages(reading(8, 48211), reading(12, 77587, 'km'))).toEqual(['forward'])
  expect(messages(reading(8, 48211), reading(12, 77586, 'km'))).toEqual(['backwards'])
})

test('kilometres taken for miles would run backwards', () => {
  expect(messages(reading(8, 77593, 'km'), reading(12, 48215))).toEqual(['forward'])
  expect(messages(reading(8, 77593, 'mi'), reading(12, 48215))).toEqual(['backwards'])
})

test('one misread number is blamed once', () => {
  const outcomes = judge(reading(8, 48211), reading(9, 84211), reading(10, 48212), reading(11, 48213))
  expect(outcomes).toMatchObject([{ message: 'backwards', data: { earlierFile: '9.pdf' } }])
})

test('a rise beyond what the work explains', () => {
  expect(messages(reading(8, 48211), reading(12, 48261))).toEqual(['forward'])
  expect(judge(reading(8, 48211), reading(12, 48262))).toMatchObject([
    { message: 'jump', data: { explainedMiles: 50 } },
  ])
})

test('a logged drive explains its distance', () => {
  const drive = {
    started: null,
    ended: null,
    durationSeconds: null,
    distanceMetres: 20 * 1609.344,
    points: 900,
    movingSeconds: null,
    meanSpeedKmh: null,
    maxSpeedKmh: null,
    start: null,
    end: null,
  }
  const log = makeDocument('drive-log', 'drive.gpx', { drive })
  expect(messages(reading(8, 48211), reading(12, 48270), log)).toEqual(['forward'])
  expect(messages(reading(8, 48211), reading(12, 48290), log)).toEqual(['jump'])
})

test('from an estimate on, the owner may have driven it', () => {
  expect(messages(reading(8, 48000, 'mi', 'estimate'), reading(12, 48211))).toEqual(['forward'])
})

test('the order of events is the timeline’s, not that of the files', () => {
  const documents = [reading(8, 48215), reading(12, 48211)]
  const events = [
    makeEvent('pre-scan-1', '2026-10-20T08:00:00Z', undefined, { file: '12.pdf' }),
    makeEvent('post-scan-1', '2026-10-20T12:00:00Z', undefined, { file: '8.pdf' }),
  ]
  expect(messagesOf(odometerRunsForward, makePacket(documents, { events }), parameters)).toEqual(['forward'])
})

test('a reading that cannot be placed in time leaves it open, unless it says the same', () => {
  const undated = (value: number) => makeDocument('invoice', 'x.pdf', { odometer: { value, unit: 'mi' } })
  expect(messages(reading(8, 48211), undated(48215))).toEqual(['order-unknown'])
  expect(messages(reading(8, 48211), undated(48211))).toEqual(['forward'])
})

test('a number without a unit', () => {
  expect(messages(reading(8, 48211), reading(12, 48212, null))).toEqual(['forward'])
  expect(messages(reading(8, 48211, null), reading(12, 48200, null))).toEqual(['backwards'])
  expect(messages(reading(8, 48211), reading(10, 77593, 'km'), reading(12, 48212, null))).toEqual([
    'unit-unknown',
    'forward',
  ])
})

test('fewer than two readings compare with nothing', () => {
  expect(messages(reading(8, 48211))).toEqual(['one-reading'])
  expect(messages(makeDocument('scan', 'a.pdf'))).toEqual(['no-reading'])
})
