import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import {
  addSeconds,
  boundsOverOffsets,
  compareInstants,
  daysOfDate,
  enclose,
  formatInstant,
  formatOffset,
  instantBounds,
  isKnownZone,
  localOccurrence,
  localSpan,
  minutesOfOffset,
  parseRfc3339,
  secondsBetween,
  secondsOfInstant,
} from '../../src/facts/instant.ts'

describe('RFC 3339', () => {
  // The examples of RFC 3339, section 5.8.
  test.each([
    ['1985-04-12T23:20:50.52Z', '1985-04-12T23:20:50.520Z'],
    ['1996-12-19T16:39:57-08:00', '1996-12-20T00:39:57Z'],
    ['1990-12-31T23:59:60Z', '1991-01-01T00:00:00Z'],
    ['1990-12-31T15:59:60-08:00', '1991-01-01T00:00:00Z'],
    ['1937-01-01T12:00:27.87+00:20', '1937-01-01T11:40:27.870Z'],
  ])('%s', (text, utc) => {
    expect(formatInstant(secondsOfInstant(text))).toBe(utc)
  })

  test('-00:00 says that the offset is unknown (section 4.3)', () => {
    expect(parseRfc3339('1996-12-19T16:39:57-00:00')).toEqual({
      seconds: Date.UTC(1996, 11, 19, 16, 39, 57) / 1000,
      offsetMinutes: null,
      local: '1996-12-19T16:39:57',
    })
    expect(parseRfc3339('1996-12-19T16:39:57+00:00')?.offsetMinutes).toBe(0)
    expect(parseRfc3339('1996-12-19t16:39:57z')?.local).toBe('1996-12-19T16:39:57')
  })

  test.each([
    '2026-02-29T00:00:00Z',
    '2026-13-01T00:00:00Z',
    '2026-03-14T24:00:00Z',
    '2026-03-14T14:60:00Z',
    '2026-03-14T14:05:61Z',
    '2026-03-14T14:05:60Z',
    '2026-03-14T14:05Z',
    '2026-03-14T14:05:00',
    '2026-03-14 14:05:00Z',
    '2026-03-14T14:05:00+0100',
    '2026-03-14T14:05:00+24:00',
    '2026-3-14T14:05:00Z',
    '2026-03-14T14:05:00.Z',
    ' 2026-03-14T14:05:00Z',
    '',
  ])('refuses %s', (text) => {
    expect(parseRfc3339(text)).toBeNull()
    expect(() => secondsOfInstant(text)).toThrow(/RFC 3339/)
  })

  test('agrees with Temporal on every instant and offset', () => {
    const seconds = fc.integer({ min: -62167219200 + 86400, max: 253402300799 - 86400 })
    fc.assert(
      fc.property(seconds, fc.integer({ min: -1439, max: 1439 }), (at, offset) => {
        const local = formatInstant(at + offset * 60).slice(0, 19)
        const text = `${local}${formatOffset(offset)}`
        expect(secondsOfInstant(text)).toBe(at)
        expect(Temporal.Instant.from(text).epochMilliseconds).toBe(at * 1000)
        expect(minutesOfOffset(formatOffset(offset))).toBe(offset)
      }),
    )
  })

  test('never throws on any text', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...'0123456789-:TZ+.') }),
        (text) => parseRfc3339(text)?.local !== '',
      ),
    )
  })
})

describe('arithmetic', () => {
  const instant = fc.integer({ min: -1e9, max: 4e9 }).map(formatInstant)

  test('adding and taking the difference undo each other', () => {
    fc.assert(
      fc.property(instant, fc.integer({ min: -1e8, max: 1e8 }), (at, seconds) => {
        expect(secondsBetween(at, addSeconds(at, seconds))).toBe(seconds)
        expect(Math.sign(compareInstants(addSeconds(at, seconds), at))).toBe(Math.sign(seconds))
      }),
    )
  })

  test('offsets do not disturb the comparison', () => {
    expect(compareInstants('1996-12-19T16:39:57-08:00', '1996-12-20T00:39:57Z')).toBe(0)
    expect(addSeconds('2026-03-14T23:59:59Z', 1)).toBe('2026-03-15T00:00:00Z')
    expect(addSeconds('2026-03-14T14:05:00Z', 0.25)).toBe('2026-03-14T14:05:00.250Z')
    expect(() => addSeconds('yesterday', 1)).toThrow(/"yesterday" is not an RFC 3339 instant/)
    expect(() => formatInstant(1e15)).toThrow(RangeError)
    expect(() => formatInstant(Number.NaN)).toThrow(RangeError)
  })

  // 2026-01-01T00:00Z is second 345618 of GPS week 2399: with 18 leap seconds since the epoch of 1980-01-06.
  test('agrees with the GPS calendar', () => {
    expect(secondsBetween('1980-01-06T00:00:00Z', '2026-01-01T00:00:00Z') + 18).toBe(2399 * 604800 + 345618)
  })

  test('calendar', () => {
    expect(daysOfDate(1970, 1, 1)).toBe(0)
    expect(daysOfDate(2000, 2, 29)).toBe(11016)
    for (const [y, m, d] of [
      [1900, 2, 29],
      [2026, 2, 31],
      [2026, 0, 1],
      [2026, 4, 31],
      [2026, 1, 0],
      [-1, 1, 1],
      [10000, 1, 1],
    ] as const)
      expect(daysOfDate(y, m, d)).toBeNull()
  })
})

