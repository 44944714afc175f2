import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  combine,
  dayMonthEvidence,
  placeInZone,
  readDate,
  readDates,
  readTimeOfDay,
  settleDayMonth,
} from '../../src/facts/time.ts'

const one = (text: string, options = {}) => {
  const [found, ...more] = readDates(text, options)
  expect(more).toEqual([])
  return found
}

import { anyText, longLine, patience, processorSeconds } from './any-text.ts'

describe('forms', () => {
  test.each([
    ['2026-03-14', '2026-03-14', null],
    ['2026-03-14T14:05', '2026-03-14T14:05', null],
    ['2026-03-14 14:05', '2026-03-14T14:05', null],
    ['2026-03-14 14:05:18', '2026-03-14T14:05:18', null],
    ['2026-03-14T14:05:18.250Z', '2026-03-14T14:05:18', '+00:00'],
    ['2026-03-14T14:05:18,25+01:00', '2026-03-14T14:05:18', '+01:00'],
    ['2026-03-14T14:05+0100', '2026-03-14T14:05', '+01:00'],
    ['2026-03-14 14:05:18 -0600', '2026-03-14T14:05:18', '-06:00'],
    ['2026-03-14 14:05:18 −06:00', '2026-03-14T14:05:18', '-06:00'],
    ['20261020', '2026-10-20', null],
    ['20261020T144830Z', '2026-10-20T14:48:30', '+00:00'],
    ['20261020144830', '2026-10-20T14:48:30', null],
    ['20261020_1448', '2026-10-20T14:48', null],
    ['2026/10/20 14:48:30', '2026-10-20T14:48:30', null],
    ['2026.10.20 14:48', '2026-10-20T14:48', null],
    ['2026:03:14 14:05:00', '2026-03-14T14:05:00', null],
    ['2026-03-14-14-05-30', '2026-03-14T14:05:30', null],
    ['2026-03-14_14-05', '2026-03-14T14:05', null],
    ['03/14/2026 2:05 PM', '2026-03-14T14:05', null],
    ['3/14/2026 12:05 AM', '2026-03-14T00:05', null],
    ['3/14/2026 12:05 PM', '2026-03-14T12:05', null],
    ['03/14/26', '2026-03-14', null],
    ['03-14-2026 2:05:18 p.m.', '2026-03-14T14:05:18', null],
    ['14.03.2026 14:05', '2026-03-14T14:05', null],
    ['14. 3. 2026 14:05 Uhr', '2026-03-14T14:05', null],
    ['14.03.26', '2026-03-14', null],
    ['14/03/2026', '2026-03-14', null],
    ['14/03/2026 - 14:05', '2026-03-14T14:05', null],
    ['14/03/2026 | 14:05', '2026-03-14T14:05', null],
    ['14/03/2026, 14:05', '2026-03-14T14:05', null],
    ['14-MAR-2026 09:45', '2026-03-14T09:45', null],
    ['14MAR2026', '2026-03-14', null],
    ['14 Mar 26', '2026-03-14', null],
    ["14 Mar '26", '2026-03-14', null],
    ['14 Mar. 2026', '2026-03-14', null],
    ['1 Sept 2026', '2026-09-01', null],
    ['2026-Mar-14 14:05', '2026-03-14T14:05', null],
    ['Mar 14, 2026 2:05:18 PM MDT', '2026-03-14T14:05:18', '-06:00'],
    ['March 14, 2026', '2026-03-14', null],
    ['March 14th 2026', '2026-03-14', null],
    ['Mar 14, 26', '2026-03-14', null],
    ['14th of March 2026 at 2.05pm', '2026-03-14T14:05', null],
    ['14th March, 2026', '2026-03-14', null],
    ['Thu 20 Aug 2026 10:52', '2026-08-20T10:52', null],
    ['Thursday, August 20, 2026 10:52', '2026-08-20T10:52', null],
    ['Thu Aug 20 10:52:00 2026', '2026-08-20T10:52:00', null],
    ['Thu Aug 20 10:52:00 MDT 2026', '2026-08-20T10:52:00', '-06:00'],
    ['20 Aug 2026 10:52 (UTC-05:00)', '2026-08-20T10:52', '-05:00'],
    ['20 Aug 2026 10:52 UTC-5', '2026-08-20T10:52', '-05:00'],
    ['20 Aug 2026 10:52 GMT+1', '2026-08-20T10:52', '+01:00'],
    ['20 Aug 2026 10:52 GMT', '2026-08-20T10:52', '+00:00'],
    ['20 Aug 2026 10:52 Eastern Daylight Time', '2026-08-20T10:52', '-04:00'],
    ['20 Aug 2026 10:52 AEST', '2026-08-20T10:52', '+10:00'],
    ['20 Aug 2026 10:52 NZST', '2026-08-20T10:52', '+12:00'],
    ['20 Aug 2026 10:52 CEST', '2026-08-20T10:52', '+02:00'],
    ['20 Aug 2026 10:52 MDT (UTC-6)', '2026-08-20T10:52', '-06:00'],
    ['20 Aug 2026 1052 hrs', '2026-08-20T10:52', null],
    ['20 Aug 2026 10:52 hrs', '2026-08-20T10:52', null],
    ['2:05 PM on 3/14/2026', '2026-03-14T14:05', null],
    ['14:05 14.03.2026', '2026-03-14T14:05', null],
    ['14:05:18, 14 Mar 2026', '2026-03-14T14:05:18', null],
    ['2:05 p.m. EST 3/14/2026', '2026-03-14T14:05', '-05:00'],
    ['2026-03-14 (Sat) 14:05', '2026-03-14T14:05', null],
    ['20 OCT 2026 / 14:48', '2026-10-20T14:48', null],
    ['14:48:30 / 2026-10-20', '2026-10-20T14:48:30', null],
    ['UTC: 2026-03-14 14:05:18', '2026-03-14T14:05:18', '+00:00'],
    ['2026-03-14 14:05 America/Denver', '2026-03-14T14:05', null],
    // RFC 9557, section 4.1.
    ['2022-07-08T00:14:07+02:00', '2022-07-08T00:14:07', '+02:00'],
    ['03 / 14 / 2026 14:05', '2026-03-14T14:05', null],
    ['Fri, 13 Mar 2026 14:05:18 -0600', '2026-03-13T14:05:18', '-06:00'],
    ['Fri Mar 13 2026 14:05:18 GMT-0600', '2026-03-13T14:05:18', '-06:00'],
    ['14/Mar/2026:14:05:18 -0600', '2026-03-14T14:05:18', '-06:00'],
    ['2026-03-14 14:05:18:250', '2026-03-14T14:05:18', null],
    ['20261020_144830123', '2026-10-20T14:48:30', null],
    ['20261020 144830', '2026-10-20T14:48:30', null],
    ['14:05 hours on 14 March 2026', '2026-03-14T14:05', null],
    ['03/14/2026 Time: 2:05 PM', '2026-03-14T14:05', null],
    // RFC 3339, section 5.8 and 4.3.
    ['1990-12-31T23:59:60Z', '1990-12-31T23:59:60', '+00:00'],
    ['1996-12-19T16:39:57-00:00', '1996-12-19T16:39:57', '-00:00'],
    // ISO 32000-1, 7.9.4, from memory.
    ["D:199812231952-08'00'", '1998-12-23T19:52', '-08:00'],
    ["D:20260314140518+05'30", '2026-03-14T14:05:18', '+05:30'],
    ['D:20260314140518Z', '2026-03-14T14:05:18', '+00:00'],
    ['D:20260314', '2026-03-14', null],
  ])('%s', (text, local, offset) => {
    const padded = `Printed: ${text} by hand`
    const found = one(padded)
    expect(found?.reading).toMatchObject({ text, local, offset })
    expect(padded.slice(found?.start, found?.end)).toBe(text)
    expect(one(text)?.reading.local).toBe(local)
  })

  test.each([
    '31.02.2026',
    '02/30/2026',
    '2026-13-01',
    '2026-02-29',
    '14.03.2026 13:75',
    '14.03.2026 14:05:61',
    '03/14/2026 25:00',
    '0000:00:00 00:00:00',
    '1.2.26.4',
    'v1.2.26',
    '10.14.03.2026',
    '20261340',
    '19991231999',
    'AB20261020',
    '14:05',
    '14 Mar 10:22',
    'May 5',
    'part 03-14',
    'Software version 04.12.21',
    'Serial: 20240815',
    'D:20261399000000Z',
    '12/2026',
  ])('no date: %s', (text) => {
    expect(readDates(text)).toEqual([])
  })
})

