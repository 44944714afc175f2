/** Statistics against the worked examples that were published. */
import { describe, expect, test } from 'vitest'
import {
  adjustForMany,
  binomialProbability,
  funnelLimits,
  quantile,
  wilsonInterval,
  z95,
  z998,
} from '../../../src/archive/audit/statistics.ts'

const round = ({ least, most }: { least: number; most: number }) => [least, most].map((rate) => Number(rate.toFixed(4)))

describe("Wilson's interval", () => {
  // Newcombe, Statistics in Medicine 17 (1998), 857-872, table I, method 3; values by way of shared check values, from memory.
  test.each([
    [81, 263, [0.2553, 0.3662]],
    [0, 20, [0, 0.1611]],
    [1, 29, [0.0061, 0.1718]],
    [15, 148, [0.0624, 0.1605]],
  ])('of %i among %i is as Newcombe prints it', (events, trials, interval) => {
    expect(round(wilsonInterval(events, trials))).toEqual(interval)
  })

  test('of nothing says nothing, and lies in 0 to 1', () => {
    expect(wilsonInterval(0, 0)).toEqual({ least: 0, most: 1 })
    expect(wilsonInterval(5, 5).most).toBe(1)
  })
})

// Spiegelhalter, Statistics in Medicine 24 (2005), 1185-1202: limits of a proportion .10 among 100, from memory.
test('the limits of a funnel are those of the normal approximation', () => {
  expect(round(funnelLimits(0.1, 100, z95))).toEqual([0.0412, 0.1588])
  expect(round(funnelLimits(0.1, 100, z998))).toEqual([0.0073, 0.1927])
  expect(funnelLimits(0.01, 10).least).toBe(0)
  expect(funnelLimits(0.5, 0)).toEqual({ least: 0, most: 1 })
})

// Benjamini and Hochberg, Journal of the Royal Statistical Society B 57 (1995), 289-300, section 3.2.
test('of the fifteen published probabilities four are significant at .05', () => {
  const published = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
  ]
  const adjusted = adjustForMany(published)
  expect(adjusted.filter((one) => one <= 0.05)).toHaveLength(4)
  expect(adjusted[3]).toBeCloseTo(0.035625, 10)
  // In whatever order they come.
  const shuffled = [...published].reverse()
  expect(adjustForMany(shuffled)).toEqual([...adjusted].reverse())
  expect(adjustForMany([])).toEqual([])
})

describe('the exact binomial probability', () => {
  // R 4: 2 * min(pbinom(9, 50, .1, lower.tail = FALSE), pbinom(10, 50, .1)), and the like; from memory of the distribution's
  // tables: P(X >= 10 | 50, .1) = .0245, P(X = 0 | 10, .5) = 1/1024.
  test('is twice the smaller tail', () => {
    expect(binomialProbability(10, 50, 0.1)).toBeCloseTo(2 * 0.0245, 3)
    expect(binomialProbability(0, 10, 0.5)).toBeCloseTo(2 / 1024, 12)
    expect(binomialProbability(5, 10, 0.5)).toBe(1)
  })

  test('is that of the sum of its terms, for every count', () => {
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k)
    for (let events = 0; events <= 12; events++) {
      const terms = Array.from({ length: 13 }, (_, k) => choose(12, k) * 0.3 ** k * 0.7 ** (12 - k))
      const sum = (from: number, to: number) => terms.slice(from, to).reduce((total, term) => total + term, 0)
      expect(binomialProbability(events, 12, 0.3)).toBeCloseTo(
        Math.min(1, 2 * Math.min(sum(0, events + 1), sum(events, 13))),
        12,
      )
    }
  })

  test('knows certainty', () => {
    expect(binomialProbability(0, 20, 0)).toBe(1)
    expect(binomialProbability(1, 20, 0)).toBe(0)
    expect(binomialProbability(20, 20, 1)).toBe(1)
  })
})

// R 4: quantile(c(1, 2, 3, 4), c(.25, .5, .75)) gives 1.75, 2.50, 3.25 (type 7).
test('quantiles lie between values', () => {
  expect([0.25, 0.5, 0.75].map((part) => quantile([1, 2, 3, 4], part))).toEqual([1.75, 2.5, 3.25])
  expect(quantile([], 0.5)).toBeNull()
})
