/** Signatures against exact measures and published check values. */
import { expect, test } from 'vitest'
import {
  bandKeys,
  compareSets,
  estimateLikeness,
  findingProbability,
  hashText,
  makeKey,
  mix32,
  signatureOf,
} from '../../../src/archive/seen/minhash.ts'
import { makeChance } from '../../bench/defects/chance.ts'

test('hashes are those that were published', () => {
  // MurmurHash3_x86_32 of nothing is its finaliser over the seed; check values of seeds 1 and 0xffffffff as they are widely
  // printed, from memory.
  expect([mix32(1), mix32(0xffffffff)]).toEqual([0x514e28b7, 0x81f16f39])
  // FNV-1a, 32 bits: draft-eastlake-fnv, appendix C: "a", "foobar".
  expect([hashText('a'), hashText('foobar')]).toEqual([mix32(0xe40c292c), mix32(0xbf9cf968)])
})

/** Two sets of hashes of which `shared` stand in both and `own` in each alone. */
function makePair(seed: number, shared: number, own: number): [Set<number>, Set<number>] {
  const chance = makeChance(seed)
  const draw = () => mix32(chance.whole(0, 0x7fffffff))
  const common = Array.from({ length: shared }, draw)
  const side = () => new Set([...common, ...Array.from({ length: own }, draw)])
  return [side(), side()]
}

test.each([
  [80, 10],
  [50, 25],
  [20, 90],
])('the estimate for %i shared and %i own each is near the exact measure', (shared, own) => {
  const errors = Array.from({ length: 60 }, (_, seed) => {
    const [a, b] = makePair(seed + 1, shared, own)
    return estimateLikeness(signatureOf(a), signatureOf(b)) - compareSets(a, b)
  })
  const exact = shared / (shared + 2 * own)
  const deviation = Math.sqrt((exact * (1 - exact)) / 100)
  const mean = errors.reduce((sum, error) => sum + error, 0) / errors.length
  // The mean of 60 within four of its standard errors, and none beyond five of a single one.
  expect(Math.abs(mean)).toBeLessThan((4 * deviation) / Math.sqrt(errors.length))
  expect(Math.max(...errors.map(Math.abs))).toBeLessThan(5 * deviation)
})

test('bands find what their arithmetic says', () => {
  // 1 - (1 - J^5)^20 for 20 bands of 5.
  expect(findingProbability(0.8)).toBeCloseTo(0.9996, 4)
  expect(findingProbability(0.5)).toBeCloseTo(0.47, 3)
  for (const [shared, own] of [
    [80, 10],
    [50, 25],
    [30, 35],
  ] as const) {
    const pairs = 400
    let found = 0
    for (let seed = 1; seed <= pairs; seed++) {
      const [a, b] = makePair(seed, shared, own).map((set) => new Set(bandKeys('text', signatureOf(set))))
      if (a && b && !a.isDisjointFrom(b)) found++
    }
    const expected = findingProbability(shared / (shared + 2 * own))
    const error = Math.sqrt((expected * (1 - expected)) / pairs)
    expect(Math.abs(found / pairs - expected)).toBeLessThan(4 * error + 0.005)
  }
})

test('signatures and keys are the same in every run and version', () => {
  const signature = signatureOf([1, 2, 3].map(mix32))
  expect([...signature.slice(0, 3)]).toEqual([1294791470, 391055678, 2212572933])
  expect(bandKeys('text', signature).slice(0, 2)).toEqual([267521823757493, 54205498762309])
  expect(() => signatureOf([])).toThrow('An empty set has no signature')
})

test('keys are whole numbers of 48 bits, and differ by kind and band', () => {
  const keys = [
    makeKey('text', 0, [1, 2]),
    makeKey('track', 0, [1, 2]),
    makeKey('text', 1, [1, 2]),
    makeKey('text', 0, [2, 1]),
  ]
  expect(new Set(keys).size).toBe(4)
  for (const key of keys) expect(Number.isSafeInteger(key) && key >= 0 && key < 2 ** 48).toBe(true)
})
