/** The track of a drive as a line on plain ground: north is up, and both ways the same scale. */
import type { TrackView } from '../../contract.ts'
import { roundDown } from './round-marks.ts'

type TrackPoint = TrackView['points'][number]

export interface TrackShape {
  width: number
  height: number
  /** Lines from point to point; a new one after a point without a place. */
  lines: [number, number][][]
  start: [number, number]
  end: [number, number]
  /** Of a bar that shows the scale: what it stands for, and how long it is. */
  bar: { metres: number; length: number }
}

/** Of a degree of latitude, on a sphere of the mean radius of the Earth (IUGG, 6,371,008.8 m). */
const metresADegree = (Math.PI * 6_371_008.8) / 180

/**
 * Equirectangular about the middle of the track: off by less than one in a thousand over the length of a drive. Null where
 * no two points have places.
 */
export function shapeTrack(points: readonly TrackPoint[], room: { width: number; height: number }): TrackShape | null {
  const located = points.flatMap((point) => (hasPlace(point) ? [point] : []))
  const [first, last] = [located[0], located.at(-1)]
  if (first === undefined || last === undefined || located.length < 2) return null
  const latitudes = rangeOf(located.map(({ latitude }) => latitude))
  // Across the 180th meridian a drive would go round the world else.
  const turn = (longitude: number) => longitude - 360 * Math.round((longitude - first.longitude) / 360)
  const longitudes = rangeOf(located.map(({ longitude }) => turn(longitude)))
  const narrower = Math.cos((((latitudes[0] + latitudes[1]) / 2) * Math.PI) / 180)
  const across = (longitudes[1] - longitudes[0]) * narrower * metresADegree
  const tall = (latitudes[1] - latitudes[0]) * metresADegree
  const edge = 12
  const scale = Math.min((room.width - 2 * edge) / Math.max(across, 1), (room.height - 2 * edge) / Math.max(tall, 1))
  const left = (room.width - across * scale) / 2
  const top = (room.height - tall * scale) / 2
  const place = ({ latitude, longitude }: Located): [number, number] => [
    round(left + (turn(longitude) - longitudes[0]) * narrower * metresADegree * scale),
    round(top + (latitudes[1] - latitude) * metresADegree * scale),
  ]
  const metres = roundDown(room.width / 3 / scale)
  return {
    ...room,
    lines: splitLines(points).map((line) => line.map(place)),
    start: place(first),
    end: place(last),
    bar: { metres, length: metres * scale },
  }
}

type Located = TrackPoint & { latitude: number; longitude: number }

const hasPlace = (point: TrackPoint): point is Located => point.latitude !== null && point.longitude !== null

const round = (value: number): number => Math.round(value * 10) / 10

const rangeOf = (values: readonly number[]): [number, number] =>
  values.reduce<[number, number]>(
    ([low, high], value) => [Math.min(low, value), Math.max(high, value)],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  )

function splitLines(points: readonly TrackPoint[]): Located[][] {
  const lines: Located[][] = [[]]
  for (const point of points) {
    if (hasPlace(point)) lines.at(-1)?.push(point)
    else if (lines.at(-1)?.length !== 0) lines.push([])
  }
  return lines.filter((line) => line.length > 0)
}

/** Metres between two places on the sphere (haversine). */
export function metresBetween(one: Located, other: Located): number {
  const radians = (degrees: number) => (degrees * Math.PI) / 180
  const [north, east] = [radians(other.latitude - one.latitude), radians(other.longitude - one.longitude)]
  const half =
    Math.sin(north / 2) ** 2 +
    Math.cos(radians(one.latitude)) * Math.cos(radians(other.latitude)) * Math.sin(east / 2) ** 2
  return (2 * Math.asin(Math.min(1, Math.sqrt(half))) * metresADegree * 180) / Math.PI
}

/** Speeds as logged, else as the places tell from one to the next. */
export function speedsOf(points: readonly TrackPoint[]): {
  from: 'logged' | 'places' | 'nothing'
  points: SpeedPoint[]
} {
  const logged = points.flatMap(({ second, kmh }) => (second === null || kmh === null ? [] : [{ second, kmh }]))
  if (logged.length > 1) return { from: 'logged', points: logged }
  const timed = points.flatMap((point) => (hasPlace(point) && point.second !== null ? [point] : []))
  const told = timed.flatMap((point, at) => {
    const before = timed[at - 1]
    const took = (point.second ?? 0) - (before?.second ?? 0)
    if (before === undefined || took <= 0) return []
    return [{ second: point.second ?? 0, kmh: (metresBetween(before, point) / took) * 3.6 }]
  })
  return { from: told.length > 1 ? 'places' : 'nothing', points: told }
}

export interface SpeedPoint {
  second: number
  kmh: number
}
