/**
 * Rates of few and of many, compared fairly. Every function is of counts and rates alone.
 *
 * Sources: Wilson 1927 and Newcombe 1998 (intervals of one proportion); Spiegelhalter 2005 (funnel plots); Benjamini and
 * Hochberg 1995 (many comparisons at once).
 */

/** The two-sided 95 % and 99.8 % points of the normal distribution. */
export const z95 = 1.959963984540054
export const z998 = 3.090232306167813

export interface Interval {
  least: number
  most: number
}

/** Wilson's score interval of the rate of `events` among `trials`; the whole of 0 to 1 where there were no trials. */
export function wilsonInterval(events: number, trials: number, z = z95): Interval {
  if (trials === 0) return { least: 0, most: 1 }
  const rate = events / trials
  const spread = z * Math.sqrt((rate * (1 - rate)) / trials + z ** 2 / (4 * trials ** 2))
  const centre = rate + z ** 2 / (2 * trials)
  const scale = 1 + z ** 2 / trials
  return { least: Math.max(0, (centre - spread) / scale), most: Math.min(1, (centre + spread) / scale) }
}

/** Between which rates a group of `trials` lies by chance, whose own rate is `rate`: the normal limits of a funnel. */
export function funnelLimits(rate: number, trials: number, z = z95): Interval {
  if (trials === 0) return { least: 0, most: 1 }
  const spread = z * Math.sqrt((rate * (1 - rate)) / trials)
  return { least: Math.max(0, rate - spread), most: Math.min(1, rate + spread) }
}

/** Logarithm of the gamma function of a positive number: Lanczos's approximation, good to about 1e-14. */
function logGamma(x: number): number {
  const coefficients = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
    12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
  ]
  const t = x + 6.5
  const sum = coefficients.reduce(
    (total, coefficient, at) => total + (at === 0 ? coefficient : coefficient / (x - 1 + at)),
  )
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum)
}

function binomial(events: number, trials: number, rate: number): number {
  if (rate <= 0) return events === 0 ? 1 : 0
  if (rate >= 1) return events === trials ? 1 : 0
  const ways = logGamma(trials + 1) - logGamma(events + 1) - logGamma(trials - events + 1)
  return Math.exp(ways + events * Math.log(rate) + (trials - events) * Math.log(1 - rate))
}

/**
 * The two-sided exact binomial probability of a count as far from `rate` as `events` among `trials`, or farther: twice the
 * smaller tail, at most 1.
 */
export function binomialProbability(events: number, trials: number, rate: number): number {
  let [below, above] = [0, 0]
  for (let count = 0; count <= trials; count++) {
    const chance = binomial(count, trials, rate)
    if (count <= events) below += chance
    if (count >= events) above += chance
  }
  return Math.min(1, 2 * Math.min(below, above))
}

/** Probabilities adjusted for being many (Benjamini-Hochberg), in the order in which they were given. */
export function adjustForMany(probabilities: readonly number[]): number[] {
  const order = [...probabilities.keys()].sort((a, b) => (probabilities[a] ?? 0) - (probabilities[b] ?? 0))
  const adjusted = new Array<number>(probabilities.length).fill(1)
  let least = 1
  for (let rank = order.length; rank >= 1; rank--) {
    const at = order[rank - 1] ?? 0
    least = Math.min(least, ((probabilities[at] ?? 0) * order.length) / rank)
    adjusted[at] = least
  }
  return adjusted
}

/** The value below which a part of sorted values lies, between two of them where it must (type 7 of Hyndman and Fan 1996). */
export function quantile(sorted: readonly number[], part: number): number | null {
  if (sorted.length === 0) return null
  const at = (sorted.length - 1) * part
  const [low, high] = [sorted[Math.floor(at)] ?? 0, sorted[Math.ceil(at)] ?? 0]
  return low + (high - low) * (at - Math.floor(at))
}
