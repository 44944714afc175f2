import { describe, expect, it } from 'vitest'
import { documentClock, readFace } from '../../src/packet/clocks.ts'
import { at, dacet, file } from './invented.ts'

const hour = 3_600_000
const iso = (milliseconds: number): string => new Date(milliseconds).toISOString()

describe('the clock of a document', () => {
  it('is the instrument by its serial, however that is spaced', () => {
    const one = documentClock(file('a.pdf', 'scan', { instrument: dacet }))
    const other = documentClock(file('b.pdf', 'calibration', { instrument: { serial: 'a 01977' } }))
    expect(one).toEqual({ id: 'instrument:A01977', kind: 'instrument', label: 'Dacet 640 A-01977' })
    expect(other.id).toBe(one.id)
  })

  it('is the instrument by its name where no serial is printed, and then another one', () => {
    expect(documentClock(file('a.pdf', 'scan', { instrument: { name: 'Dacet  640' } })).id).toBe('instrument:dacet 640')
  })

  it('is its own where a record names no instrument', () => {
    expect(documentClock(file('a.pdf', 'scan')).id).not.toBe(documentClock(file('b.pdf', 'scan')).id)
  })

  it.each([
    ['estimate', 'office'],
    ['invoice', 'office'],
    ['statement', 'office'],
    ['alignment', 'instrument'],
    ['drive-log', 'logger'],
    ['photo', 'camera'],
  ] as const)('of kind %s is of kind %s', (kind, clock) => {
    expect(documentClock(file('x', kind)).kind).toBe(clock)
  })

  it('is a satellite receiver for tracks in UTC', () => {
    const drive = { durationSeconds: null, distanceMetres: null, points: 9, movingSeconds: null, meanSpeedKmh: null }
    const rest = { maxSpeedKmh: null, start: null, end: null, ended: null }
    const started = at('2026-05-21T20:00:00+00:00')
    expect(documentClock(file('a.csv', 'drive-log', { drive: { ...drive, ...rest, started } })).kind).toBe('receiver')
    expect(documentClock(file('a.gpx', 'drive-log', { media: 'application/gpx+xml' })).kind).toBe('receiver')
  })
})

describe('the face of a reading', () => {
  it('is in UTC by a printed offset, a declared zone, or a zone word that may mean several', () => {
    const printed = readFace(at('2026-05-21T14:05-06:00'), 'Asia/Tokyo', 'unused')
    expect([iso(printed.first), iso(printed.last), printed.zoneNote]).toEqual([
      '2026-05-21T20:05:00.000Z',
      '2026-05-21T20:05:59.999Z',
      '',
    ])
    const declared = readFace(at('2026-05-21T14:05:07'), 'America/Denver', 'as declared')
    expect([iso(declared.first), iso(declared.last), declared.zoneNote]).toEqual([
      '2026-05-21T20:05:07.000Z',
      '2026-05-21T20:05:07.999Z',
      'as declared',
    ])
    const word = { ...at('2026-05-21T14:05'), earliest: '2026-05-21T19:05:00Z', latest: '2026-05-21T20:05:59Z' }
    const several = readFace(word, null, '')
    expect([several.frame, iso(several.first), iso(several.last)]).toEqual([
      'utc',
      '2026-05-21T19:05:00.000Z',
      '2026-05-21T20:05:59.999Z',
    ])
  })

  it('is local where no zone is known', () => {
    const face = readFace(at('2026-05-21'), null, '')
    expect(face).toMatchObject({ frame: 'local', wholeDay: true })
    expect(face.last - face.first).toBe(24 * hour - 1)
  })

  it('spans every meaning of a day and month that cannot be told apart', () => {
    const either = { ...at('2026-03-04'), local: null, alternatives: ['2026-03-04', '2026-04-03'] }
    const face = readFace(either, 'Etc/UTC', '')
    expect([iso(face.first), iso(face.last)]).toEqual(['2026-03-04T00:00:00.000Z', '2026-04-03T23:59:59.999Z'])
  })
})
