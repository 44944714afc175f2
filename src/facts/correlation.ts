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

/** The series at whole seconds from `from`, filled in linearly; null where it has a gap. */
function atWholeSeconds(samples: readonly SpeedSample[], from: number, count: number): (number | null)[] {
  const values: (number | null)[] = new Array(count).fill(null)
  for (let index = 1; index < samples.length; index++) {
    const [a, b] = [samples[index - 1], samples[index]]
    if (!a || !b || b.time <= a.time || b.time - a.time > widestFill) continue
    for (let second = Math.max(0, Math.ceil(a.time - from)); second <= b.time - from && second < count; second++) {
      values[second] = a.speed + ((b.speed - a.speed) * (second + from - a.time)) / (b.time - a.time)
    }
  }
  return values
}

function pairsAt(
  first: readonly (number | null)[],
  second: readonly (number | null)[],
  lag: number,
): [number, number][] {
  const pairs: [number, number][] = []
  for (let at = Math.max(0, -lag); at < first.length && at + lag < second.length; at++) {
    const [a, b] = [first[at], second[at + lag]]
    if (a !== null && a !== undefined && b !== null && b !== undefined) pairs.push([a, b])
  }
  return pairs
}

function pearson(pairs: readonly (readonly [number, number])[]): number {
  const spreads = [0, 1].map((side) => spreadOf(pairs.map((pair) => pair[side] ?? 0)))
  const [a, b] = [meanOf(pairs.map(([x]) => x)), meanOf(pairs.map(([, y]) => y))]
  const shared = meanOf(pairs.map(([x, y]) => (x - a) * (y - b)))
  const spread = (spreads[0] ?? 0) * (spreads[1] ?? 0)
  return spread > 0 ? shared / spread : 0
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

/** Standard deviation; NaN of nothing. */
export function spreadOf(values: readonly number[]): number {
  const mean = meanOf(values)
  return Math.sqrt(meanOf(values.map((value) => (value - mean) ** 2)))
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
  // A log of more than two days is no drive, and would cost more than it tells.
  if (count > 172_800) return null
  const [a, b] = [atWholeSeconds(first, from, count), atWholeSeconds(second, from, count)]
  let best: Correlation | null = null
  for (let turn = 0; turn <= 2 * limits.mostLag; turn++) {
    const lag = turn % 2 === 1 ? (turn + 1) / 2 : -turn / 2
    const pairs = pairsAt(a, b, lag)
    if (pairs.length < limits.leastSeconds) continue
    if (Math.min(spreadOf(pairs.map(([x]) => x)), spreadOf(pairs.map(([, y]) => y))) < limits.leastSpread) continue
    const coefficient = pearson(pairs)
    if (best === null || coefficient > best.coefficient) best = { coefficient, lagSeconds: lag === 0 ? 0 : lag, pairs }
  }
  return best
}