describe('bounds', () => {
  test.each([
    ["D:199812231952-08'00'", '1998-12-24T03:52:00Z', '1998-12-24T03:52:59Z'],
    ['1996-12-19T16:39:57-08:00', '1996-12-20T00:39:57Z', '1996-12-20T00:39:57Z'],
    ['1996-12-19T16:39:57-00:00', '1996-12-19T16:39:57Z', '1996-12-19T16:39:57Z'],
    ['2026-03-14 2 PM EST', '2026-03-14T19:00:00Z', '2026-03-14T19:59:59Z'],
    ['2026-03-14 14:05', '2026-03-14T00:05:00Z', '2026-03-15T02:05:59Z'],
    // Eastern time without saying which: four or five hours behind.
    ['2026-03-14 14:05 ET', '2026-03-14T18:05:00Z', '2026-03-14T19:05:59Z'],
    ['2026-07-14 14:05 IST', '2026-07-14T08:35:00Z', '2026-07-14T13:05:59Z'],
    ['2026-03-14 14:05 CST', '2026-03-14T06:05:00Z', '2026-03-14T20:05:59Z'],
  ])('%s', (text, earliest, latest) => {
    expect(readDate(text)).toMatchObject({ earliest, latest })
  })

  test('a shared abbreviation is settled by the order of day and month', () => {
    expect(readDate('03/14/2026 2:05 PM CST')?.offset).toBe('-06:00')
    expect(readDate('2026-03-14 14:05 CST', { dayFirst: false })?.offset).toBe('-06:00')
    expect(readDate('14/07/2026 14:05 BST')?.offset).toBe('+01:00')
    expect(readDate('2026-07-14 14:05 BST')?.offset).toBeNull()
  })

  test('the zone of the packet counts only where none is printed', () => {
    expect(readDate('2026-03-14 14:05', { zone: 'America/Denver' })).toMatchObject({
      local: '2026-03-14T14:05',
      offset: null,
      zone: 'America/Denver',
      earliest: '2026-03-14T20:05:00Z',
      latest: '2026-03-14T20:05:59Z',
    })
    const printed = readDate('2026-03-14 14:05 EDT', { zone: 'America/Denver' })
    expect(printed).toMatchObject({ offset: '-04:00', earliest: '2026-03-14T18:05:00Z' })
    expect(printed).not.toHaveProperty('zone')
    expect(() => readDate('2026-03-14', { zone: 'Mars/Olympus' })).toThrow(/not a known time zone/)
  })

  test('a zone printed by name', () => {
    expect(readDate('2026-03-14T14:05:18[America/Denver]')).toMatchObject({
      zone: 'America/Denver',
      earliest: '2026-03-14T20:05:18Z',
      latest: '2026-03-14T20:05:18Z',
    })
    expect(readDate('2026-03-14 14:05 Front/Rear')).not.toHaveProperty('zone')
  })

  test('a range of times is no offset', () => {
    expect(readDate('2026-03-14 09:05-10:00')).toMatchObject({ local: '2026-03-14T09:05', offset: null })
    expect(readDate('2026-03-14 14:05 - 14:20')).toMatchObject({ local: '2026-03-14T14:05', offset: null })
    expect(readDate('2026-03-14T09:05-10:00')).toMatchObject({ local: '2026-03-14T09:05', offset: '-10:00' })
  })
})

