/** Speed over time: what went on without a break, where nothing was logged, and where the vehicle stood. */
import type { SpeedPoint } from './track-shape.ts'

export type Stretch = readonly [from: number, to: number]

export interface SpeedShape {
  /** Runs without a gap. */
  runs: SpeedPoint[][]
  /** Seconds between which nothing was logged. */
  gaps: Stretch[]
  /** Seconds between which it stood. */
  stops: Stretch[]
  seconds: Stretch
  mostKmh: number
}

/** Slower than that it stands: satellite speeds of a standing vehicle waver by a kilometre an hour or two. */
const standingKmh = 3
const leastStopSeconds = 3

/** `gapSeconds`: a longer silence is a gap. Points in the order of time; null where there are fewer than two. */
export function shapeSpeed(points: readonly SpeedPoint[], gapSeconds: number): SpeedShape | null {
  const [first, last] = [points[0], points.at(-1)]
  if (first === undefined || last === undefined || points.length < 2) return null
  const runs: SpeedPoint[][] = []
  const gaps: Stretch[] = []
  for (const point of points) {
    const before = runs.at(-1)?.at(-1)
    if (before !== undefined && point.second - before.second <= gapSeconds) runs.at(-1)?.push(point)
    else {
      if (before !== undefined) gaps.push([before.second, point.second])
      runs.push([point])
    }
  }
  return {
    runs,
    gaps,
    stops: runs.flatMap(findStops),
    seconds: [first.second, last.second],
    mostKmh: points.reduce((most, { kmh }) => Math.max(most, kmh), 0),
  }
}

function findStops(run: readonly SpeedPoint[]): Stretch[] {
  const stops: Stretch[] = []
  let since: number | null = null
  for (const [at, { second, kmh }] of run.entries()) {
    if (kmh < standingKmh) since ??= second
    const isOver = kmh >= standingKmh || at === run.length - 1
    if (!isOver || since === null) continue
    if (second - since >= leastStopSeconds) stops.push([since, second])
    since = null
  }
  return stops
}
