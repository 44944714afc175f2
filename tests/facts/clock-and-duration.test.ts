import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readDuration, readTimeOfDay, readTimesOfDay } from '../../src/facts/time.ts'
import { longLine, patience, processorSeconds } from './any-text.ts'

describe('times of day', () => {
  test.each([
    ['14:05', 14, 5, null, null],
    ['14:05:18', 14, 5, 18, null],
    ['14:05:18.250', 14, 5, 18, null],
    ['2:05 PM', 14, 5, null, null],
    ['2:05 p.m.', 14, 5, null, null],
    ['2:05p', 14, 5, null, null],
    ['12:00 AM', 0, 0, null, null],
    ['12:00 PM', 12, 0, null, null],
    ['2.05pm', 14, 5, null, null],
    ['14.05 hrs', 14, 5, null, null],
    ['1405 hrs', 14, 5, null, null],
    ['14h05', 14, 5, null, null],
    ['2 PM', 14, 0, null, null],
    ['14:05 PM', 14, 5, null, null],
    ['14:05 MDT', 14, 5, null, '-06:00'],
    ['14:05:18-07:00', 14, 5, 18, '-07:00'],
    ['14:05 (UTC+02:00)', 14, 5, null, '+02:00'],
    ['14:05Z', 14, 5, null, '+00:00'],
    ['14:05 GMT', 14, 5, null, '+00:00'],
  ])('%s', (text, hour, minute, second, offset) => {
    expect(readTimeOfDay(`at ${text} sharp`)).toMatchObject({ text, hour, minute, second, offset, start: 3 })
  })

  test.each([
    '',
    '13:75',
    '25:00',
    '14:05:61',
    '0:30 PM',
    '14:05 AM',
    '12.60 V',
    '14 A',
    '1405',
    '1:2',
    '10:11:12:13',
    '14.05',
    '1.14:05',
  ])('none in %s', (text) => {
    expect(readTimeOfDay(text)).toBeNull()
  })

  test('several', () => {
    expect(readTimesOfDay('09:05-10:00, then 2 PM').map(({ text }) => text)).toEqual(['09:05', '2 PM'])
    expect(readTimesOfDay('09:05 - 10:00').map(({ text }) => text)).toEqual(['09:05', '10:00'])
  })
})

describe('durations', () => {
  test.each([
    ['11 min 46 s', 706],
    ['11m46s', 706],
    ['706 s', 706],
    ['706 sec.', 706],
    ['00:11:46', 706],
    ['0:11:46 h', 706],
    ['11′46″', 706],
    ['PT11M46S', 706],
    ['PT1H2M', 3720],
    ['P1DT1S', 86401],
    ['1 h 02 min', 3720],
    ['1h02', 3720],
    ['1 h 02 m 03 s', 3723],
    ['2 hours and 5 minutes', 7500],
    ['1 hour, 5 minutes', 3900],
    ['12.5 min', 750],
    ['12,5 min', 750],
    ['8 minutes 50 seconds', 530],
    ['15:55 min', 955],
    ['1:02 h', 3720],
    ['2 d', 172800],
    ['45 seconds', 45],
  ])('%s', (text, seconds) => {
    const found = readDuration(`after ${text} of driving`)
    expect(found?.seconds).toBe(seconds)
    expect(`after ${text} of driving`.slice(found?.start, found?.end)).toBe(found?.text)
    expect(readDuration(text)?.seconds).toBe(seconds)
  })

  test('two numbers and a colon need to be told', () => {
    expect(readDuration('15:55')).toBeNull()
    expect(readDuration('15:55', { colon: 'mm:ss' })?.seconds).toBe(955)
    expect(readDuration('1:05', { colon: 'h:mm' })?.seconds).toBe(3900)
  })

  test.each([
    '',
    '706',
    '3.4 mm',
    '5 mph',
    '15:75',
    '0:11:61',
    '5 metres',
    'P',
    'PT',
    '14.03.2026',
    'step 3 of 5',
    '2 Stunden',
  ])('none in %s', (text) => {
    expect(readDuration(text, { colon: 'mm:ss' })).toBeNull()
  })

  test('any duration printed in units or with colons reads back', () => {
    fc.assert(
      fc.property(fc.nat(359999), fc.nat(3), (seconds, form) => {
        const [h, m, s] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60]
        const pair = (value: number) => String(value).padStart(2, '0')
        const text = [
          `${h} h ${m} min ${s} s`,
          `${h}:${pair(m)}:${pair(s)}`,
          `PT${h}H${m}M${s}S`,
          `${h} hours, ${m} minutes and ${s} seconds`,
        ][form]
        expect(readDuration(`took ${text}.`)?.seconds).toBe(seconds)
      }),
    )
  })

  test(
    'nothing throws, and 100 kB are read in time',
    () => {
      const parts = fc.constantFrom(
        '1',
        '59',
        ':',
        ' ',
        'h',
        'min',
        's',
        'PT',
        'M',
        '.',
        ',',
        'and',
        '′',
        '″',
        'AM',
        'Z',
        '+',
        '-',
      )
      const salad = fc.array(parts, { maxLength: 20 }).map((list) => list.join(''))
      fc.assert(
        fc.property(salad, (text) => {
          const found = readDuration(text, { colon: 'mm:ss' })
          expect(found === null || Number.isFinite(found.seconds)).toBe(true)
          for (const time of readTimesOfDay(text)) expect(time.hour * 60 + time.minute).toBeLessThan(1440)
        }),
        { numRuns: 1000 },
      )
      for (const part of ['1:', '1 ', '11:11:', '1 h', '9', 'P1', ' ', '1 day ']) {
        const line = longLine(part)
        expect(processorSeconds(() => [readDuration(line), readTimesOfDay(line)])).toBeLessThan(3)
      }
    },
    patience,
  )
})
