/** What the value of a label looks like. */
import { describe, expect, test } from 'vitest'
import { fitOf, holdsDate } from '../../../src/facts/page/value-shapes.ts'
import type { LabelKey } from '../../../src/facts/vocabulary.ts'

describe('a value', () => {
  test.each<[LabelKey, string, ReturnType<typeof fitOf>]>([
    ['vin', '5W9HA4E2XNB104472', 'strong'],
    ['vin', '*********NB104472', 'weak'],
    ['vin', 'not read', null],
    ['date', '03/14/2026 2:05 PM', 'strong'],
    ['date', '14 March 2026', 'strong'],
    ['date', 'yesterday', null],
    ['started', '13:12', 'strong'],
    ['started', 'with the engine running', null],
    ['time', '2:05 PM', 'strong'],
    ['duration', '14 min 20 s', 'strong'],
    ['duration', '842', 'weak'],
    ['duration', 'long', null],
    ['distance', '11.8 mi', 'strong'],
    ['distance', '11.8', 'weak'],
    ['distance', 'far', null],
    ['odometer', '48,211 mi', 'strong'],
    ['odometer', '27 438', 'strong'],
    ['odometer', '12', 'weak'],
    ['odometer', 'not read', null],
    ['batteryVolts', '12.6 V', 'strong'],
    ['batteryVolts', '12,6', 'strong'],
    ['batteryVolts', 'good', null],
    ['progress', '100 %', 'strong'],
    ['progress', '100', 'weak'],
    ['progress', 'all', null],
    ['year', '2021 Corvane M4', 'strong'],
    ['year', '21', null],
    ['codeCount', '3', 'strong'],
    ['codeCount', 'none', 'strong'],
    ['codeCount', 'C1A67', null],
    ['jobNumber', 'RO-4471', 'weak'],
    ['jobNumber', '2026-05-21', null],
    ['jobNumber', 'see above', null],
    ['plate', 'HKD 481', 'weak'],
    ['plate', 'front', null],
    ['technician', 'Rosa van Okonjo', 'weak'],
    ['technician', '12.6 V', null],
    ['serial', 'LK8-220741', 'weak'],
    ['serial', '2026-05-21', null],
    ['method', 'Dynamic, on the road', 'strong'],
    ['method', '2026-05-21', null],
    ['outcome', 'Completed', 'strong'],
    ['outcome', '✓', 'weak'],
    ['outcome', '12', null],
  ])('of %s: %s', (key, text, fit) => {
    expect(fitOf(key, text)).toBe(fit)
  })

  test.each<LabelKey>(['vin', 'date', 'outcome', 'notes', 'technician'])('of %s is never a dash or nothing', (key) => {
    for (const text of ['', ' ', '--', '—', '...', '___']) expect(fitOf(key, text)).toBeNull()
  })
})

test.each([
  ['2026-05-21', true],
  ['21.05.2026', true],
  ['May 21, 2026', true],
  ['21 MAY 26', true],
  ['20260521T140500', true],
  ['12:40', false],
  ['1.5.2', false],
  ['-0.4 to 0.5', false],
])('holds a date: %s %s', (text, holds) => {
  expect(holdsDate(text)).toBe(holds)
})
