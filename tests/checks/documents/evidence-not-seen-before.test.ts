import { describe, expect, test } from 'vitest'
import { evidenceNotSeenBefore as check } from '../../../src/checks/documents/evidence-not-seen-before.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { ArchiveAnswer, OtherPacket, SeenBefore } from '../../../src/packet/packet.ts'
import { general, generalParameters } from '../general.ts'
import { makeDate, makeDocument, makePacket, type PacketParts, vin } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const parameters = generalParameters(check.id)
const theirs: OtherPacket = { accession: '2026-0007', vin: '7XMTD4FE4PA207483', job: 'RO20011', shop: null }
const answer = (seen: readonly SeenBefore[], rest: Partial<ArchiveAnswer> = {}): ArchiveAnswer => ({
  archive: 'archive.example/bay',
  packets: 40,
  seen,
  elsewhere: [],
  engagements: 0,
  ...rest,
})

const judge = (documents: DocumentFacts[], archive: ArchiveAnswer | undefined, parts: PacketParts = {}) => {
  const packet = makePacket(documents, parts)
  return runCheck(check, archive === undefined ? packet : { ...packet, archive }, parameters)
}

const scan = makeDocument('post-scan', 'post.pdf', { vin: undefined })
const photo = (taken: string | null) =>
  makeDocument('photo', 'setup.jpg', {
    vin: undefined,
    photo: { taken: taken === null ? null : makeDate(taken), location: null },
  })
const same = (file: string, other = theirs): SeenBefore => ({ what: 'file', file, other, otherFile: 'scan 2.pdf' })
const text = (measure: number, agreeing: number, differing: number): SeenBefore => ({
  ...same('post.pdf'),
  what: 'text',
  measure,
  marks: { agreeing, differing, names: ['time', 'volts', 'calibration.0.2 yaw'] },
})
const picture = (measure: number, moment: SeenBefore['moment']): SeenBefore => ({
  ...same('setup.jpg'),
  what: 'picture',
  measure,
  ...(moment && { moment }),
})
const drive = (correlation: number, metresPerSecond: number, degrees: number | null): SeenBefore => ({
  ...same('drive.gpx'),
  what: 'track',
  drive: { correlation, metresPerSecond, movingSeconds: 700, degrees },
})
const log = makeDocument('drive-log', 'drive.gpx', { vin: undefined })

describe('undecided', () => {
  test.each<[string, ArchiveAnswer | undefined, string]>([
    ['no archive was asked', undefined, 'not-asked'],
    ['the archive is empty', answer([], { packets: 0 }), 'nothing-to-compare'],
    ["the other packet's vehicle is unknown", answer([same('post.pdf', { ...theirs, vin: null })]), 'vehicle-unclear'],
    [
      'the other number is nearly the same, so one may be misread',
      answer([same('post.pdf', { ...theirs, vin: vin.replace('421', '427') })]),
      'vehicle-unclear',
    ],
  ])('%s', (_, archive, message) => {
    expect(judge([scan], archive)).toMatchObject([{ state: 'undecided', message }])
  })

  test('the other packet is of the same job', () => {
    const declaration = { job: 'RO-20011' }
    expect(judge([scan], answer([same('post.pdf')]), { declaration })).toMatchObject([{ message: 'vehicle-unclear' }])
  })
})