describe('bounds of a local reading', () => {
  test.each([
    ['minute, known offset', '2026-03-14T14:05', '-06:00', '2026-03-14T20:05:00Z', '2026-03-14T20:05:59Z'],
    ['second, known offset', '2026-03-14T14:05:18', '+05:30', '2026-03-14T08:35:18Z', '2026-03-14T08:35:18Z'],
    ['day, UTC', '2026-03-14', 'Z', '2026-03-14T00:00:00Z', '2026-03-14T23:59:59Z'],
    ['minute, zone unknown', '2026-03-14T14:05', null, '2026-03-14T00:05:00Z', '2026-03-15T02:05:59Z'],
    ['day, zone unknown', '2026-03-14', null, '2026-03-13T10:00:00Z', '2026-03-15T11:59:59Z'],
    ['summer', '2026-07-01T12:00', 'America/Denver', '2026-07-01T18:00:00Z', '2026-07-01T18:00:59Z'],
    ['winter', '2026-01-01T12:00', 'America/Denver', '2026-01-01T19:00:00Z', '2026-01-01T19:00:59Z'],
    // New York, 2026: recomputed from the IANA database.
    [
      'an hour that comes twice',
      '2026-11-01T01:30',
      'America/New_York',
      '2026-11-01T05:30:00Z',
      '2026-11-01T06:30:59Z',
    ],
    [
      'an hour that never comes',
      '2026-03-08T02:30',
      'America/New_York',
      '2026-03-08T06:30:00Z',
      '2026-03-08T07:30:59Z',
    ],
    ['a day of 23 hours', '2026-03-08', 'America/New_York', '2026-03-08T05:00:00Z', '2026-03-09T03:59:59Z'],
  ])('%s', (_name, local, zone, earliest, latest) => {
    expect(instantBounds(local, zone)).toEqual({ earliest, latest })
  })

  test('how often clocks show it', () => {
    expect(localOccurrence('2026-11-01T01:30', 'America/New_York')).toBe('twice')
    expect(localOccurrence('2026-03-08T02:30', 'America/New_York')).toBe('never')
    expect(localOccurrence('2026-03-08T03:00', 'America/New_York')).toBe('once')
  })

  test('hold the instant that was printed, in every zone', () => {
    const zones = [
      'America/New_York',
      'Europe/Berlin',
      'Australia/Lord_Howe',
      'Asia/Kathmandu',
      'America/St_Johns',
      'Pacific/Apia',
    ]
    const near = fc
      .constantFrom(1772953200, 1793509200, 1774746000, 1792890000)
      .chain((at) => fc.integer({ min: at - 7200, max: at + 7200 }))
    const instants = fc.oneof(fc.integer({ min: 1.3e9, max: 2e9 }), near)
    fc.assert(
      fc.property(instants, fc.constantFrom(...zones), fc.constantFrom(10, 16, 19), (at, zone, length) => {
        const local = Temporal.Instant.fromEpochMilliseconds(at * 1000)
          .toZonedDateTimeISO(zone)
          .toPlainDateTime()
        const printed = local.toString({ smallestUnit: 'second' }).slice(0, length)
        for (const known of [zone, null]) {
          const { earliest, latest } = instantBounds(printed, known)
          expect(secondsOfInstant(earliest)).toBeLessThanOrEqual(at)
          expect(secondsOfInstant(latest)).toBeGreaterThanOrEqual(at)
        }
      }),
    )
  })

  test('over several offsets, and enclosing', () => {
    expect(boundsOverOffsets('2026-03-14T14:05', [-360, 480])).toEqual({
      earliest: '2026-03-14T06:05:00Z',
      latest: '2026-03-14T20:05:59Z',
    })
    const a = instantBounds('2026-03-14', 'Z')
    const b = instantBounds('2026-04-03', 'Z')
    expect(enclose([b, a])).toEqual({ earliest: a.earliest, latest: b.latest })
    expect(() => enclose([])).toThrow(RangeError)
    expect(() => boundsOverOffsets('2026-03-14', [])).toThrow(RangeError)
  })

  test('bad input gets a clear error', () => {
    expect(() => instantBounds('14.03.2026', null)).toThrow(/"14.03.2026" is not a local date; write 2026-03-14/)
    expect(() => instantBounds('2026-02-30', 'Z')).toThrow(/not a local date/)
    expect(() => instantBounds('2026-03-14', 'Mars/Olympus')).toThrow(/"Mars\/Olympus" is not a known time zone/)
    expect(() => localOccurrence('x', 'UTC')).toThrow(/not a local date/)
    expect(isKnownZone('America/Denver')).toBe(true)
    for (const name of ['Mars/Olympus', '', '+01:00', 'America/Denver ']) expect(isKnownZone(name)).toBe(false)
    for (const local of ['', '2026-03-14T', '2026-03-14T24:00', '2026-03-14T14:05:61', '2026-3-4'])
      expect(localSpan(local)).toBeNull()
    for (const offset of ['', '+1:00', '+24:00', '01:00', '+01:60']) expect(minutesOfOffset(offset)).toBeNull()
  })
})
