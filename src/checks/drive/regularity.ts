/**
 * Stretches of a track in which the vehicle moves as evenly as rounding allows: every second difference of latitude and
 * longitude is -1, 0 or 1 of their last digit.
 *
 * Even motion, rounded, always gives that. Where positions err by a second difference of standard deviation s (the receiver's
 * noise and the driver's foot together) and are written in steps q, one escapes with a chance of (s / q)² / 4 for s well
 * below q: the second difference of two uniform rounding errors has the density (1.5 - |x|) / 2 next to 1.5 steps, and the
 * part beyond is the mean of s² / 4 q². Only every third is independent. So a stretch of an honest log goes on for m points
 * with a chance below (1 - escape)^(m / 3) at any of its n places. Where q is coarse beside s no stretch is ever long enough.
 */
import type { PlacedPoint, TimedPoint } from '../../facts/motion.ts'

export interface EvenStretch {
  /** Index of the first point, and the number of points. */
  first: number
  length: number
  seconds: number
  /** Natural logarithm of the chance of one so long at one place. */
  logChance: number
}

/** Metres of a degree of latitude, within a hundredth anywhere on WGS 84. */
export const metresPerDegree = 111_200
/** Slower than this, in metres a second, rounding hides the motion itself. */
export const leastSpeed = 5

export interface Grid {
  latitude: number
  longitude: number
}

/** Stretches of even motion among fixes of which each differs in position from the one before; `grid` in degrees. */
export function findEvenStretches(
  fixes: readonly (TimedPoint & PlacedPoint)[],
  grid: Grid,
  noiseMetres: number,
): EvenStretch[] {
  const stretches: EvenStretch[] = []
  let [first, logChance] = [0, 0]
  const close = (last: number) => {
    const [from, to] = [fixes[first], fixes[last]]
    if (from && to && last - first >= 2)
      stretches.push({ first, length: last - first + 1, seconds: to.time - from.time, logChance })
  }
  for (let at = 1; at < fixes.length; at++) {
    const step = at < 2 ? null : judgeStep(fixes, at, grid, noiseMetres)
    if (step !== null) {
      logChance += step
      continue
    }
    close(at - 1)
    first = at - 1
    logChance = 0
  }
  close(fixes.length - 1)
  return stretches
}

/** The logarithm of the chance that an honest fix goes on evenly; null where this one does not, or stands. */
function judgeStep(
  fixes: readonly (TimedPoint & PlacedPoint)[],
  at: number,
  grid: Grid,
  noiseMetres: number,
): number | null {
  const [a, b, c] = [fixes[at - 2], fixes[at - 1], fixes[at]]
  if (!a || !b || !c) return null
  const [before, after] = [b.time - a.time, c.time - b.time]
  if (Math.abs(after - before) > after * 0.01) return null
  const bends = (['latitude', 'longitude'] as const).map((axis) => {
    const [x, y, z] = [a, b, c].map((fix) => Math.round(fix[axis] / grid[axis]))
    return Math.abs((z ?? 0) - 2 * (y ?? 0) + (x ?? 0))
  })
  if (bends.some((bend) => bend > 1)) return null
  const eastShrink = Math.cos((b.latitude * Math.PI) / 180)
  const north = (c.latitude - b.latitude) * metresPerDegree
  const east = (c.longitude - b.longitude) * metresPerDegree * eastShrink
  if (Math.hypot(north, east) < leastSpeed * after) return null
  // A driver's foot changes the speed with the square of a short interval.
  const noise = noiseMetres * Math.min(1, after ** 2)
  const steps = [grid.latitude * metresPerDegree, grid.longitude * metresPerDegree * eastShrink]
  return steps.reduce((sum, step) => sum + Math.log(1 - Math.min(0.5, (noise / step) ** 2 / 4)), 0) / 3
}
