/** How a track moves: distances, speeds, steps and gaps. Times in seconds, lengths in metres, speeds in metres a second. */
import { distanceMetres, type Position } from './geodesic.ts'
import type { TrackPoint } from './reading.ts'

export type PlacedPoint = TrackPoint & { latitude: number; longitude: number }
export type TimedPoint = TrackPoint & { time: number }

export const isPlaced = (point: TrackPoint): point is PlacedPoint =>
  point.latitude !== undefined && point.longitude !== undefined

export const isTimed = (point: TrackPoint): point is TimedPoint => point.time !== null

export const positionOf = ({ latitude, longitude }: PlacedPoint): Position => [latitude, longitude]

/** At less a vehicle is taken to stand: a receiver at rest shows some decimetres a second. */
export const movingSpeed = 1

/** Between fixes farther apart nothing is known of the speed. */
export const longestStep = 60

/** The points that a clock running forward has logged: each later than all before it. */
export function forwardPoints(points: readonly TrackPoint[]): TimedPoint[] {
  let latest = Number.NEGATIVE_INFINITY
  return points.filter(isTimed).filter(({ time }) => {
    if (time <= latest) return false
    latest = time
    return true
  })
}

/** The points that carry a position other than the one before: a logger may write an old fix again until it has a new one. */
export function freshFixes<Point extends TrackPoint>(points: readonly Point[]): (Point & PlacedPoint)[] {
  const placed = points.filter((point): point is Point & PlacedPoint => isPlaced(point))
  return placed.filter((point, index) => {
    const before = placed[index - 1]
    return before === undefined || before.latitude !== point.latitude || before.longitude !== point.longitude
  })
}

/** Metres along the positions; null for fewer than two. */
export function placedMetres(points: readonly TrackPoint[]): number | null {
  const placed = points.filter(isPlaced)
  let [anchor] = placed
  if (anchor === undefined || placed.length < 2) return null
  let total = 0
  for (const point of placed.slice(1)) {
    const metres = distanceMetres(positionOf(anchor), positionOf(point))
    // A receiver at rest wanders by decimetres: such steps add up to a drive that never was.
    const speed =
      point.speed ??
      (point.time !== null && anchor.time !== null && point.time > anchor.time
        ? metres / (point.time - anchor.time)
        : metres)
    if (speed < 0.5 && metres < 3) continue
    total += metres
    anchor = point
  }
  return total
}

/** From one sample to the next. */
export interface Step {
  from: TimedPoint
  to: TimedPoint
  seconds: number
  /** Mean of the two logged speeds; null where either is not logged. */
  logged: number | null
}

/** Steps forward in time of at most `longestStep` seconds. */
export function stepsOf(points: readonly TimedPoint[]): Step[] {
  const steps: Step[] = []
  for (let index = 1; index < points.length; index++) {
    const [from, to] = [points[index - 1], points[index]]
    if (!from || !to) continue
    const seconds = to.time - from.time
    if (seconds <= 0 || seconds > longestStep) continue
    const [before, after] = [loggedSpeed(from), loggedSpeed(to)]
    const logged = before !== undefined && after !== undefined ? (before + after) / 2 : null
    steps.push({ from, to, seconds, logged })
  }
  return steps
}

/** The speed that the log states, by satellite before by wheel. */
export const loggedSpeed = (point: TrackPoint): number | undefined => point.speed ?? point.wheelSpeed

/** Metres by the logged speeds; null where none are logged. */
export function integratedMetres(steps: readonly Step[]): number | null {
  const driven = steps.flatMap(({ logged, seconds }) => (logged === null ? [] : [logged * seconds]))
  return driven.length === 0 ? null : driven.reduce((sum, metres) => sum + metres, 0)
}

/** Metres driven: along the positions, else by the logged speeds; null where the track has neither. */
export function drivenMetres(points: readonly TrackPoint[]): number | null {
  return placedMetres(points) ?? integratedMetres(stepsOf(forwardPoints(points)))
}

export interface SpeedSample {
  time: number
  speed: number
}

/** The speeds that most of the points log; empty where they do not. */
export function loggedSpeeds(
  points: readonly TimedPoint[],
  speedOf: (point: TrackPoint) => number | undefined = loggedSpeed,
): SpeedSample[] {
  const samples = points.flatMap((point) => {
    const speed = speedOf(point)
    return speed === undefined ? [] : [{ time: point.time, speed }]
  })
  return samples.length * 2 > points.length ? samples : []
}

/**
 * The speeds that the positions show, each over at least `spanSeconds`, so that a receiver's noise of decimetres a second
 * does not pass for motion.
 */
export function placedSpeeds(points: readonly TimedPoint[], spanSeconds: number): SpeedSample[] {
  const fixes = freshFixes(points)
  const samples: SpeedSample[] = []
  let first = 0
  for (let last = 1; last < fixes.length; last++) {
    while (first + 1 < last && timeBetween(fixes[first + 1], fixes[last]) >= spanSeconds) first++
    const [from, to] = [fixes[first], fixes[last]]
    if (!from || !to) continue
    const seconds = to.time - from.time
    if (seconds < spanSeconds) continue
    if (seconds > longestStep) {
      first = last
      continue
    }
    const speed = distanceMetres(positionOf(from), positionOf(to)) / seconds
    samples.push({ time: (from.time + to.time) / 2, speed })
  }
  return samples
}

const timeBetween = (from: TimedPoint | undefined, to: TimedPoint | undefined): number =>
  from && to ? to.time - from.time : 0

/** Speeds as logged, else from positions. */
export function speedsOf(points: readonly TimedPoint[], spanSeconds: number): SpeedSample[] {
  const logged = loggedSpeeds(points)
  return logged.length > 0 ? logged : placedSpeeds(points, spanSeconds)
}

/** A stretch of known speed between two samples, in seconds since the same start as they. */
export interface Leg {
  from: number
  to: number
  speed: number
}

/** Between samples, at the mean of their speeds; longer steps than `longestStep` are left out. */
export function legsOf(samples: readonly SpeedSample[]): Leg[] {
  return samples.flatMap((sample, index) => {
    const next = samples[index + 1]
    if (next === undefined || next.time <= sample.time || next.time - sample.time > longestStep) return []
    return [{ from: sample.time, to: next.time, speed: (sample.speed + next.speed) / 2 }]
  })
}

export interface BandFigures {
  /** Seconds in motion, and seconds of them within the band. */
  movingSeconds: number
  bandSeconds: number
  /** The longest unbroken stretch within the band, in seconds. */
  stretchSeconds: number
}

/** How much of the time from `from` to `to` is spent at speeds of a band (both ends belong to it). */
export function measureBand(
  legs: readonly Leg[],
  [least, most]: readonly [number, number],
  from = Number.NEGATIVE_INFINITY,
  to = Number.POSITIVE_INFINITY,
): BandFigures {
  let [moving, inBand, stretch, longest, reached] = [0, 0, 0, 0, Number.NEGATIVE_INFINITY]
  for (const leg of legs) {
    const seconds = Math.min(leg.to, to) - Math.max(leg.from, from)
    if (seconds <= 0) continue
    const within = leg.speed >= least && leg.speed <= most
    if (leg.speed >= movingSpeed) moving += seconds
    if (within) inBand += seconds
    // A gap in the log breaks a stretch: nothing is known of the speed in it.
    stretch = within ? (leg.from > reached ? seconds : stretch + seconds) : 0
    reached = leg.to
    longest = Math.max(longest, stretch)
  }
  return { movingSeconds: moving, bandSeconds: inBand, stretchSeconds: longest }
}
