/** Measured values with their limits, however they are set out. */
import { describe, expect, test } from 'vitest'
import { readMeasured, statedOf } from '../../../src/facts/recognise/measured.ts'
import { vocabulary } from '../shipped-vocabulary.ts'
import { sheetOf } from './recognised.ts'

const values = (text: string, wanted?: readonly ('actual' | 'before')[]) =>
  readMeasured(sheetOf(text), 0, Number.POSITIVE_INFINITY, wanted).map(({ value }) => value)

const pitch = { name: 'Pitch', value: 0.1, least: -1, most: 1 }

describe('in a table', () => {
  test.each([
    [
      'least and most in columns of their own',
      `
        Value      Actual   Min    Max    Unit
        Pitch      0.1      -1.0   1.0    deg
      `,
    ],
    [
      'a range',
      `
        Value      Actual     Limits
        Pitch      0.1 deg    -1.0 to 1.0
      `,
    ],
    [
      'nominal and tolerance',
      `
        Value      Actual     Nominal   Tolerance
        Pitch      0.1 deg    0.0       ±1.0
      `,
    ],
    [
      'nominal and tolerance in one column',
      `
        Value      Actual     Permitted
        Pitch      0.1°       0.0 ± 1.0
      `,
    ],
    [
      'the unit in the heading',
      `
        Value      Actual (deg)   Min    Max
        Pitch      0.1            -1.0   1.0
      `,
    ],
  ])('%s', (_how, text) => {
    expect(values(text)).toEqual([{ ...pitch, unit: 'deg', stated: null }])
  })

  test('with the judgement of the record beside it', () => {
    expect(
      values(`
        Value      Actual   Min    Max    Result
        Pitch      0.1      -1.0   1.0    OK
        Yaw        1.4      -1.0   1.0    Out of range
      `).map(({ name, stated }) => [name, stated]),
    ).toEqual([
      ['Pitch', 'ok'],
      ['Yaw', 'out'],
    ])
  })

  test('before and after an adjustment: the value after it counts', () => {
    const text = `
      Angle            Before   Actual   Min    Max
      Toe left front   0.31     0.05     0.00   0.20
    `
    expect(values(text).map(({ value }) => value)).toEqual([0.05])
    expect(values(text, ['before']).map(({ value }) => value)).toEqual([0.31])
  })

  test('with decimal commas', () => {
    expect(
      values(`
        Value      Actual   Min     Max
        Pitch      0,10     -1,00   1,00
        Yaw        -0,25    -0,50   0,50
      `).map(({ value, least, most }) => [value, least, most]),
    ).toEqual([
      [0.1, -1, 1],
      [-0.25, -0.5, 0.5],
    ])
  })

  test('without limits is none', () => {
    expect(values('Value      Actual\nPitch      0.1')).toEqual([])
  })
})

describe('outside tables', () => {
  test.each([
    ['in brackets behind it', 'Pitch: 0.1 deg (-1.0 to 1.0)'],
    ['in brackets, by name', 'Pitch: 0.1 deg (limits -1.0 to 1.0 deg)'],
    ['plus-minus', 'Pitch: 0.1 deg, permitted ±1.0 deg'],
    ['in cells beside it', 'Pitch     0.1 deg     -1.0 to 1.0 deg'],
    ['beside a value with its unit tied on', 'Pitch     0.1deg     -1.0 to 1.0deg'],
    ['beside a value with a point behind it', 'Pitch     0.1 deg.     -1.0 to 1.0 deg.'],
    ['in two cells, the smaller first', 'Pitch     0.1 deg     -1.0 deg    1.0 deg'],
    ['beneath it', 'Pitch     0.1 deg\nPermitted -1.0 to 1.0 deg'],
    ['beneath the value in a stack', 'Pitch\n0.1 deg\n-1.0 to 1.0 deg'],
  ])('limits %s', (_how, text) => {
    expect(values(text)).toMatchObject([pitch])
    expect(values(text)[0]?.unit).toBe('deg')
  })

  test('are none where three rising numbers do not say which is the value', () => {
    expect(values('Horizontal angle     -3.0°     0.4°     3.0°')).toEqual([])
  })

  test('of a tolerance lie around the nominal value before it', () => {
    expect(values('Target distance     1502 mm     1500 mm     ± 10 mm')).toMatchObject([
      { name: 'Target distance', value: 1502, least: 1490, most: 1510 },
    ])
  })

  test('one-sided limits are one limit', () => {
    const [value] = values('Rolling resistance: 0.4 mm (max 0.5 mm)')
    expect(value).toMatchObject({ value: 0.4, most: 0.5 })
    expect(value).not.toHaveProperty('least')
  })

  test.each(['12 Summit Road', 'Bay 4', 'Odometer: 48211 mi', 'Pitch: 0.1 deg', '2026-05-21 14:05'])(
    'is no measured value: %s',
    (text) => expect(values(text)).toEqual([]),
  )
})

test('values are told only between the lines asked for, each once and placed', () => {
  const sheet = sheetOf('Pitch: 0.1 deg (-1.0 to 1.0)\nYaw: 0.2 deg (-1.0 to 1.0)\nRoll: 0.3 deg (-1.0 to 1.0)')
  const found = readMeasured(sheet, 1, 2)
  expect(found.map(({ value }) => value.name)).toEqual(['Yaw'])
  expect(found[0]?.place.text).toContain('0.2 deg')
})