describe('day and month', () => {
  test('stay open where both fit', () => {
    const reading = readDate('03/04/2026 10:00')
    expect(reading).toEqual({
      text: '03/04/2026 10:00',
      local: null,
      offset: null,
      alternatives: ['2026-04-03T10:00', '2026-03-04T10:00'],
      earliest: '2026-03-03T20:00:00Z',
      latest: '2026-04-03T22:00:59Z',
    })
    expect(readDate('05/05/2026')?.local).toBe('2026-05-05')
  })

  test('are settled by the option, the weekday, or later', () => {
    expect(readDate('03/04/2026', { dayFirst: true })?.local).toBe('2026-04-03')
    expect(readDate('03/04/2026', { dayFirst: false })?.local).toBe('2026-03-04')
    expect(readDate('03/14/2026', { dayFirst: true })?.local).toBe('2026-03-14')
    // 9 March 2026 is a Monday, 3 September 2026 a Thursday.
    expect(readDate('Mon 09/03/2026')?.local).toBe('2026-03-09')
    expect(readDate('Thursday 09/03/2026')?.local).toBe('2026-09-03')
    expect(readDate('Sun 09/03/2026')?.local).toBeNull()
    const open = readDate('03/04/2026 10:00 EDT')
    const settled = open && settleDayMonth(open, false)
    expect(settled).toMatchObject({ local: '2026-03-04T10:00', earliest: '2026-03-04T14:00:00Z' })
    expect(settled).not.toHaveProperty('alternatives')
    expect(settled && settleDayMonth(settled, true)).toBe(settled)
  })

  test('what the other dates of a document prove', () => {
    expect(dayMonthEvidence('03/04/2026, 03/14/2026')).toBe('month-first')
    expect(dayMonthEvidence('03/04/2026, 14.03.2026')).toBe('day-first')
    expect(dayMonthEvidence('14/03/2026 and 03/14/2026')).toBeNull()
    expect(dayMonthEvidence('2026-03-14, 14 Mar 2026, 03/04/2026')).toBeNull()
  })
})

