/** Labels and their values, wherever on the page the value stands. */
import { describe, expect, test } from 'vitest'
import { findFields } from '../../../src/facts/page/fields.ts'
import type { Word } from '../../../src/facts/reading.ts'
import { fieldsFor } from '../../../src/facts/recognise/sheet.ts'
import type { LabelKey } from '../../../src/facts/vocabulary.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { celled, draw, drawLines, drawRow, page } from '../../reading/page-builder.ts'
import { sheetOf } from '../recognise/recognised.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

const fieldsOn = (...words: Word[][]) => findFields(layOut([page(words.flat())]), vocabulary, () => false)

/** What a page says under a label, the plainest first. */
function valuesOf(key: LabelKey, ...words: Word[][]): string[] {
  return fieldsOn(...words)
    .filter(({ meanings }) => meanings.some((meaning) => meaning.key === key))
    .map(({ value }) => value)
}

describe('the value of a label', () => {
  test.each([
    ['behind a colon', draw(40, 40, 'Odometer: 48211 mi'), 'inline'],
    ['behind a colon set apart', [...draw(40, 40, 'Odometer'), ...draw(150, 40, ': 48211 mi')], 'beside'],
    ['behind the label, by its shape alone', draw(40, 40, 'Odometer 48211 mi'), 'inline'],
    [
      'in the next cell',
      drawRow(40, [
        [40, 'Odometer'],
        [200, '48211 mi'],
      ]),
      'beside',
    ],
    [
      'in the next cell, behind a colon',
      drawRow(40, [
        [40, 'Odometer:'],
        [200, '48211 mi'],
      ]),
      'beside',
    ],
    [
      'behind leader dots',
      drawRow(40, [
        [40, 'Odometer'],
        [100, '.........'],
        [200, '48211 mi'],
      ]),
      'beside',
    ],
    ['beneath', drawLines(40, 40, ['Odometer', '48211 mi']), 'beneath'],
  ] as const)('stands %s', (_where, words, arrangement) => {
    const [field] = fieldsOn([...words])
    expect(field).toMatchObject({ value: '48211 mi', arrangement })
    expect(field?.meanings[0]?.key).toBe('odometer')
  })

  test('stands above, where the whole page puts values above their labels', () => {
    const rows: [number, string, string][] = [
      [40, '5W9HA4E2XNB104472', 'VIN'],
      [80, '48211 mi', 'Odometer'],
      [120, '12.6 V', 'Battery voltage'],
    ]
    const words = rows.map(([y, value, label]) => [...draw(40, y, value), ...draw(40, y + 12, label, { size: 7 })])
    expect(valuesOf('odometer', ...words)).toEqual(['48211 mi'])
    expect(valuesOf('vin', ...words)).toEqual(['5W9HA4E2XNB104472'])
    expect(valuesOf('batteryVolts', ...words)).toEqual(['12.6 V'])
  })

  test('stands beneath in a grid of rows of labels and rows of values', () => {
    const grid = [
      ...drawRow(40, [
        [40, 'VIN'],
        [240, 'Odometer'],
        [400, 'Plate'],
      ]),
      ...drawRow(54, [
        [40, '5W9HA4E2XNB104472'],
        [240, '48211 mi'],
        [400, 'HKD 481'],
      ]),
      ...drawRow(80, [
        [40, 'Technician'],
        [240, 'Battery'],
        [400, 'Repair order'],
      ]),
      ...drawRow(94, [
        [40, 'Rosa Okonjo'],
        [240, '12.6 V'],
        [400, '4471'],
      ]),
    ]
    expect(valuesOf('vin', grid)).toEqual(['5W9HA4E2XNB104472'])
    expect(valuesOf('odometer', grid)).toEqual(['48211 mi'])
    expect(valuesOf('plate', grid)).toEqual(['HKD 481'])
    expect(valuesOf('technician', grid)).toEqual(['Rosa Okonjo'])
    expect(valuesOf('batteryVolts', grid)).toEqual(['12.6 V'])
    expect(valuesOf('jobNumber', grid)).toEqual(['4471'])
  })

  test('is never another label', () => {
    const words = [...drawLines(40, 40, ['Claim number', 'Plate', 'HKD 481'])]
    expect(valuesOf('claimNumber', words)).toEqual([])
    expect(valuesOf('plate', words)).toEqual(['HKD 481'])
  })

  test('is known with its place, and so is its label', () => {
    const [field] = fieldsOn(
      drawRow(40, [
        [40, 'Odometer:'],
        [200, '48211 mi'],
      ]),
    )
    expect(field?.place).toEqual({ page: 1, box: [200, 40, 237.8, 50], text: '48211 mi' })
    expect(field?.labelPlace.text).toBe('Odometer:')
    expect(field?.label).toBe('Odometer')
  })
})

