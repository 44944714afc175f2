/** Labels inside sentences. */
import { describe, expect, test } from 'vitest'
import { findProseFields } from '../../../src/facts/page/prose.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { celled, draw, drawLines, page } from '../../reading/page-builder.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

const sentence = [
  'The vehicle of registration HKD 481, its odometer showing',
  '27 438 km and its battery voltage at 12.6 V, was seen in',
  'our bay under job number 4471 and was begun on 14 March',
  '2026 at 09:10 by the technician Ilse Maronne alone.',
]

const told = (texts: readonly string[]) =>
  findProseFields(layOut([page(drawLines(40, 40, texts))]), vocabulary).map(({ meanings, value }) => [
    meanings[0]?.key,
    value,
  ])

describe('a paragraph', () => {
  test('tells its values behind their labels, over the ends of lines', () => {
    const found = Object.fromEntries(told(sentence))
    expect(found).toMatchObject({ odometer: '27 438 km', batteryVolts: '12.6 V', jobNumber: '4471' })
    expect(found.plate).toContain('HKD')
  })

  test('ranks behind what a form or a table says', () => {
    const fields = findProseFields(layOut([page(drawLines(40, 40, sentence))]), vocabulary)
    expect(fields.length).toBeGreaterThan(0)
    for (const { meanings } of fields) expect(meanings[0]?.rank).toBeGreaterThanOrEqual(2000)
  })

  test('has its places on the lines where the values stand', () => {
    const fields = findProseFields(layOut([page(drawLines(40, 40, sentence))]), vocabulary)
    const odometer = fields.find(({ meanings }) => meanings[0]?.key === 'odometer')
    expect(odometer?.place.box[1]).toBe(54)
    expect(odometer?.labelPlace.box[1]).toBe(40)
  })

  test('does not reach over the end of a sentence', () => {
    expect(told(['We looked at the odometer. 27 438 km were driven before that day.'])).toEqual([])
  })

  test('tells nothing where the value has no shape of its own', () => {
    expect(told(['The odometer was read, and the technician said that all was well.'])).toEqual([])
  })
})

test('a few words, a table row and structured text are no paragraph', () => {
  expect(told(['odometer 27 438 km'])).toEqual([])
  const row = page([...draw(40, 40, 'the odometer of this car was'), ...draw(400, 40, '27 438 km')])
  expect(findProseFields(layOut([row]), vocabulary)).toEqual([])
  expect(findProseFields(layOut([celled([[sentence.join(' ')]])]), vocabulary)).toEqual([])
})

test('a label does not reach over a comma', () => {
  const words = drawLines(40, 40, [
    'We confirm that the front radar of this vehicle, serial number NR-77-20415, was',
    'aimed on the road.',
  ])
  const keys = findProseFields(layOut([page(words)]), vocabulary).flatMap(({ meanings }) =>
    meanings.map(({ key }) => key),
  )
  expect(keys).toContain('serial')
  expect(keys).not.toContain('vin')
})
