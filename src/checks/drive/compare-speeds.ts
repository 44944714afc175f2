/** The logged speed of a track against the change of its positions. */
import { correlate } from '../../facts/correlation.ts'
import { loggedSpeeds, placedSpeeds, type TimedPoint } from '../../facts/motion.ts'

export interface SpeedComparison {
  /** Seconds for which both are known. */
  seconds: number
  lagSeconds: number
  /** Share of the larger of the two by which they differ, on the whole. */
  difference: number
  /** Logged speed by that of the positions, on the whole. */
  ratio: number
  /** Do they agree but for a factor that lies between two units of speed? */
  otherUnit: boolean
}

/** Over so many seconds a receiver's errors do not pass for motion. */
const span = 5
/** For so long both must be known. */
const leastSeconds = 120

/** Speeds that are one but for their unit rise and fall together. */
const leastCorrelation = 0.9

/** Metres a second in a mile and a kilometre an hour, a metre a second and a knot. */
const units = [0.44704, 1 / 3.6, 1, 1852 / 3600]
/** Factors between two units; those too near to 1 (mile an hour and knot) could be a receiver's error. */
const factors = units.flatMap((a) => units.map((b) => a / b)).filter((factor) => Math.abs(Math.log(factor)) > 0.3)

/** Null where too little is known of either. At the lag at which they fit best. */
export function compareSpeeds(points: readonly TimedPoint[], mostLag: number): SpeedComparison | null {
  const logged = loggedSpeeds(points, ({ speed }) => speed)
  const found = correlate(logged, placedSpeeds(points, span), { mostLag, leastSeconds, leastSpread: 0 })
  if (found === null) return null
  const pairs = found.pairs
  const sum = (side: 0 | 1) => pairs.reduce((total, pair) => total + pair[side], 0)
  if (sum(1) === 0) return null
  const ratio = sum(0) / sum(1)
  const difference = differenceOf(pairs)
  const scaled = differenceOf(pairs.map(([a, b]) => [a / ratio, b]))
  const isFactor = factors.some((factor) => Math.abs(Math.log(ratio / factor)) < 0.05)
  return {
    seconds: pairs.length,
    lagSeconds: found.lagSeconds,
    difference,
    ratio,
    otherUnit: isFactor && scaled < difference / 2 && found.coefficient > leastCorrelation,
  }
}

function differenceOf(pairs: readonly (readonly [number, number])[]): number {
  const apart = pairs.reduce((total, [a, b]) => total + Math.abs(a - b), 0)
  const larger = pairs.reduce((total, [a, b]) => total + Math.max(a, b), 0)
  return larger > 0 ? apart / larger : 0
}