describe('several labels', () => {
  test('in one cell take the words up to the next', () => {
    const words = draw(40, 40, 'RO: 4471, Claim: BW-77120, Odo: 48211 mi')
    // Punctuation is left to whoever reads the value.
    expect(valuesOf('jobNumber', words)).toEqual(['4471,'])
    expect(valuesOf('claimNumber', words)).toEqual(['BW-77120,'])
    expect(valuesOf('odometer', words)).toEqual(['48211 mi'])
  })

  test('in one cell, set apart by a bar', () => {
    const words = draw(40, 40, 'VIN: 5W9HA4E2XNB104472 | Plate: HKD 481')
    expect(valuesOf('vin', words)).toEqual(['5W9HA4E2XNB104472'])
    expect(valuesOf('plate', words)).toEqual(['HKD 481'])
  })

  test('may mean one word: what it can mean is kept, the plainest first', () => {
    const [field] = fieldsOn(draw(40, 40, 'Serial no.: LK8-220741'))
    expect(field?.meanings.map(({ key }) => key)).toEqual(expect.arrayContaining(['serial', 'instrumentSerial']))
    const ranks = field?.meanings.map(({ rank }) => rank) ?? []
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b))
  })
})

describe('labels that the vocabulary does not know', () => {
  test('are kept with their value and mean nothing', () => {
    expect(fieldsOn(draw(40, 40, 'Zorbel lamp: 4'))).toMatchObject([{ label: 'Zorbel lamp', value: '4', meanings: [] }])
  })

  test('mean what their known end says, less plainly', () => {
    const [field] = fieldsOn(draw(40, 40, "Customer's licence plate: HKD 481"))
    expect(field?.meanings[0]?.key).toBe('plate')
    expect(field?.meanings[0]?.rank).toBeGreaterThanOrEqual(1000)
  })

  test.each(['Bench check valid to', 'Zorbel renewal due', 'Licence expires'])(
    'say when something expires, whatever it is: %s',
    (label) => {
      const keys = fieldsOn(draw(40, 40, `${label}: 2027-04-01`)).flatMap(({ meanings }) =>
        meanings.map(({ key }) => key),
      )
      expect(keys).toContain('expiry')
      expect(keys).not.toContain('date')
    },
  )

  test.each(['The radar was aimed at noon', 'started with care', 'Results follow'])(
    'words are no label: %s',
    (text) => {
      expect(fieldsOn(draw(40, 40, text)).filter(({ meanings }) => meanings.length > 0)).toEqual([])
    },
  )

  test('"of" turns a label around: the serial of the sensor', () => {
    const [field] = fieldsOn(draw(40, 40, 'Serial number of the sensor: LK8-220741'))
    expect(field?.meanings.map(({ key }) => key)).toContain('serial')
  })
})

describe('a label too general to mean anything', () => {
  test('takes the heading above it: "Odometer", beneath it "reading: 58120"', () => {
    const words = [
      ...draw(40, 40, 'Odometer', { bold: true }),
      ...draw(48, 54, 'reading: 58120'),
      ...draw(48, 68, 'unit: km'),
    ]
    expect(valuesOf('odometer', words)).toContain('58120')
  })

  test('keeps to itself where the heading speaks of something else', () => {
    const words = [...draw(40, 40, 'Zorbel lamp', { bold: true }), ...draw(48, 54, 'reading: 58120')]
    expect(valuesOf('odometer', words)).toEqual([])
  })
})

