/** Conditions in every manner of stating them. Forms of words and values are invented; common practice, no source. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Condition, DocumentKind } from '../../../src/facts/document.ts'
import { readTirePressures } from '../../../src/facts/recognise/tire-pressures.ts'
import { recognise } from './recognised.ts'

const read = (text: string, kind: DocumentKind = 'calibration') => recognise(text, kind).conditions ?? []
const brief = ({ text: _, ...rest }: Condition) => rest
const about = (kind: Condition['about'], text: string, as: DocumentKind = 'calibration') =>
  read(text, as)
    .filter((one) => one.about === kind)
    .map(brief)

describe('battery support', () => {
  test.each([
    ['Battery voltage:   13.6 V (support unit connected)', 'ok'],
    ['BATTERY .............. 13.2 VOLT, CHARGER ON', 'ok'],
    ['Battery:   13.42 V, maintained', 'ok'],
    ['Charger:   connected', 'ok'],
    ['Battery support:   On, 13.6 V', 'ok'],
    ['Charger:   not connected', 'out'],
    ['Battery support:   none', 'out'],
  ])('%s', (text, stated) => {
    for (const kind of ['pre-scan', 'calibration'] as const)
      expect(about('battery-support', text, kind)).toEqual([{ about: 'battery-support', stated }])
  })

  test('a charger of the vehicle is none', () => {
    expect(about('battery-support', 'Wireless charger:   on')).toEqual([])
    expect(about('battery-support', 'On-Board Charger   OK', 'post-scan')).toEqual([])
  })

  test('a second voltage is kept, that of a freeze frame is not', () => {
    expect(about('supply-volts', 'Battery voltage:   12.6 V\nSupply voltage:   11.3 V')).toEqual([
      { about: 'supply-volts', value: 11.3, unit: 'V' },
    ])
    const scan = 'Battery voltage:   12.6 V\n\nFreeze frame: Odometer 28,411 mi Speed 31 mph Supply 13.9 V'
    expect(about('supply-volts', scan, 'pre-scan')).toEqual([])
  })
})

describe('tire pressures', () => {
  const tire = (rest: Partial<Condition>) => ({ about: 'tire-pressure', ...rest })

  test.each<[string, Partial<Condition>[]]>([
    ['Tire pressure:   35 psi cold, placard 35 psi', [{ value: 35, unit: 'psi', wanted: 35 }]],
    ['Tyre pressures:   2.4 bar all wheels (placard 2.4)', [{ value: 2.4, unit: 'bar', wanted: 2.4 }]],
    ['TIRE PRESSURES ....... 33 PSI COLD, PLACARD 33', [{ value: 33, unit: 'psi', wanted: 33 }]],
    ['Tires      34 psi cold\nPlacard    36 psi', [{ value: 34, unit: 'psi', wanted: 36 }]],
    ['Tires stood at 240 kPa as the placard asks, and the bay was warm.', [{ value: 240, unit: 'kPa', stated: 'ok' }]],
    ['The tires were set cold before the work, and the doors were shut.', [{}]],
  ])('%s', (text, want) => {
    expect(about('tire-pressure', text)).toEqual(want.map(tire))
  })

  test.each([
    ['FL 235 FR 236 RL 225 RR 228 kPa, placard 235 front 225 rear', '', 'kPa'],
    ['FL 235 FR 236 RL 225 RR 228 kPa, placard rear 225 front 235', '', 'kPa'],
    ['FL 235 FR 236 RL 225 RR 228 kPa (placard 235/225)', '', 'kPa'],
    ['235/236/225/228 kPa, placard 235/225', 'Tires LF/RF/LR/RR', 'kPa'],
    ['left front 235, right front 236, left rear 225, right rear 228 kPa, placard 235/225', '', 'kPa'],
  ])('%s: each with its wheel and axle', (text, label, unit) => {
    expect(readTirePressures(text, label, '', {}).map(({ wheel, value, wanted }) => [wheel, value, wanted])).toEqual([
      ['front-left', 235, 235],
      ['front-right', 236, 235],
      ['rear-left', 225, 225],
      ['rear-right', 228, 225],
    ])
    expect(readTirePressures(text, label, '', {}).every((one) => one.unit === unit)).toBe(true)
  })

  test.each([
    ['front 36 psi, rear 33 psi', '', 'front 36 psi, rear 35 psi'],
    ['36 psi front, 33 psi rear', '', 'front 36 psi, rear 35 psi'],
    ['front/rear 36/33 psi', '', '36/35'],
    ['36/33 psi', 'Tires front/rear', 'rear 35 psi, front 36 psi'],
    ['Front tires 36 psi, rear tires 33 psi, placard 36/35', '', ''],
  ])('%s: one figure an axle', (text, label, placard) => {
    expect(readTirePressures(text, label, placard, {}).map(brief)).toEqual([
      tire({ value: 36, unit: 'psi', wheel: 'front', wanted: 36 }),
      tire({ value: 33, unit: 'psi', wheel: 'rear', wanted: 35 }),
    ])
  })

  test('one figure for both axles', () => {
    expect(readTirePressures('36 psi front and rear', '', '', {}).map(brief)).toEqual([
      tire({ value: 36, unit: 'psi' }),
    ])
    expect(readTirePressures('front 36 psi, rear not checked', '', '', {})).toEqual([])
  })

  test('a wheel or an axle in the label', () => {
    expect(about('tire-pressure', 'Tire pressure front left:   36 psi\nRear tire pressure:   33 psi')).toEqual([
      tire({ value: 36, unit: 'psi', wheel: 'front-left' }),
      tire({ value: 33, unit: 'psi', wheel: 'rear' }),
    ])
  })

  test.each([
    [
      'Tires   Found (kPa)   Set (kPa)   Placard (kPa)\nLF      210           240         250\nRR      190           230         220',
      'kPa',
      1,
    ],
    [
      'Tire pressures\nWheel         Measured    Placard\nFront left    2.4 bar     2.5 bar\nRear right    2.3 bar     2.2 bar',
      'bar',
      100,
    ],
    [
      'Tire          Placard, kPa    Measured, kPa\nFront left    250             240\nRear right    220             230',
      'kPa',
      1,
    ],
  ])('in a table of wheels: %s', (text, unit, scale) => {
    const row = (value: number, wanted: number, wheel: Condition['wheel']) =>
      tire({ value: value / scale, unit, ...(wheel ? { wheel } : {}), wanted: wanted / scale })
    expect(about('tire-pressure', text)).toEqual([row(240, 250, 'front-left'), row(230, 220, 'rear-right')])
  })

  test.each([
    'Brake pressure of each wheel\nWheel         Measured\nFront left    8 bar\nRear right    7 bar',
    'Tires         First      Second\nFront left    36 psi     34 psi',
    'Tires         Tread depth\nFront left    6',
    'Tires         Deviation (psi)\nFront left    14',
  ])('abstains from rows of wheels that tell something else: %s', (text) => {
    expect(about('tire-pressure', text)).toEqual([])
  })

  test('four numbers whose order nobody states are no wheels, and wear no placard of an axle', () => {
    expect(readTirePressures('33/33/32/32 psi', 'Tires', '33/32', {}).map(brief)).toEqual(
      [33, 33, 32, 32].map((value) => tire({ value, unit: 'psi' })),
    )
  })

  test('abstains where units differ, a wheel is missing or a number is no pressure', () => {
    expect(readTirePressures('235 kPa', '', '34 psi', {})).toEqual([])
    expect(readTirePressures('FL 35 FR 35 RL 33 33 psi', '', '', {})).toEqual([])
    expect(readTirePressures('size 225 55 R17, 35 psi', '', '', {})).toEqual([])
    expect(readTirePressures('35', '', '', {})).toEqual([])
  })

  test('reads back what it was given, whatever the unit', () => {
    const pressure = fc.oneof(
      fc.tuple(fc.integer({ min: 80, max: 999 }), fc.constant('kPa')),
      fc.tuple(fc.integer({ min: 12, max: 145 }), fc.constant('psi')),
      fc.tuple(
        fc.integer({ min: 8, max: 99 }).map((tenths) => tenths / 10),
        fc.constant('bar'),
      ),
    )
    fc.assert(
      fc.property(pressure, ([value, unit]) => {
        expect(readTirePressures(`${value} ${unit} cold, placard ${value} ${unit}`, '', '', {}).map(brief)).toEqual([
          tire({ value, unit, wanted: value }),
        ])
      }),
    )
  })
})

describe('fuel, load, ride height, steering, floor and light', () => {
  test.each<[Condition['about'], string, Partial<Condition>]>([
    ['fuel', 'Fuel:   3/4', {}],
    ['fuel', 'Fuel level:   60 %', { value: 60, unit: '%' }],
    ['load', 'Cargo:   none', {}],
    ['load', 'Load:   two persons', {}],
    ['ride-height', 'Ride height:   within specification', { stated: 'ok' }],
    ['ride-height', 'Ride height:   412 mm (400-425)', { value: 412, unit: 'mm', least: 400, most: 425 }],
    ['ride-height', 'Ride height:   out of range', { stated: 'out' }],
    ['steering-zero', 'Steering angle at rest:   0.3° (limit ±2°)', { value: 0.3, unit: 'deg', least: -2, most: 2 }],
    ['floor', 'Floor level:   4 mm over the bay, limit 10 mm', { value: 4, unit: 'mm', most: 10 }],
    ['floor', 'Floor:   out of level by 5 mm over the bay, allowed 10 mm', { value: 5, unit: 'mm', most: 10 }],
    ['floor', 'Floor:   4 mm over 5 m', { value: 4, unit: 'mm' }],
    ['floor', 'Floor and targets:   measured, in tolerance', { stated: 'ok' }],
    ['light', 'Lighting:   even', {}],
  ])('%s: %s', (kind, text, want) => {
    expect(about(kind, text)).toEqual([{ about: kind, ...want }])
  })

  test('in one sentence', () => {
    const text = `
      Before the start: tires 35 psi cold (placard 35), fuel five eighths, no load, ride height as specified,
      steering wheel straight at 0.2 deg. The floor of the bay was level within 4 mm.
    `
    expect(read(text).map(brief)).toEqual([
      { about: 'tire-pressure', value: 35, unit: 'psi', wanted: 35 },
      { about: 'fuel' },
      { about: 'load' },
      { about: 'ride-height', stated: 'ok' },
      { about: 'steering-zero', value: 0.2, unit: 'deg' },
      { about: 'floor', value: 4, unit: 'mm' },
    ])
  })

  test('as steps with a badge', () => {
    const text = 'Bed empty, tank full                   PASS\nRide height measured on four corners   FAIL'
    expect(read(text).map(brief)).toEqual([
      { about: 'load', stated: 'ok' },
      { about: 'fuel', stated: 'ok' },
      { about: 'ride-height', stated: 'out' },
    ])
  })

  test('behind a label that names another', () => {
    expect(read('Load:   no cargo, tank 62 %, ride height 655 mm').map(brief)).toEqual([
      { about: 'load' },
      { about: 'fuel', value: 62, unit: '%' },
      { about: 'ride-height', value: 655, unit: 'mm' },
    ])
  })

  test.each([
    'Set the tires to 36 psi before the work is begun, and remove all cargo.',
    'The floor must be level within 10 mm over the whole of the bay.',
    'Tire pressure:   not recorded',
    'Ride height:   n/a',
    'Floor level',
    'The left front tire was replaced and the customer was told about it.',
  ])('is no record: %s', (text) => {
    expect(read(text)).toEqual([])
  })

  test('modules of a scan are none', () => {
    const text = 'Tire pressure monitor     OK\nRain and light sensor     OK\nRide height sensor        OK'
    expect(read(text, 'post-scan')).toEqual([])
  })
})

test('target figures come with the limits of the measured value', () => {
  const text = `
    Calibration record
    Sensor:   Front camera
    Method:   static
    Result:   completed
    Parameter          Measured    Nominal    Tolerance
    Target distance    1502 mm     1500 mm    ± 10 mm
    Target height      1048 mm     1050 mm    ± 10 mm
  `
  expect(read(text).map(brief)).toEqual([
    { about: 'target-distance', value: 1502, unit: 'mm', least: 1490, most: 1510 },
    { about: 'target-height', value: 1048, unit: 'mm', least: 1040, most: 1060 },
  ])
})

test('each has its place', () => {
  const { conditions = [], evidence } = recognise('Fuel:   3/4\nCargo:   none', 'calibration')
  expect(conditions.map((_, i) => evidence[`conditions.${i}`]?.[0]?.text)).toEqual(['Fuel: 3/4', 'Cargo: none'])
})
