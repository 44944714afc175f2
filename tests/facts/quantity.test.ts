import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as quantity from '../../src/facts/quantity.ts'
import {
  findNumbers,
  readAngle,
  readDistance,
  readLength,
  readLimits,
  readMoney,
  readNumber,
  readOdometer,
  readPercent,
  readPressure,
  readQuantity,
  readSpeed,
  readVolts,
} from '../../src/facts/quantity.ts'
import { anyText, longLine, patience, processorSeconds } from './any-text.ts'

test.each([
  ["-0°45'", -0.75],
  ["Toe 0° 12'", 0.2],
])('degrees and minutes are one quantity: %s', (text, value) => {
  expect(readQuantity(text)).toMatchObject({ value, unit: '°' })
})

describe('numbers', () => {
  test.each([
    ['1,240', 1240],
    ['1.240', 1.24],
    ['1 240', 1240],
    ['1\u202f240', 1240],
    ['1\u00a0240,5', 1240.5],
    ['1\u2009240.5', 1240.5],
    ['1’240.5', 1240.5],
    ["1'240'000", 1240000],
    ['1.234.567', 1234567],
    ['1,234,567.89', 1234567.89],
    ['1.234.567,89', 1234567.89],
    ['0,120', 0.12],
    ['48,21', 48.21],
    ['-0,25', -0.25],
    ['−0.10', -0.1],
    ['–3', -3],
    ['+0.10', 0.1],
    ['- 3', -3],
    ['.5', 0.5],
    ['-0', 0],
  ])('%s', (text, value) => {
    expect(readNumber(text)).toBe(value)
  })

  test.each(['', 'abc', '1,23,4', '1.2.3', '12,345,67', '1 24', '--1', '1-', '1e5', '٣', '1,', '5 mm'])(
    'none: %s',
    (text) => {
      expect(readNumber(text)).toBeNull()
    },
  )

  test('the decimal mark may be told', () => {
    expect(readNumber('1,240', { decimal: ',' })).toBe(1.24)
    expect(readNumber('1.240', { decimal: ',' })).toBe(1240)
    expect(readNumber('1,240', { decimal: '.' })).toBe(1240)
    expect(readNumber('48,21', { decimal: '.' })).toBeNull()
  })

  test('any number in any country reads back', () => {
    const styles = [
      [',', '.'],
      ['.', ','],
      [' ', ','],
      ['\u202f', ','],
      ['’', '.'],
      ['', '.'],
    ] as const
    fc.assert(
      fc.property(
        fc.integer({ min: -99999999, max: 99999999 }),
        fc.constantFrom(...styles),
        fc.constantFrom('-', '−'),
        (n, [group, mark], minus) => {
          const size = Math.abs(n)
          const whole = String(Math.floor(size / 100)).replace(/\B(?=(\d{3})+$)/g, group)
          const text = `${n < 0 ? minus : ''}${whole}${mark}${String(size % 100).padStart(2, '0')}`
          expect(readNumber(text)).toBe(n / 100)
        },
      ),
    )
  })

  test('in text', () => {
    expect(findNumbers('toe -0.12 and 1,240 mm at 14:05 on 03/14/2026; RO-10482').map(({ value }) => value)).toEqual([
      -0.12, 1240, 10482,
    ])
  })
})