describe('words that are labels elsewhere', () => {
  test('are the value behind a label that asks for an outcome', () => {
    expect(
      valuesOf(
        'outcome',
        drawRow(40, [
          [40, 'Verdict'],
          [200, 'Learned'],
        ]),
      ),
    ).toEqual(['Learned'])
    expect(
      valuesOf(
        'outcome',
        drawRow(40, [
          [40, 'Result'],
          [200, 'Completed'],
        ]),
      ),
    ).toEqual(['Completed'])
  })
})

test('structured text keeps to the cell beside a label', () => {
  const layout = layOut([
    celled([
      ['odometer', '48211 km'],
      ['plate', 'HKD 481'],
      ['vin', '5W9HA4E2XNB104472'],
    ]),
  ])
  const fields = findFields(layout, vocabulary, () => false)
  expect(fields.map(({ value }) => value)).toEqual(['48211 km', 'HKD 481', '5W9HA4E2XNB104472'])
})

test('lines that a table has taken give no fields', () => {
  const layout = layOut([page(draw(40, 40, 'Odometer: 48211 mi'))])
  expect(findFields(layout, vocabulary, () => true)).toEqual([])
})

test('the plainest label comes first, then the order of the page', () => {
  const sheet = sheetOf(`
    Printed: 2026-05-22 09:00
    Scan date: 2026-05-21 14:05
  `)
  expect(fieldsFor(sheet, 'date').map(({ value }) => value)).toEqual(['2026-05-21 14:05', '2026-05-22 09:00'])
})

describe('a label said in two languages', () => {
  test.each([
    ['a colon behind the second', 'Kilometerstand / Odometer: 48 214 km', 'odometer', '48 214 km'],
    ['a colon behind the first known one', 'Technician / Prüfer: Wiebke Harms', 'technician', 'Wiebke Harms'],
    ['as one word', 'INICIO/START 16:05', 'started', '16:05'],
    ['as one word, a name behind it', 'TECNICO/TECHNICIAN Nuria Belmar', 'technician', 'Nuria Belmar'],
    ['many words', 'N° de série de l’appareil / Tool serial no.: OL6-55290', 'instrumentSerial', 'OL6-55290'],
  ] as const)('%s', (_how, text, key, value) => {
    expect(valuesOf(key, draw(40, 40, text))[0]).toBe(value)
  })

  test('and a value in two languages make no pair of labels', () => {
    expect(valuesOf('date', draw(40, 40, 'Fecha / Date: 13 de marzo de 2026 / 13 March 2026'))[0]).toBe(
      '13 de marzo de 2026 / 13 March 2026',
    )
  })

  test('gives one number to the job or the claim, not to both', () => {
    const [field] = fieldsOn(draw(40, 40, 'Dossier / Claim no.: 2026-AQ-30551'))
    expect(field?.meanings.map(({ key }) => key)).toEqual(['claimNumber'])
  })
})

describe('a value that goes on beneath', () => {
  const beside = (value: readonly string[], label = 'End') => [
    ...draw(40, 40, label),
    ...value.flatMap((line, i) => draw(200, 40 + 11 * i, line)),
  ]

  test.each([
    ['the minutes behind "h"', 'End', ['2026-04-24 10 h', '42'], '2026-04-24 10 h 42'],
    ['the options of a form', 'Method:', ['☐ Static', '☒ Dynamic'], '☐ Static ☒ Dynamic'],
  ])('%s', (_what, label, value, whole) => {
    expect(fieldsOn(beside(value, label))[0]?.value).toBe(whole)
  })

  test('not what only stands there', () => {
    expect(fieldsOn(beside(['2026-04-24 10 h', 'noon']))[0]?.value).toBe('2026-04-24 10 h')
  })

  test('where a full line ends: "Odometer: 48" over "247 km"', () => {
    const flow = [
      ...draw(40, 40, 'VIN: 5W9HA4E2XNB104472'),
      ...draw(400, 40, 'Odometer: 48'),
      ...draw(40, 51, '247 km'),
    ]
    expect(valuesOf('odometer', flow)).toEqual(['48 247 km'])
    const loose = [...flow, ...draw(600, 100, 'further right')]
    expect(valuesOf('odometer', loose)).toEqual(['48'])
  })
})
