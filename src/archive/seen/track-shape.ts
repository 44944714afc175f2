/**
 * What of a drive stays the same when its log is given other dates, trimmed, or moved to another place: how fast it went
 * and where it headed, second by second. Two drives over one road go other speeds at other seconds, so a road shared is no
 * match.
 */
import { correlate } from '../../facts/correlation.ts'
import { forwardPoints, isPlaced, type SpeedSample, speedsOf } from '../../facts/motion.ts'
import type { Track } from '../../facts/reading.ts'
import { bandKeys, mix32, signatureOf } from './minhash.ts'

/** A byte a second from the first sample on; 255 where nothing is known. */
export interface TrackShape {
  /** In quarters of a metre a second, up to 63.5 m/s. */
  speeds: Uint8Array
  /** Bearing in 1/250 of a turn. */
  headings: Uint8Array
}

const unknown = 255
/** Of a longer log the rest is not looked at. */
const mostSeconds = 5400
/** Over gaps wider than this nothing is filled in. */
const widestFill = 10
/** A log that never varies, or hardly moves, is like any other. */
const [leastSeconds, leastStays] = [120, 4]

/** Null for a log without times, or too short or too even to be told from others. */
export function shapeTrack(track: Track): TrackShape | null {
  const points = forwardPoints(track.points)
  const speeds = speedsOf(points, 3)
  const from = speeds[0]?.time
  const until = speeds.at(-1)?.time
  if (from === undefined || until === undefined || until - from < leastSeconds) return null
  const count = Math.min(mostSeconds, Math.floor(until - from) + 1)
  const shape = {
    speeds: toBytes(
      fill(
        speeds.map(({ time, speed }) => [time - from, speed] as const),
        count,
      ),
      (speed) => speed * 4,
    ),
    headings: measureHeadings(points, from, count),
  }
  return findStays(shape.speeds).length < leastStays ? null : shape
}

/** A series at whole seconds; NaN in its gaps. */
function fill(samples: readonly (readonly [time: number, value: number])[], count: number): Float64Array {
  const values = new Float64Array(count).fill(Number.NaN)
  for (let at = 1; at < samples.length; at++) {
    const [from, a] = samples[at - 1] ?? [0, 0]
    const [to, b] = samples[at] ?? [0, 0]
    if (to <= from || to - from > widestFill) continue
    for (let second = Math.max(0, Math.ceil(from)); second <= to && second < count; second++)
      values[second] = a + ((b - a) * (second - from)) / (to - from)
  }
  return values
}

const toBytes = (values: Float64Array, scale: (value: number) => number): Uint8Array =>
  Uint8Array.from(values, (value) =>
    Number.isNaN(value) ? unknown : Math.min(254, Math.max(0, Math.round(scale(value)))),
  )

/** A degree of latitude, roughly: here only directions and whether it moved at all count. */
const metresPerDegree = 111_320

function measureHeadings(points: ReturnType<typeof forwardPoints>, from: number, count: number): Uint8Array {
  const placed = points.filter((point) => isPlaced(point))
  const first = placed[0]
  if (first === undefined) return new Uint8Array(count).fill(unknown)
  const shrink = Math.cos((first.latitude * Math.PI) / 180)
  const north = fill(
    placed.map(({ time, latitude }) => [time - from, (latitude - first.latitude) * metresPerDegree] as const),
    count,
  )
  const east = fill(
    placed.map(
      ({ time, longitude }) => [time - from, (longitude - first.longitude) * metresPerDegree * shrink] as const,
    ),
    count,
  )
  const turns = new Float64Array(count).fill(Number.NaN)
  for (let second = 2; second < count - 2; second++) {
    const [y, x] = [north, east].map((way) => (way[second + 2] ?? Number.NaN) - (way[second - 2] ?? Number.NaN))
    if (x === undefined || y === undefined || !(Math.hypot(x, y) >= 8)) continue
    turns[second] = (Math.atan2(x, y) / (2 * Math.PI) + 1) % 1
  }
  return toBytes(turns, (turn) => Math.floor(turn * 250))
}

/** How long the speed stayed above or below a level: its ends lie where it changes fast, so noise hardly moves them. */
interface Stay {
  level: number
  above: boolean
  seconds: number
}

/** Metres a second, and how far beyond a level the speed must go for having passed it. */
const levels = [4, 7, 10, 13, 16, 19, 22, 25, 28, 31]
const beyond = 0.75
/** Shorter stays are those of any car that pulls away. */
const shortestStay = 8
/** Seconds to either side over which speeds are evened out first: speeds by positions are means of some seconds as well. */
const evenSeconds = 2

function findStays(shape: Uint8Array): Stay[] {
  const speeds = evenOut(shape)
  return levels.flatMap((level) => staysAt(speeds, level))
}

