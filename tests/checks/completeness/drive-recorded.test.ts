import { expect, test } from 'vitest'
import { driveRecorded } from '../../../src/checks/completeness/drive-recorded.ts'
import type { DocumentFacts, DriveReading } from '../../../src/facts/document.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'
import { makeRecord, makeUnread } from './documents.ts'

const judge = (...documents: DocumentFacts[]) => runCheck(driveRecorded, makePacket(documents))
const messages = (...documents: DocumentFacts[]) => judge(...documents).map((outcome) => outcome.message)

const at = (time: string) => makeDate(`2026-10-20T${time}`)
const drive: DriveReading = {
  started: at('14:05'),
  ended: at('14:16'),
  durationSeconds: 660,
  distanceMetres: 8000,
  points: 661,
  movingSeconds: 640,
  meanSpeedKmh: 60,
  maxSpeedKmh: 70,
  start: null,
  end: null,
}
const log = makeDocument('drive-log', 'drive.gpx', { vin: undefined, drive })

test('a log of the drive', () => {
  expect(judge(makeRecord('a.pdf'), log)).toMatchObject([
    {
      state: 'met',
      message: 'logged',
      data: { calibration: 'dynamic calibration of the front radar', files: ['drive.gpx'] },
    },
  ])
})

test.each([
  ['start and end', { started: at('14:05'), ended: at('14:16') }],
  ['start and duration', { started: at('14:05'), durationSeconds: 660 }],
  ['end and duration', { ended: at('14:16'), durationSeconds: 660 }],
])('%s, and no log', (_, times) => {
  expect(judge(makeRecord('a.pdf', times))).toMatchObject([{ state: 'unmet', message: 'times-only' }])
})

test('times that another file states', () => {
  const note = makeDocument('statement', 'note.txt', { drive: { ...drive, points: 0 } })
  expect(judge(makeRecord('a.pdf'), note)).toMatchObject([{ message: 'times-only', data: { files: ['note.txt'] } }])
})

test('neither log nor times', () => {
  expect(judge(makeRecord('a.pdf', { durationSeconds: 660 }))).toMatchObject([{ state: 'unmet', message: 'missing' }])
})

test('the log may be a file that was not read', () => {
  expect(messages(makeRecord('a.pdf'), makeUnread('drive-log', 'drive.csv', 'damaged'))).toEqual(['maybe-unread'])
  expect(messages(makeRecord('a.pdf'), makeUnread('other', 'x.bin', 'unknown-format'))).toEqual(['maybe-unread'])
})

test('each dynamic calibration is asked for', () => {
  const camera = makeRecord('b.pdf', { sensor: 'front-camera', started: at('15:00'), ended: at('15:10') })
  expect(messages(makeRecord('a.pdf'), camera)).toEqual(['missing', 'times-only'])
})

test('without a dynamic calibration no drive is called for', () => {
  expect(messages(makeRecord('a.pdf', { method: 'static' }))).toEqual(['not-applicable'])
  expect(messages(makeRecord('a.pdf', { outcome: 'not-performed' }))).toEqual(['not-applicable'])
  expect(messages(makeRecord('a.pdf', { method: 'unknown' }))).toEqual(['method-unknown'])
})