test.each([
  ['OK', 'ok'],
  ['within limits', 'ok'],
  ['Out of range', 'out'],
  ['not ok', 'out'],
  ['-1.0 to 1.0', null],
  ['', null],
] as const)('what the record says of a value: %s', (text, stated) => {
  expect(statedOf(text, vocabulary)).toBe(stated)
})

test('a table whose rows are named without a heading, parted by headings of its own', () => {
  const text = `
                     Before      Spec             After
    Front left
      Camber        -0°45'     -1°00' / 0°00'    -0°30'
      Caster         3°10'      2°45' / 4°15'     3°12'
    Rear
      Thrust angle   0°10'     -0°15' / 0°15'     0°03'
  `
  expect(values(text).map(({ name, value, least, most }) => [name, value, least, most])).toEqual([
    ['Front left Camber', -0.5, -1, 0],
    ['Front left Caster', 3.2, 2.75, 4.25],
    ['Rear Thrust angle', 0.05, -0.25, 0.25],
  ])
})

describe('what is no limit of a value', () => {
  test('a tolerance about a nominal value lies about that value', () => {
    const text = `
      Value             Required   Tolerance   Measured
      Target distance   1500 mm    ±10 mm      1502 mm
    `
    expect(values(text)).toMatchObject([{ value: 1502, least: 1490, most: 1510 }])
  })

  test('limits in another unit are those of something else', () => {
    expect(values('Drive: 10.6 mi (25 to 65 mph)')).toEqual([])
    expect(values('Offset: 1.5 mm (max 2.0 mm)')).toMatchObject([{ value: 1.5, most: 2 }])
    expect(values('Offset: 1.5 mm (0.1 to 0.3 deg)')).toEqual([])
  })

  test('what has a label of its own is not measured', () => {
    expect(values('Progress: 100 % (25 to 65 %)')).toEqual([])
    expect(values('Device software: 4.2 (limit 2 to 3)')).toEqual([])
  })

  test('a value before the adjustment does not stand for one after it that is not printed', () => {
    const text = `
      Angle    Before   After   Min    Max
      Pitch    1.84     0.35    -1.0   1.0
      Yaw      1.90     ---     -1.0   1.0
    `
    expect(values(text)).toMatchObject([{ name: 'Pitch', value: 0.35 }])
  })

  test('a bare tolerance among more numbers leaves open which of them is the nominal value', () => {
    expect(values('Rear camber   -1.30°   ± 0.40°   -1.20°   -1.20°')).toEqual([])
    expect(values('Rear camber   -1.30°   ± 2.00°')).toMatchObject([{ value: -1.3, least: -2, most: 2 }])
  })
})

test.each([
  ['limits in brackets behind the value', 'Pitch            0.1 deg (-1.0 to 1.0)'],
  ['limits in cells of the line beneath', 'Pitch            0.1 deg\n  limits   -1.0    1.0 deg'],
])('%s', (_where, text) => {
  expect(values(text)).toMatchObject([pitch])
})

test('a table on its side', () => {
  expect(
    values(`
      Measured        Pitch    Yaw
      Actual (deg)    0.31     -0.20
      Lower limit     -1.50    -2.00
      Upper limit     1.50     2.00
    `),
  ).toMatchObject([
    { name: 'Pitch', value: 0.31, unit: 'deg', least: -1.5, most: 1.5 },
    { name: 'Yaw', value: -0.2, unit: 'deg', least: -2, most: 2 },
  ])
})

test('limits in French: "tolérance -1,50° à 1,50°"', () => {
  expect(
    values('Tangage    0,35° (tolérance -1,50° à 1,50°)\nLacet      -0,62° (tolérance -2,00° à 2,00°)'),
  ).toMatchObject([
    { name: 'Tangage', value: 0.35, least: -1.5, most: 1.5 },
    { name: 'Lacet', value: -0.62, least: -2, most: 2 },
  ])
})

test.each(['2,5 / 2,4', '2,4 / 2,5'])('the pressures that a placard wants of two axles are no limits: %s', (pair) => {
  expect(values(`Tire pressure: 2,5 bar (placard ${pair})`)).toEqual([])
})

test('several in one sentence that runs over lines, each by its own name', () => {
  expect(
    values(`
      After the drive the roll angle was 0.42° (allowed −1.50° to 1.50°), within
      limits, and the stored azimuth was −1.73° (allowed
      −1.20° to 1.20°). Voltage while driving: 13.9 V.
    `),
  ).toMatchObject([
    { name: 'roll angle', value: 0.42, least: -1.5, most: 1.5, stated: 'ok' },
    { name: 'stored azimuth', value: -1.73, least: -1.2, most: 1.2, stated: null },
  ])
})

test('a sentence that tells a value among other numbers names it alone', () => {
  const [only, ...more] = values(`
    The camera of the car was aimed on 4 May 2026 and its pitch in the stand is 0.20 deg (limits
    -0.80 to 0.80 deg) as read in bay 2 (the long one) by the tool of the shop.
  `)
  expect(only).toMatchObject({ name: 'pitch in the stand', value: 0.2, least: -0.8, most: 0.8 })
  expect(more).toEqual([])
})
