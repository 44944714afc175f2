/** A drive track in figures. Distances are geodesics on WGS 84; speeds come from the log, else from positions. */
import type { DateReading, DriveReading } from '../document.ts'
import { distanceMetres } from '../geodesic.ts'
import { formatInstant, instantBounds } from '../instant.ts'
import {
  integratedMetres,
  isPlaced,
  isTimed,
  loggedSpeed,
  movingSpeed,
  placedMetres,
  positionOf,
  type Step,
  stepsOf,
} from '../motion.ts'
import type { Track } from '../reading.ts'

function momentOf(track: Track, seconds: number | null): DateReading | null {
  if (seconds === null) return null
  const instant = formatInstant(Math.floor(seconds))
  const local = instant.slice(0, 19)
  if (track.clock === 'utc') return { text: instant, local, offset: '+00:00', ...instantBounds(local, '+00:00') }
  if (track.clock === 'local')
    return { text: local.replace('T', ' '), local, offset: track.offset, ...instantBounds(local, track.offset) }
  if (track.startedLocal === null) return null
  const base = Date.parse(`${track.startedLocal}Z`) / 1000
  const at = formatInstant(Math.floor(base + seconds)).slice(0, 19)
  return { text: at.replace('T', ' '), local: at, offset: track.offset, ...instantBounds(at, track.offset) }
}

/** The figures of a track; null for one without points. Lengths in metres, times in seconds, speeds in km/h. */
export function measureDrive(track: Track): DriveReading | null {
  const { points } = track
  if (points.length === 0) return null
  const timed = points.filter(isTimed)
  const first = timed[0]?.time ?? null
  const last = timed.at(-1)?.time ?? null
  const placed = points.filter(isPlaced)
  const steps = stepsOf(timed)
  let moving = 0
  let top = 0
  for (const step of steps) {
    const speed = speedOfStep(step)
    if (speed === null) continue
    top = Math.max(top, step.logged === null ? speed : (loggedSpeed(step.to) ?? 0))
    if (speed >= movingSpeed) moving += step.seconds
  }
  const metres = placedMetres(points) ?? integratedMetres(steps)
  const duration = first !== null && last !== null ? last - first : null
  const start = placed[0]
  const end = placed.at(-1)
  const round = (n: number, by = 1) => Math.round(n * by) / by
  return {
    started: momentOf(track, first),
    ended: momentOf(track, last),
    durationSeconds: duration === null ? null : round(duration),
    distanceMetres: metres === null ? null : round(metres),
    points: points.length,
    movingSeconds: duration === null ? null : round(moving),
    meanSpeedKmh: metres !== null && moving > 0 ? round((metres / moving) * 3.6, 10) : null,
    maxSpeedKmh: top > 0 ? round(top * 3.6, 10) : null,
    start: start ? [start.latitude, start.longitude] : null,
    end: end ? [end.latitude, end.longitude] : null,
  }
}

function speedOfStep({ from, to, seconds, logged }: Step): number | null {
  if (logged !== null) return logged
  return isPlaced(from) && isPlaced(to) ? distanceMetres(positionOf(from), positionOf(to)) / seconds : null
}