describe('several in one text', () => {
  test('each takes its own time', () => {
    const text = 'Started 14-MAR-2026 09:45 ended 14-MAR-2026 10:02:30; printed 2026-03-15'
    expect(readDates(text).map(({ reading }) => reading.local)).toEqual([
      '2026-03-14T09:45',
      '2026-03-14T10:02:30',
      '2026-03-15',
    ])
    expect(readDates('2026-03-14 14:05 - 2026-03-14 14:20').map(({ reading }) => reading.local)).toEqual([
      '2026-03-14T14:05',
      '2026-03-14T14:20',
    ])
    expect(readDates('2026-03-14 2026-03-15 10:00').map(({ reading }) => reading.local)).toEqual([
      '2026-03-14',
      '2026-03-15T10:00',
    ])
  })

  test('of a range of times before a date, none is taken', () => {
    expect(readDate('09:45 - 10:02 14-MAR-2026')?.local).toBe('2026-03-14')
    expect(readDate('09:45 to 10:02, 14-MAR-2026')?.local).toBe('2026-03-14')
  })

  test('a measured time or a voltage is no time of day', () => {
    expect(readDate('Duration 11:46 03/14/2026')?.local).toBe('2026-03-14')
    expect(readDate('2026-03-14 12.60 V')?.local).toBe('2026-03-14')
    expect(readDate('2026-03-14 14 A')?.local).toBe('2026-03-14')
  })
})

describe('putting together', () => {
  test('a date and a time from two fields', () => {
    const date = readDate('14.03.2026')
    const time = readTimeOfDay('Start time 2:05:18 PM')
    expect(date && time && combine(date, time)).toMatchObject({ local: '2026-03-14T14:05:18', offset: null })
    const zoned = readTimeOfDay('14:05 MDT')
    expect(date && zoned && combine(date, zoned)).toMatchObject({ offset: '-06:00', earliest: '2026-03-14T20:05:00Z' })
    const open = readDate('03/04/2026')
    expect(open && time && combine(open, time).alternatives).toEqual(['2026-04-03T14:05:18', '2026-03-04T14:05:18'])
    const inDenver = readDate('2026-03-14', { zone: 'America/Denver' })
    expect(inDenver && time && combine(inDenver, time)).toMatchObject({
      zone: 'America/Denver',
      earliest: '2026-03-14T20:05:18Z',
    })
    const offset = readDate('2026-03-14T09:00-04:00')
    const plain = readTimeOfDay('14:05')
    expect(offset && plain && combine(offset, plain)).toMatchObject({
      offset: '-04:00',
      earliest: '2026-03-14T18:05:00Z',
    })
  })

  test('a zone that is declared later', () => {
    const reading = readDate('03/04/2026 10:00')
    expect(reading && placeInZone(reading, 'America/New_York')).toMatchObject({
      zone: 'America/New_York',
      earliest: '2026-03-04T15:00:00Z',
      latest: '2026-04-03T14:00:59Z',
    })
    const printed = readDate('2026-03-14T10:00Z')
    expect(printed && placeInZone(printed, 'America/New_York')).toBe(printed)
  })
})

