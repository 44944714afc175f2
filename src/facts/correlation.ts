/** Do two series of one drive show the same motion, though their clocks may differ? */
import type { SpeedSample } from './motion.ts'

export interface Correlation {
  /** Pearson's, at the lag where it is greatest. */
  coefficient: number
  /** Seconds by which the second series runs after the first. */
  lagSeconds: number
  /** Both series at whole seconds, at that lag. */
  pairs: [first: number, second: number][]
}

/** Between samples farther apart than this, in seconds, no value is filled in. */
const widestFill = 10

/** The series at whole seconds from `from`, filled in linearly; NaN where it has a gap. */
function atWholeSeconds(samples: readonly SpeedSample[], from: number, count: number): Float64Array {
  const values = new Float64Array(count).fill(Number.NaN)
  for (let index = 1; index < samples.length; index++) {
    const [a, b] = [samples[index - 1], samples[index]]
    if (!a || !b || b.time <= a.time || b.time - a.time > widestFill) continue
    for (let second = Math.max(0, Math.ceil(a.time - from)); second <= b.time - from && second < count; second++) {
      values[second] = a.speed + ((b.speed - a.speed) * (second + from - a.time)) / (b.time - a.time)
    }
  }
  return values
}

/** Calls `visit` with what both series show, the second `lag` seconds later. */
function visitPairs(
  first: Float64Array,
  second: Float64Array,
  lag: number,
  visit: (a: number, b: number) => void,
): void {
  const end = Math.min(first.length, second.length - lag)
  for (let at = Math.max(0, -lag); at < end; at++) {
    const [a, b] = [first[at] ?? Number.NaN, second[at + lag] ?? Number.NaN]
    if (!Number.isNaN(a + b)) visit(a, b)
  }
}

interface Moments {
  count: number
  /** Standard deviations of both, and the mean product of their distances from their means. */
  spreads: readonly [number, number]
  shared: number
}

/** In two passes, as differences of large sums would lose what a steady speed leaves. */
function measureMoments(first: Float64Array, second: Float64Array, lag: number): Moments {
  let [count, sumA, sumB] = [0, 0, 0]
  visitPairs(first, second, lag, (a, b) => {
    count++
    sumA += a
    sumB += b
  })
  const [meanA, meanB] = [sumA / count, sumB / count]
  let [squareA, squareB, product] = [0, 0, 0]
  visitPairs(first, second, lag, (a, b) => {
    squareA += (a - meanA) ** 2
    squareB += (b - meanB) ** 2
    product += (a - meanA) * (b - meanB)
  })
  return { count, spreads: [Math.sqrt(squareA / count), Math.sqrt(squareB / count)], shared: product / count }
}

/**
 * The best correlation over lags of up to `mostLag` seconds either way, of two series in order of time; among equals the
 * least lag, and 0 where a series is constant. Null where at no lag both are known for `leastSeconds` and vary by
 * `leastSpread` (standard deviation): a steady speed fits any other.
 */
export function correlate(
  first: readonly SpeedSample[],
  second: readonly SpeedSample[],
  limits: { mostLag: number; leastSeconds: number; leastSpread: number },
): Correlation | null {
  const times = [...first, ...second].map(({ time }) => time)
  if (times.length === 0) return null
  const from = Math.floor(times.reduce((least, time) => Math.min(least, time)))
  const count = Math.ceil(times.reduce((most, time) => Math.max(most, time))) - from + 1
  // A log of more than a day is no drive, and would cost more than it tells.
  if (count > 86_400) return null
  const [a, b] = [atWholeSeconds(first, from, count), atWholeSeconds(second, from, count)]
  let best: Omit<Correlation, 'pairs'> | null = null
  for (let turn = 0; turn <= 2 * limits.mostLag; turn++) {
    const lag = turn % 2 === 1 ? (turn + 1) / 2 : -turn / 2
    const { count, spreads, shared } = measureMoments(a, b, lag)
    if (count < limits.leastSeconds || Math.min(...spreads) < limits.leastSpread) continue
    const scale = spreads[0] * spreads[1]
    const coefficient = scale > 0 ? shared / scale : 0
    if (best === null || coefficient > best.coefficient) best = { coefficient, lagSeconds: lag === 0 ? 0 : lag }
  }
  if (best === null) return null
  const pairs: [number, number][] = []
  visitPairs(a, b, best.lagSeconds, (x, y) => pairs.push([x, y]))
  return { ...best, pairs }
}
