/**
 * Stretches of a track in which every point lies exactly as far from the last as that from the one before, in steps of the
 * positions' last digit. A program that adds the same amount to a round position leaves that, however coarse the digits
 * look. A driven vehicle does it only where its motion stays within one step of an exact multiple of steps a second.
 *
 * Let the distance driven wander from even motion as a Brownian motion of w m² a second, and let a be the half of a step as
 * measured along the way, widened by 0.5826 of the wander between two points, within which a path may leave and come back
 * unseen (Siegmund, Sequential Analysis, 1985, from memory). It stays within a of some point for T seconds with a chance below
 * (4/π) exp(-π² w T / 8 a²) (Feller, An Introduction to Probability Theory and Its Applications, vol. 2, X.5, from memory). A
 * mean speed that is any speed within a step a second fits with a chance of at most sqrt(2π w / T) / a, twice what the slack
 * of such a path allows on the average; and where the vehicle moves along both axes its heading fits with one of 1 / T, for
 * the road does not know the digits.
 */
import type { PlacedPoint, TimedPoint } from '../../facts/motion.ts'
import type { EvenStretch, Grid } from './regularity.ts'
import { leastSpeed, metresPerDegree } from './regularity.ts'

type Fix = TimedPoint & PlacedPoint

/** A speed that wanders with a memory of some 10 s makes a Brownian path only over times that are long beside that. */
const leastSeconds = 60

/** Stretches of exactly even motion; `wander` in m² a second. */
export function findExactStretches(fixes: readonly Fix[], grid: Grid, wander: number): EvenStretch[] {
  const stretches: EvenStretch[] = []
  let first = 0
  const close = (last: number) => {
    const [from, next, to] = [fixes[first], fixes[first + 1], fixes[last]]
    if (!from || !next || !to || last - first < 2) return
    const seconds = to.time - from.time
    if (seconds < leastSeconds) return
    const logChance = chanceOf(from, next, seconds, grid, wander)
    if (logChance !== null) stretches.push({ first, length: last - first + 1, seconds, logChance })
  }
  for (let at = 2; at < fixes.length; at++) {
    if (goesOnExactly(fixes, at, grid)) continue
    close(at - 1)
    first = at - 1
  }
  close(fixes.length - 1)
  return stretches
}

function goesOnExactly(fixes: readonly Fix[], at: number, grid: Grid): boolean {
  const [a, b, c] = [fixes[at - 2], fixes[at - 1], fixes[at]]
  if (!a || !b || !c) return false
  const [before, after] = [b.time - a.time, c.time - b.time]
  if (Math.abs(after - before) > after * 0.01) return false
  return (['latitude', 'longitude'] as const).every((axis) => {
    const [x, y, z] = [a, b, c].map((fix) => Math.round(fix[axis] / grid[axis]))
    return (z ?? 0) - 2 * (y ?? 0) + (x ?? 0) === 0
  })
}

/** Natural logarithm of the chance of so long a stretch at one place; null where the vehicle hardly moves. */
function chanceOf(from: Fix, next: Fix, seconds: number, grid: Grid, wander: number): number | null {
  const eastShrink = Math.cos((from.latitude * Math.PI) / 180)
  const moved = [
    (next.latitude - from.latitude) * metresPerDegree,
    (next.longitude - from.longitude) * metresPerDegree * eastShrink,
  ]
  const length = Math.hypot(...moved)
  const interval = next.time - from.time
  if (length < leastSpeed * interval) return null
  const steps = [grid.latitude * metresPerDegree, grid.longitude * metresPerDegree * eastShrink]
  const halves = moved.map((part, axis) => ((steps[axis] ?? 0) / 2) * (length / Math.abs(part)))
  const headingFits = halves.every(Number.isFinite) ? -Math.log(seconds) : 0
  return logChanceOfSpeed(Math.min(...halves), interval, seconds, wander) + Math.min(0, headingFits)
}

/**
 * Natural logarithm of the chance that a vehicle of any speed keeps within `half` m of an even motion that fits the steps, for
 * `seconds`, looked at every `interval` seconds; `wander` in m² a second.
 */
export function logChanceOfSpeed(half: number, interval: number, seconds: number, wander: number): number {
  const wide = half + 0.5826 * Math.sqrt(wander * interval)
  const stays = Math.log(4 / Math.PI) - (Math.PI ** 2 * wander * seconds) / (8 * wide ** 2)
  const speedFits = Math.log(Math.sqrt((2 * Math.PI * wander) / seconds) / half)
  return Math.min(0, stays) + Math.min(0, speedFits)
}
