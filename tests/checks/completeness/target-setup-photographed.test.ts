import { expect, test } from 'vitest'
import { targetSetupPhotographed as check } from '../../../src/checks/completeness/target-setup-photographed.ts'
import type { CalibrationReading, DocumentFacts, PhotoSubject } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeRecord, makeUnread } from './documents.ts'

const parameters = generalParameters('target-setup-photographed')
const record = (rest: Partial<CalibrationReading> = {}) =>
  makeRecord('front.pdf', { sensor: 'front-camera', method: 'static', ...rest })

function photo(file: string, shows?: PhotoSubject['shows'], from: PhotoSubject['from'] = 'name'): DocumentFacts {
  const subject = shows === undefined ? {} : { subject: { shows, from, text: file } }
  return makeDocument('photo', file, {
    vin: undefined,
    media: 'image/jpeg',
    photo: { taken: null, location: null, ...subject },
  })
}
const judge = (...documents: DocumentFacts[]) => runCheck(check, makePacket(documents), parameters)
const say = (...documents: DocumentFacts[]) => messagesOf(check, makePacket(documents), parameters)

test('a photo that is named so, or whose caption says so', () => {
  expect(judge(record(), photo('target 1.jpg', 'targets'), photo('a.jpg'))).toMatchObject([
    {
      state: 'met',
      message: 'photographed',
      data: { files: ['target 1.jpg'], calibrations: ['front camera, static'], told: 'name' },
    },
  ])
  expect(judge(record(), photo('a.jpg', 'targets', 'caption'), photo('target.jpg', 'targets'))).toMatchObject([
    { data: { told: 'name and caption' } },
  ])
})

test('no photo at all', () => {
  const outcomes = judge(record(), makeDocument('invoice', 'invoice.pdf'))
  expect(outcomes).toMatchObject([{ state: 'unmet', message: 'no-photo', evidence: [{ file: 'front.pdf' }] }])
})

test('photos of other things alone', () => {
  expect(judge(record(), photo('vin.jpg', 'other'), photo('b.jpg', 'other', 'bar-code'))).toMatchObject([
    { state: 'unmet', message: 'others-only', data: { files: ['b.jpg', 'vin.jpg'] } },
  ])
})

test('one photo of which nobody can tell leaves it open', () => {
  expect(judge(record(), photo('vin.jpg', 'other'), photo('IMG_0412.jpg'))).toMatchObject([
    { state: 'undecided', message: 'cannot-tell', data: { files: ['IMG_0412.jpg'] } },
  ])
})

test('so does a file whose pictures were not read', () => {
  expect(say(record(), makeUnread('other', 'scan.pdf'))).toEqual(['maybe-unread'])
  expect(say(record(), photo('vin.jpg', 'other'), makeUnread('invoice', 'bill.pdf', 'encrypted'))).toEqual([
    'maybe-unread',
  ])
})

test.each<[string, Partial<CalibrationReading>]>([
  ['on the road', { method: 'dynamic' }],
  ['by an unknown method', { method: 'unknown' }],
  ['of a sensor without targets', { sensor: 'steering-angle' }],
  ['that was not performed', { outcome: 'not-performed' }],
])('a calibration %s asks for no photo', (_, rest) => {
  expect(say(record(rest))).toEqual(['nothing-at-standstill'])
})

test('a bill is no record of one', () => {
  const calibrations = record().calibrations ?? []
  expect(say(makeDocument('invoice', 'invoice.pdf', { calibrations }))).toEqual(['nothing-at-standstill'])
})

test('what packet.yaml declares of a photo is a source that is named', () => {
  expect(judge(record(), photo('IMG_2.jpg', 'targets', 'declared'))).toMatchObject([
    { state: 'met', message: 'photographed', data: { told: 'packet.yaml' } },
  ])
  expect(say(record(), photo('targets.jpg', 'other', 'declared'))).toEqual(['others-only'])
})
