/** A drive track in figures. Distances are geodesics on WGS 84; speeds come from the log, else from positions. */
import type { DateReading, DriveReading } from '../document.ts'
import { distanceMetres } from '../geodesic.ts'
import { formatInstant, instantBounds } from '../instant.ts'
import type { Track, TrackPoint } from '../reading.ts'

const MOVING_METRES_A_SECOND = 1

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

const isPlaced = (point: TrackPoint): point is TrackPoint & { latitude: number; longitude: number } =>
  point.latitude !== undefined && point.longitude !== undefined

/** The figures of a track; null for one without points. Lengths in metres, times in seconds, speeds in km/h. */
export function measureDrive(track: Track): DriveReading | null {
  const { points } = track
  if (points.length === 0) return null
  const timed = points.filter((point) => point.time !== null)
  const first = timed[0]?.time ?? null
  const last = timed.at(-1)?.time ?? null
  const placed = points.filter(isPlaced)
  let distance = 0
  let anchor = placed[0]
  for (const point of placed.slice(1)) {
    if (!anchor) break
    const step = distanceMetres([anchor.latitude, anchor.longitude], [point.latitude, point.longitude])
    // A receiver at rest wanders by decimetres: such steps add up to a drive that never was.
    const speed =
      point.speed ??
      (point.time !== null && anchor.time !== null && point.time > anchor.time
        ? step / (point.time - anchor.time)
        : step)
    if (speed < 0.5 && step < 3) continue
    distance += step
    anchor = point
  }
  let bySpeed = 0
  let moving = 0
  let hasSpeed = false
  let top = 0
  for (let i = 1; i < timed.length; i++) {
    const a = timed[i - 1]
    const b = timed[i]
    if (!a || !b || a.time === null || b.time === null) continue
    const span = b.time - a.time
    if (span <= 0 || span > 60) continue
    const logged = a.speed ?? a.wheelSpeed
    const then = b.speed ?? b.wheelSpeed
    let speed: number | null = null
    if (logged !== undefined && then !== undefined) {
      hasSpeed = true
      speed = (logged + then) / 2
      bySpeed += speed * span
      top = Math.max(top, then)
    } else if (isPlaced(a) && isPlaced(b)) {
      speed = distanceMetres([a.latitude, a.longitude], [b.latitude, b.longitude]) / span
      top = Math.max(top, speed)
    }
    if (speed !== null && speed >= MOVING_METRES_A_SECOND) moving += span
  }
  const metres = placed.length > 1 ? distance : hasSpeed ? bySpeed : null
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