function evenOut(speeds: Uint8Array): Float64Array {
  return Float64Array.from(speeds, (speed, second) => {
    if (speed === unknown) return Number.NaN
    const near = speeds
      .subarray(Math.max(0, second - evenSeconds), second + evenSeconds + 1)
      .filter((one) => one !== unknown)
    return near.reduce((sum, one) => sum + one, 0) / near.length / 4
  })
}

/** Between two passings, so that neither the start nor the end of the log counts. */
function staysAt(speeds: Float64Array, level: number): Stay[] {
  const stays: Stay[] = []
  let [above, since, crossed] = [null as boolean | null, null as number | null, 0]
  for (const [second, speed] of speeds.entries()) {
    if (Number.isNaN(speed)) continue
    const before = speeds[second - 1] ?? Number.NaN
    if (before < level !== speed < level) crossed = second - 1 + (level - before) / (speed - before)
    const now = speed > level + beyond ? true : speed < level - beyond ? false : above
    if (now === above || now === null) continue
    if (above !== null) {
      if (since !== null && crossed - since >= shortestStay) stays.push({ level, above, seconds: crossed - since })
      since = crossed
    }
    above = now
  }
  return stays
}

/** Lengths in steps of 3 s, cut twice half a step apart, so that what falls beside an edge once does not twice. */
function hashStays(stays: readonly Stay[]): Set<number> {
  return new Set(
    stays.flatMap(({ level, above, seconds }) =>
      [0, 0.5].map((half) =>
        mix32((level << 20) ^ (above ? 0x80000 : 0) ^ Math.floor(seconds / 3 + half) ^ (half === 0 ? 0 : 0x40000000)),
      ),
    ),
  )
}

/** One key a band. */
export const trackKeys = ({ speeds }: TrackShape): number[] =>
  bandKeys('track', signatureOf(hashStays(findStays(speeds))))

export interface TrackComparison {
  /** Pearson's, of the speeds where both are known. */
  correlation: number
  /** Root mean square of the differences of speed, metres a second. */
  metresPerSecond: number
  /** How long both are known and at least one moves. */
  movingSeconds: number
  /** Median difference of bearing, degrees; null where either log has no positions. */
  degrees: number | null
}

/** Seconds a step of the search for where two logs fit; each is then fitted to the second. */
const coarse = 3

/** How alike two drives are, laid over each other where they fit best; null where they share too little to say. */
export function compareTracks(one: TrackShape, other: TrackShape): TrackComparison | null {
  const shared = Math.max(leastSeconds, Math.min(one.speeds.length, other.speeds.length) / 2)
  const rough = correlate(thin(one.speeds), thin(other.speeds), {
    mostLag: Math.ceil(Math.max(one.speeds.length, other.speeds.length) / coarse),
    leastSeconds: shared / coarse,
    leastSpread: 2,
  })
  if (rough === null) return null
  const shift = rough.lagSeconds * coarse
  const found = correlate(samplesOf(one.speeds, 0), samplesOf(other.speeds, -shift), {
    mostLag: 2 * coarse,
    leastSeconds: shared,
    leastSpread: 2,
  })
  if (found === null) return null
  const squares = found.pairs.reduce((sum, [a, b]) => sum + (a - b) ** 2, 0)
  return {
    correlation: found.coefficient,
    metresPerSecond: Math.sqrt(squares / found.pairs.length),
    movingSeconds: found.pairs.filter(([a, b]) => Math.max(a, b) > 1).length,
    degrees: compareHeadings(one.headings, other.headings, found.lagSeconds + shift),
  }
}

/** Means of `coarse` seconds, a second each: where all are known. */
function thin(speeds: Uint8Array): SpeedSample[] {
  const samples: SpeedSample[] = []
  for (let second = 0; second + coarse <= speeds.length; second += coarse) {
    const part = [...speeds.subarray(second, second + coarse)]
    if (part.includes(unknown)) continue
    samples.push({ time: second / coarse, speed: part.reduce((sum, speed) => sum + speed, 0) / (4 * coarse) })
  }
  return samples
}

const samplesOf = (speeds: Uint8Array, lag: number): SpeedSample[] =>
  [...speeds].flatMap((speed, second) => (speed === unknown ? [] : [{ time: second + lag, speed: speed / 4 }]))

function compareHeadings(one: Uint8Array, other: Uint8Array, lag: number): number | null {
  const differences: number[] = []
  for (let second = 0; second < one.length; second++) {
    const [a, b] = [one[second] ?? unknown, other[second + lag] ?? unknown]
    if (a === unknown || b === unknown) continue
    const apart = Math.abs(a - b)
    differences.push((Math.min(apart, 250 - apart) * 360) / 250)
  }
  if (differences.length < 30) return null
  return differences.sort((a, b) => a - b)[Math.floor(differences.length / 2)] ?? null
}