describe('with units', () => {
  test.each([
    ['48,211 mi', 48211, 'mi'],
    ['48 211 km', 48211, 'km'],
    ['48.211 km', 48211, 'km'],
    ['48211 miles', 48211, 'mi'],
    ['Odometer: 48211', 48211, null],
    ['Odometer (km): 48211', 48211, 'km'],
    ['Mileage 48,211', 48211, null],
    ['ODO 48211 mi', 48211, 'mi'],
    ['48211.4 mi', 48211.4, 'mi'],
  ])('odometer %s', (text, value, unit) => {
    expect(readOdometer(text)).toEqual({ value, unit })
  })

  test('what is no odometer', () => {
    for (const text of ['48211', '12 km/h', 'n/a', 'Odometer: n/a', '9,999,999 mi'])
      expect(readOdometer(text)).toBeNull()
    expect(readOdometer('48211', { isValue: true })).toEqual({ value: 48211, unit: null })
  })

  test.each([
    ['12.6 V', 12.6],
    ['12,6V', 12.6],
    ['13.4 VDC', 13.4],
    ['Battery: 12.6 volts', 12.6],
    ['12600 mV', 12.6],
    ['13.1 V DC', 13.1],
  ])('volts %s', (text, value) => {
    expect(readVolts(text)).toBe(value)
  })

  test('a number without unit counts only as the value of a field', () => {
    expect(readVolts('12.6')).toBeNull()
    expect(readVolts('12.6', { isValue: true })).toBe(12.6)
    expect(readVolts('V 12')).toBeNull()
    expect(readPercent('100')).toBeNull()
    expect(readPercent('100', { isValue: true })).toBe(100)
  })

  test('percent', () => {
    for (const text of ['100 %', '100%', '100 percent', '100 pct', 'Progress: 100\u00a0%'])
      expect(readPercent(text)).toBe(100)
    expect(readPercent('73,5 %')).toBe(73.5)
    expect(readPercent('1005')).toBeNull()
  })

  // NIST SP 811, appendix B: 1 psi = 6.894757 kPa, 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 mi = 1609.344 m, 1 mi/h = 0.44704 m/s, 1 knot = 0.5144444 m/s (from memory).
  test.each([
    [readPressure, '33 psi', 227.52699],
    [readPressure, '2.3 bar', 230],
    [readPressure, '2,3 bar', 230],
    [readPressure, '230 kPa', 230],
    [readLength, '1500 mm', 1.5],
    [readLength, '1,500 mm', 1.5],
    [readLength, '1.5 m', 1.5],
    [readLength, '59 in', 1.4986],
    [readLength, '4 ft 11 in', 1.4986],
    [readLength, '5\' 2"', 1.5748],
    [readLength, '10 cm', 0.1],
    [readDistance, '5.4 mi', 8690.4576],
    [readDistance, '8,7 km', 8700],
    [readDistance, '900 m', 900],
    [readSpeed, '40 mph', 17.8816],
    [readSpeed, '65 km/h', 18.055556],
    [readSpeed, '18 m/s', 18],
    [readSpeed, '22.4 knots', 11.523555],
    [readAngle, '0.25°', 0.25],
    [readAngle, '-0,25 deg', -0.25],
    [readAngle, '−0.3 degrees', -0.3],
    [readAngle, '0°12′', 0.2],
    [readAngle, '-0° 12\' 30"', -0.208333],
    [readAngle, '12′', 0.2],
    [readAngle, '4 mrad', 0.229183],
  ] as const)('%o %s', (read, text, value) => {
    expect(read(`value ${text}, measured`)).toBeCloseTo(value, 5)
  })

  test('no unit of its kind, no value', () => {
    for (const read of [readPressure, readLength, readDistance, readSpeed, readAngle]) {
      for (const text of ['', '12', 'n/a', '12 V', 'mm', '14:05']) expect(read(text)).toBeNull()
    }
    expect(readAngle('0°75′')).toBeNull()
  })

  test.each([
    ['$1,234.56', 1234.56, '$'],
    ['325,00 €', 325, 'EUR'],
    ['USD 325.00', 325, 'USD'],
    ['CAD $325', 325, 'CAD'],
    ['C$ 12.50', 12.5, 'CAD'],
    ['-$45.00', -45, '$'],
    ['$-45.00', -45, '$'],
    ['(45.00)', -45, null],
    ['($45.00)', -45, '$'],
    ['45.00-', -45, null],
    ['£12', 12, '£'],
    ['325', 325, null],
    ['Calibrate front camera 1.5 h 325.00', 325, null],
    ['1 ea $45.00', 45, '$'],
  ])('money %s', (text, amount, currency) => {
    expect(readMoney(text)).toEqual({ amount, currency })
  })

  test('no money', () => {
    for (const text of ['qty 2', '12.5 V', '50 %', 'n/a', '', '14.03.2026']) expect(readMoney(text)).toBeNull()
  })

  test.each([
    ['-0.12 deg', -0.12, 'deg'],
    ['1500 mm', 1500, 'mm'],
    ['3 px', 3, 'px'],
    ['Toe 0.05° ok', 0.05, '°'],
    ['0.3', 0.3, null],
    ['100 %', 100, '%'],
    ['21 °C', 21, '°C'],
    ['0.12°/0.15°', 0.12, '°'],
    ['+0,10 mm', 0.1, 'mm'],
  ])('quantity %s', (text, value, unit) => {
    const found = readQuantity(text)
    expect(found).toMatchObject({ value, unit })
    expect(text.slice(found?.start, found?.end)).toBe(found?.text)
  })

  test('no quantity', () => {
    for (const text of ['n/a', '', '2026-03-14', '03/14/2026', '14:05', 'A12', '1e-3'])
      expect(readQuantity(text)).toBeNull()
  })
})