describe('any date and text', () => {
  const pair = (value: number) => String(value).padStart(2, '0')
  const names = [
    'January',
    'February',
    'March',
    'April',
    'May',
    'June',
    'July',
    'August',
    'September',
    'October',
    'November',
    'December',
  ]
  const moment = fc.integer({ min: 946684800, max: 2145916800 }).map((seconds) => new Date(seconds * 1000))

  test('printed in any form reads back', () => {
    fc.assert(
      fc.property(moment, fc.nat(7), (at, form) => {
        const [y, m, d] = [at.getUTCFullYear(), at.getUTCMonth() + 1, at.getUTCDate()]
        const [h, min, s] = [at.getUTCHours(), at.getUTCMinutes(), at.getUTCSeconds()]
        const clock = `${pair(h)}:${pair(min)}:${pair(s)}`
        const half = `${h % 12 || 12}:${pair(min)}:${pair(s)} ${h < 12 ? 'AM' : 'PM'}`
        const text = [
          `${y}-${pair(m)}-${pair(d)}T${clock}`,
          `${y}/${pair(m)}/${pair(d)} ${clock}`,
          `${m}/${d}/${y} ${half}`,
          `${d} ${names[m - 1]} ${y}, ${clock}`,
          `${names[m - 1]?.slice(0, 3)} ${d}, ${y} at ${half}`,
          `${y}${pair(m)}${pair(d)}_${clock.replaceAll(':', '')}`,
          `${half} on ${names[m - 1]} ${d}, ${y}`,
          `${pair(d)}-${names[m - 1]?.slice(0, 3).toUpperCase()}-${y} ${clock}`,
        ][form]
        const [found] = readDates(`x ${text} y`, { dayFirst: false })
        expect(found?.reading.local).toBe(at.toISOString().slice(0, 19))
        expect(found?.reading.text).toBe(text)
      }),
    )
  })

  test('nothing throws, spans are in order, bounds too', () => {
    const parts = fc.constantFrom(
      '2026',
      '-',
      '/',
      '.',
      ':',
      '03',
      '14',
      '2',
      ' ',
      'T',
      'Mar',
      'PM',
      'Z',
      '+01:00',
      'EST',
      'at',
      'D:',
      ',',
      '(',
      ')',
    )
    const salad = fc.array(parts, { maxLength: 24 }).map((list) => list.join(''))
    fc.assert(
      fc.property(fc.oneof(salad, anyText), (text) => {
        let last = 0
        for (const { reading, start, end } of readDates(text)) {
          expect(start).toBeGreaterThanOrEqual(last)
          expect(end).toBeGreaterThan(start)
          expect(reading.text).toBe(text.slice(start, end))
          expect(reading.earliest <= reading.latest).toBe(true)
          last = end
        }
      }),
      { numRuns: 1000 },
    )
  })

  test.each(['1/1/', '2026-03-14 ', '14 ', '1:', '11:11:', 'Mar 14 ', ' ', '9', 'D:', '14.03.', '14th of ', 'Mon, '])(
    '100 kB of "%s" are read in time',
    (part) => {
      const line = longLine(part)
      expect(processorSeconds(() => readDates(line))).toBeLessThan(5)
    },
    patience,
  )
})

describe('months in other languages', () => {
  // The names are those of the Unicode CLDR, as the ICU of Node.js prints them.
  const days = Array.from({ length: 12 }, (_, month) => new Date(Date.UTC(2026, month, 17)))
  const forms = ['en-GB', 'de-DE', 'fr-FR', 'es-ES'].flatMap((locale) =>
    (['long', 'short'] as const).flatMap((month) =>
      days.map((day) => {
        const format = new Intl.DateTimeFormat(locale, { day: 'numeric', month, year: 'numeric', timeZone: 'UTC' })
        return [format.format(day), day.toISOString().slice(0, 10)] as const
      }),
    ),
  )

  test.each(forms)('%s', (text, local) => {
    expect(readDate(text)?.local).toBe(local)
  })

  test.each([
    ['1er mars 2026', '2026-03-01'],
    ['13 de marzo de 2026, a las 16:05', '2026-03-13T16:05'],
    ['17. Juni 2026 um 09:15 Uhr', '2026-06-17T09:15'],
    ['le 3 février 2026 à 9 h 05', '2026-02-03T09:05'],
  ])('%s', (text, local) => {
    expect(readDate(text)?.local).toBe(local)
  })

  test.each(['12 Marlen 2026', '3 maintenance 2026', '4 octane 2026'])('a longer word is none: %s', (text) => {
    expect(readDate(text)).toBeNull()
  })
})
