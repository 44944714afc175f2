import { expect, test } from 'vitest'
import { vinPresent } from '../../../src/checks/identity/vin-present.ts'
import type { DocumentKind } from '../../../src/facts/document.ts'
import type { Track } from '../../../src/facts/reading.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

test('every record shows a VIN or a part of it', () => {
  const packet = makePacket([
    makeDocument('pre-scan', 'a.pdf'),
    makeDocument('calibration', 'b.pdf', { vin: '000421' }),
  ])
  expect(runCheck(vinPresent, packet)[0]).toMatchObject({ message: 'present', data: { files: ['a.pdf', 'b.pdf'] } })
})

test.each<[DocumentKind, string]>([
  ['pre-scan', 'record-without'],
  ['post-scan', 'record-without'],
  ['scan', 'record-without'],
  ['calibration', 'record-without'],
  ['alignment', 'record-without'],
  ['invoice', 'paper-without'],
  ['estimate', 'paper-without'],
  ['drive-log', 'paper-without'],
])('a %s without a VIN', (kind, message) => {
  const packet = makePacket([makeDocument(kind, 'a.pdf', { vin: undefined }), makeDocument('pre-scan', 'b.pdf')])
  expect(runCheck(vinPresent, packet)).toMatchObject([{ state: 'unmet', message, evidence: [{ file: 'a.pdf' }] }])
})

test('a file that was not read may show one', () => {
  const problems = [{ code: 'no-text-layer', message: 'a picture' }]
  const packet = makePacket([makeDocument('post-scan', 'a.pdf', { vin: undefined, problems })])
  expect(messagesOf(vinPresent, packet)).toEqual(['unread'])
})

test('photos and letters need none', () => {
  const packet = makePacket([makeDocument('photo', 'a.jpg', { vin: undefined })])
  expect(messagesOf(vinPresent, packet)).toEqual(['no-records'])
})

test('a log of NMEA sentences has no place for one, and none is missed in it', () => {
  const log = makeDocument('drive-log', 'drive.nmea', { vin: undefined, media: 'text/x-nmea' })
  expect(messagesOf(vinPresent, makePacket([log, makeDocument('pre-scan', 'b.pdf')]))).toEqual(['present'])
})

test('a log of samples without a head has no place for a VIN; one with a head has', () => {
  const log = makeDocument('drive-log', 'drive.csv', { vin: undefined, media: 'text/csv' })
  const judge = (header: Record<string, string>) => {
    const track = { clock: 'utc', offset: null, startedLocal: null, points: [], rejected: 0, header } satisfies Track
    const content = { 'drive.csv': { lines: [], pageNumbers: [], information: null, track } }
    return runCheck(vinPresent, makePacket([log, makeDocument('invoice', 'i.pdf')], { content })).map(
      ({ message }) => message,
    )
  }
  expect(judge({})).toEqual(['present'])
  expect(judge({ Job: '4471' })).toEqual(['paper-without'])
})