describe('limits', () => {
  test.each([
    ['-0.5 to 0.5°', -0.5, 0.5, '°'],
    ['1240 … 1260 mm', 1240, 1260, 'mm'],
    ['1240...1260 mm', 1240, 1260, 'mm'],
    ['-1..1', -1, 1, null],
    ['±2', -2, 2, null],
    ['+/- 2 deg', -2, 2, 'deg'],
    ['1500 ± 5 mm', 1495, 1505, 'mm'],
    ['(min -1, max 1)', -1, 1, null],
    ['max 1, min -1', -1, 1, null],
    ['min: 12.0 V max: 15.0 V', 12, 15, 'V'],
    ['-0.5 / 0.5', -0.5, 0.5, null],
    ['0.02–0.20', 0.02, 0.2, null],
    ['0.02-0.20', 0.02, 0.2, null],
    ['-0.50° – 0.50°', -0.5, 0.5, '°'],
    ['−0.5° … +0.5°', -0.5, 0.5, '°'],
    ['[-1; 1]', -1, 1, null],
    ['[-1, 1] deg', -1, 1, 'deg'],
    ['[-1,1]', -1, 1, null],
    ['-0,5 to 0,5', -0.5, 0.5, null],
    ['0.5 to -0.5', -0.5, 0.5, null],
    ['between -1 and 1', -1, 1, null],
    ['-1 ≤ x ≤ 1', -1, 1, null],
    ['permitted 1495 … 1505 mm · in range', 1495, 1505, 'mm'],
    ['0.12 (−0.5 … 0.5)', -0.5, 0.5, null],
    ['Spec 0°05′ to 0°15′', 0.0833333333333, 0.25, '°'],
    ["-0°30' … 0°30'", -0.5, 0.5, '°'],
    ['±0°12′', -0.2, 0.2, '°'],
    ['-2/2', -2, 2, null],
    ['+0.5/-0.5', -0.5, 0.5, null],
    ['-0.5° < 0.1° < 0.5°', -0.5, 0.5, '°'],
    ['0.10 -0.50 to 0.50', -0.5, 0.5, null],
    ['0.10 / -0.50 / 0.50', -0.5, 0.5, null],
    ['0.12° -0.5° – 0.5°', -0.5, 0.5, '°'],
    ['<= 10', undefined, 10, null],
    ['≤10 mm', undefined, 10, 'mm'],
    ['max 10', undefined, 10, null],
    ['not more than 3 px', undefined, 3, 'px'],
    ['>= 12.5 V', 12.5, undefined, 'V'],
    ['at least 12.5', 12.5, undefined, null],
  ])('%s', (text, least, most, unit) => {
    const found = readLimits(text)
    expect([found?.least, found?.most, found?.unit]).toEqual([least, most, unit])
    expect(text.slice(found?.start, found?.end)).toBe(found?.text)
  })

  test.each([
    '',
    '10',
    'n/a',
    '2026-03-14',
    '03/14/2026',
    '14:05 - 14:20',
    'page 1/2',
    'cameras 1 and 2',
    'bays 1, 2',
    '0.10 -0.50',
    '1.25 m ± 5 mm',
    '1.2 m to 1300 mm',
    'RO-10482-A',
  ])('none in %s', (text) => {
    expect(readLimits(text)).toBeNull()
  })

  test('any pair printed as a range reads back', () => {
    const tenths = fc.integer({ min: -9999, max: 9999 }).map((n) => n / 10)
    const marks = fc.constantFrom(' to ', ' … ', ' – ', ' .. ', '; ', ' / ', ' - ')
    fc.assert(
      fc.property(tenths, tenths, marks, fc.constantFrom('', ' mm', '°', ' %'), (a, b, mark, unit) => {
        const found = readLimits(`(${a.toFixed(1)}${mark}${b.toFixed(1)}${unit})`)
        expect([found?.least, found?.most]).toEqual([Math.min(a, b), Math.max(a, b)].map((value) => value + 0))
        expect(found?.unit ?? '').toBe(unit.trim())
      }),
    )
  })
})

describe('any text', () => {
  const readers = Object.entries(quantity).map(([name, read]) => [name, read as (text: string) => unknown] as const)

  test('nothing throws', () => {
    const parts = fc.constantFrom(
      '1',
      '000',
      '.',
      ',',
      ' ',
      '-',
      '−',
      '±',
      '°',
      '′',
      'mm',
      'V',
      '%',
      '$',
      '(',
      ')',
      'to',
      'max',
      'min',
      '…',
      '/',
      '[',
      ']',
      'ft',
      '<',
      '\u00a0',
      'km',
    )
    const salad = fc.array(parts, { maxLength: 20 }).map((list) => list.join(''))
    fc.assert(
      fc.property(fc.oneof(salad, anyText), (text) => {
        for (const [, read] of readers) read(text)
        const limits = readLimits(text)
        if (limits?.least !== undefined && limits.most !== undefined)
          expect(limits.least).toBeLessThanOrEqual(limits.most)
      }),
      { numRuns: 500 },
    )
  })

  test.each(readers)(
    '100 kB in time: %s',
    (_name, read) => {
      for (const part of [
        '1,234',
        '1 234 ',
        '1.',
        '- ',
        '1 - ',
        '±',
        'min ',
        'max 1 ',
        '12 V',
        '(1,',
        '0° ',
        '$1,',
        '1 ft ',
        '9',
        ' ',
        'km 1 ',
        '1 < x ',
      ]) {
        const line = longLine(part)
        expect(processorSeconds(() => read(line))).toBeLessThan(3)
      }
    },
    patience,
  )
})