describe('met', () => {
  test('nothing was seen', () => {
    const data = { files: 1, packets: 40, archive: 'archive.example/bay' }
    expect(judge([scan], answer([]))).toMatchObject([{ state: 'met', message: 'not-seen', data }])
  })

  test("the vehicle's own earlier packet", () => {
    const archive = answer([same('post.pdf', { ...theirs, vin })])
    expect(judge([scan], archive)).toMatchObject([
      { state: 'met', message: 'own-earlier', data: { others: ['2026-0007'] } },
    ])
  })

  test.each<[string, SeenBefore]>([
    ['a report that shares its words and little else', text(0.9, 12, 0)],
    ['a report of which as much differs as agrees', text(0.9, 24, 18)],
    ['a report that shares hardly a value', text(0.3, 24, 0)],
  ])('%s', (_, match) => {
    expect(judge([scan], answer([match]))).toMatchObject([{ message: 'not-seen' }])
  })

  test('two drives over one road', () => {
    for (const match of [drive(0.991, 0.8, 1), drive(0.999, 0.2, 90)])
      expect(judge([log], answer([match]))).toMatchObject([{ message: 'not-seen' }])
  })

  test('a manual or statement that many packets hold', () => {
    const manual = makeDocument('other', 'target manual.pdf', { vin: undefined })
    expect(judge([manual], answer([same('target manual.pdf')]))).toMatchObject([{ message: 'not-seen' }])
  })

  test('an invoice for several vehicles, this one among them', () => {
    const invoice = makeDocument('invoice', 'invoice.pdf', { vins: [{ value: vin, evidence: [] }] })
    expect(judge([invoice], answer([same('invoice.pdf')]))).toMatchObject([{ message: 'not-seen' }])
  })
})

describe('unmet', () => {
  test.each<[string, DocumentFacts, SeenBefore, string, 'warn' | 'fail']>([
    ['a scan of another vehicle', scan, same('post.pdf'), 'same-file', 'fail'],
    ['a drive log of another vehicle', log, same('drive.gpx'), 'same-file', 'fail'],
    ['a photo with the data of its camera', photo('2026-03-14T10:00:00'), same('setup.jpg'), 'same-file', 'fail'],
    ['a photo without them', photo(null), same('setup.jpg'), 'same-picture', 'warn'],
    [
      'an invoice that names no vehicle',
      makeDocument('invoice', 'i.pdf', { vin: undefined }),
      same('i.pdf'),
      'same-paper',
      'warn',
    ],
    [
      'a record of this vehicle in the packet of another',
      makeDocument('scan', 's.pdf'),
      same('s.pdf'),
      'names-this-vehicle',
      'warn',
    ],
    ['a report under another heading', scan, text(0.98, 42, 0), 'same-report', 'fail'],
    ['a report with a few values changed', scan, text(0.7, 42, 9), 'near-report', 'warn'],
    ['a report of which too little is told to be sure', scan, text(0.98, 22, 0), 'near-report', 'warn'],
    ['a picture saved again', photo(null), picture(1.2, 'unknown'), 'same-picture', 'warn'],
    ['a picture of the same second', photo(null), picture(1.2, 'same'), 'same-shot', 'fail'],
    ['a drive under another date', log, drive(0.999, 0.1, null), 'same-drive', 'fail'],
  ])('%s', (_, document, match, message, verdict) => {
    expect(judge([document], answer([match]))).toMatchObject([
      { state: 'unmet', message, data: { other: '2026-0007', otherVin: theirs.vin, file: document.file } },
    ])
    expect(general.rules[check.id]?.severity[message]).toBe(verdict)
  })

  test('the gravest of what is found of a file is told, and each file once', () => {
    const found = judge([scan, photo(null)], answer([text(0.98, 22, 0), same('post.pdf'), picture(1, 'unknown')]))
    expect(found.map(({ message }) => message)).toEqual(['same-file', 'same-picture'])
  })
})

test('pictures that look alike and are of another time, or are kept for every job, are for a person to judge', () => {
  expect(judge([photo(null)], answer([picture(2, 'another')]))).toMatchObject([
    { state: 'undecided', message: 'other-moment' },
  ])
  const vins = ['7XMTD4FE4PA207483', '7XKFA2GJ6MK330917', '5W9HA4E2XNB104472']
  const many = vins.map((one, at) => same('setup.jpg', { ...theirs, accession: `2026-000${at}`, vin: one }))
  expect(judge([photo(null)], answer(many))).toMatchObject([
    { state: 'undecided', message: 'kept-for-many', data: { vehicles: 3 } },
  ])
  // With the data of a camera it is a photo of one moment, in however many packets it stands.
  expect(judge([photo('2026-03-14T10:00:00')], answer(many))).toMatchObject([{ message: 'same-file' }])
})
