/** What of a report's words is compared. */
import { describe, expect, test } from 'vitest'
import { maskLine, namesOf, valuePairs } from '../../../src/archive/seen/mask.ts'
import { bandKeys, compareSets, findingProbability, signatureOf } from '../../../src/archive/seen/minhash.ts'
import { makeChance } from '../../bench/defects/chance.ts'
import { makeDocument, vin } from '../../checks/packet-builder.ts'

const names = namesOf(
  [makeDocument('scan', 'a.pdf', { plate: 'KLM-204', jobNumber: 'RO-10482', odometer: { value: 48_211, unit: 'mi' } })],
  vin,
)

describe('a line', () => {
  test.each([
    [`VIN: ${vin}  Plate KLM 204`, 'vin: ∎vin plate ∎name'],
    ['Repair order RO10482, 03/14/2026 2:05 PM', 'repair order ∎name , ∎time'],
    ['Odometer 48,211 mi', 'odometer ∎name mi'],
    ['Page 2 of 3', '∎page'],
    ['Battery voltage 12.63 V', 'battery voltage 12.63 v'],
  ])('%s', (line, masked) => {
    expect(maskLine(line, names)).toBe(masked)
  })
})

test('only pairs that hold a value count', () => {
  expect(valuePairs(['All modules answered and hold no fault'], [])).toEqual([])
  expect(valuePairs(['Yaw angle 0.12 deg'], [])).toHaveLength(2)
})

/** A report of one layout: words that all share, and values that are drawn. */
function makeReport(seed: number): string[] {
  const chance = makeChance(seed)
  return Array.from({ length: 40 }, (_, at) => {
    const value = (chance.even() * 20).toFixed(2)
    return `Module ${'ABCDEFGH'[at % 8]}${at} supply ${value} V angle ${chance.normal().toFixed(2)} deg within its limits`
  })
}

test('reports that share their words and not their values are not alike', () => {
  const [a, b] = [1, 2].map((seed) => new Set(valuePairs(makeReport(seed), [])))
  expect(compareSets(a ?? new Set(), b ?? new Set())).toBeLessThan(0.3)
})

test('a report of which one word in ten was changed is found again', () => {
  let [found, expected] = [0, 0]
  for (let seed = 1; seed <= 60; seed++) {
    const chance = makeChance(seed + 500)
    const report = makeReport(seed)
    const edited = report.map((line) =>
      line
        .split(' ')
        .map((word) => (chance.likely(0.1) ? `x${chance.whole(0, 9999)}` : word))
        .join(' '),
    )
    const [a, b] = [report, edited].map((lines) => valuePairs(lines, []))
    if (!a || !b) continue
    const likeness = compareSets(new Set(a), new Set(b))
    expect(likeness).toBeGreaterThan(0.4)
    expected += findingProbability(likeness)
    if (!new Set(bandKeys('text', signatureOf(a))).isDisjointFrom(new Set(bandKeys('text', signatureOf(b))))) found++
  }
  expect(Math.abs(found - expected)).toBeLessThan(10)
  expect(found).toBeGreaterThan(45)
})
