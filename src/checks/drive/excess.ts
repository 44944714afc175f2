/** Where a track asks for more than a car can do. */
import { distanceMetres, type Position } from '../../facts/geodesic.ts'
import {
  freshFixes,
  loggedSpeeds,
  longestStep,
  type PlacedPoint,
  positionOf,
  type SpeedSample,
  type TimedPoint,
} from '../../facts/motion.ts'

export interface Limits {
  /** Metres a second squared. */
  acceleration: number
  /** Metres a second. */
  speed: number
  /** Metres by which a position may be off. */
  error: number
}

/** How many of the intervals exceed a limit. */
export interface Count {
  count: number
  of: number
}

export interface Excess {
  /** By logged speed, by positions, and from one position to the next. */
  speed: Count
  position: Count
  jump: Count
  /** That of the three with the greatest share. */
  worst: Count
  /** Seconds on end for which the logged speed changes one way by more than the limit. */
  longestSeconds: number
}

export const shareOf = ({ count, of }: Count): number => (of > 0 ? count / of : 0)

/** One step of a log in whole km/h is 0.028 g over a second and 0.28 g over a tenth of one. */
const speedSpan = 1
/** Positions that err by metres give an acceleration only over several seconds. */
const positionSpan = 5

/** The intervals of a track that exceed the limits, by its logged speed and by its positions. */
export function findExcess(points: readonly TimedPoint[], limits: Limits): Excess {
  const changes = changesOf(loggedSpeeds(points))
  const fixes = freshFixes(points)
  const speed = countWhere(changes, ({ acceleration }) => Math.abs(acceleration) > limits.acceleration)
  const position = countWhere(accelerationsOf(fixes), (acceleration) => acceleration > limits.acceleration)
  const jump = countWhere(jumpsOf(fixes), ({ metres, seconds }) => metres > limits.speed * seconds + limits.error)
  const worst = [position, jump].reduce(worseOf, speed)
  return { speed, position, jump, worst, longestSeconds: longestRun(changes, limits.acceleration) }
}

/** The one with the greater share; among equals the one that looked at more. */
function worseOf(a: Count, b: Count): Count {
  const difference = shareOf(b) - shareOf(a) || b.of - a.of
  return difference > 0 ? b : a
}

const countWhere = <Item>(items: readonly Item[], exceeds: (item: Item) => boolean): Count => ({
  count: items.filter(exceeds).length,
  of: items.length,
})

interface Change {
  /** Metres a second squared. */
  acceleration: number
  seconds: number
}

/**
 * The changes of speed, interval by interval of at least a second. A logger may write an old value again: a value counts
 * from when it was first written, so that a change is never told to be quicker than it was.
 */
function changesOf(samples: readonly SpeedSample[]): Change[] {
  const [first] = samples
  if (first === undefined) return []
  const changes: Change[] = []
  let anchor = first
  // When the anchor's value was first written.
  let since = first.time
  let last = first
  for (const sample of samples.slice(1)) {
    if (sample.time - last.time > longestStep) {
      anchor = sample
      since = sample.time
    } else if (sample.time - anchor.time >= speedSpan) {
      const seconds = sample.time - anchor.time
      changes.push({ acceleration: (sample.speed - anchor.speed) / Math.max(seconds, sample.time - since), seconds })
      since = sample.speed === anchor.speed ? since : sample.time
      anchor = sample
    }
    last = sample
  }
  return changes
}

/** The longest time for which the speed changes one way beyond the limit; a single change is an error, not a run. */
function longestRun(changes: readonly Change[], limit: number): number {
  let [longest, run, count, sign] = [0, 0, 0, 0]
  for (const { acceleration, seconds } of changes) {
    const exceeds = Math.abs(acceleration) > limit
    const goesOn = exceeds && Math.sign(acceleration) === sign
    run = exceeds ? (goesOn ? run + seconds : seconds) : 0
    count = exceeds ? (goesOn ? count + 1 : 1) : 0
    sign = exceeds ? Math.sign(acceleration) : 0
    if (count > 1) longest = Math.max(longest, run)
  }
  return longest
}

interface Velocity {
  east: number
  north: number
  time: number
}

/** Metres a second squared between the mean velocities of intervals that follow on each other. */
function accelerationsOf(fixes: readonly (TimedPoint & PlacedPoint)[]): number[] {
  const velocities: (Velocity | null)[] = []
  let anchor = fixes[0]
  for (const fix of fixes.slice(1)) {
    if (anchor === undefined || fix.time - anchor.time < positionSpan) continue
    velocities.push(fix.time - anchor.time > longestStep ? null : velocityBetween(anchor, fix))
    anchor = fix
  }
  return velocities.flatMap((velocity, index) => {
    const before = velocities[index - 1]
    if (!velocity || !before) return []
    return [Math.hypot(velocity.east - before.east, velocity.north - before.north) / (velocity.time - before.time)]
  })
}

function velocityBetween(from: TimedPoint & PlacedPoint, to: TimedPoint & PlacedPoint): Velocity {
  const corner: Position = [from.latitude, to.longitude]
  const seconds = to.time - from.time
  const wrapped = ((to.longitude - from.longitude + 540) % 360) - 180
  return {
    east: (Math.sign(wrapped) * distanceMetres(positionOf(from), corner)) / seconds,
    north: (Math.sign(to.latitude - from.latitude) * distanceMetres(corner, positionOf(to))) / seconds,
    time: (from.time + to.time) / 2,
  }
}

/** A step that no car could take, to a place from which the track goes on. */
export interface Displacement {
  metres: number
  seconds: number
  time: number
}

/** So many fixes on either side tell where the vehicle was. */
const settledFixes = 5
/** A log with more steps of this kind is no track at all, which the share of its intervals tells. */
const mostExamined = 20

/**
 * The first step faster than `speed` and longer than `far` metres after which the track stays for `stay` seconds at least half
 * as far from where it was, having been so long there before: not one fix that errs, and not a receiver that comes back.
 */
export function findDisplacement(
  points: readonly TimedPoint[],
  { speed, far, stay }: { speed: number; far: number; stay: number },
): Displacement | null {
  const fixes = freshFixes(points)
  let examined = 0
  for (const [index, to] of fixes.entries()) {
    const from = fixes[index - 1]
    if (from === undefined) continue
    const [metres, seconds] = [distanceMetres(positionOf(from), positionOf(to)), to.time - from.time]
    if (metres < far || metres <= speed * seconds) continue
    if (++examined > mostExamined) return null
    const before = fixes.slice(0, index).filter(({ time }) => time >= from.time - stay)
    const after = fixes.slice(index).filter(({ time }) => time <= to.time + stay)
    const isSettled = (some: typeof fixes) =>
      some.length >= settledFixes && (some.at(-1)?.time ?? 0) - (some[0]?.time ?? 0) >= stay / 2
    const isAway = (some: typeof fixes, place: typeof from) =>
      some.every((fix) => distanceMetres(positionOf(fix), positionOf(place)) > metres / 2)
    if (isSettled(before) && isSettled(after) && isAway(before, to) && isAway(after, from))
      return { metres, seconds, time: from.time }
  }
  return null
}

function jumpsOf(fixes: readonly (TimedPoint & PlacedPoint)[]): { metres: number; seconds: number }[] {
  return fixes.flatMap((fix, index) => {
    const before = fixes[index - 1]
    if (before === undefined) return []
    return [{ metres: distanceMetres(positionOf(before), positionOf(fix)), seconds: fix.time - before.time }]
  })
}
