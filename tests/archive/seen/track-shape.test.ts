/** Drives known again under other dates, trimmed, moved or saved coarser; and honest drives over one road that are not one. */
import { expect, test } from 'vitest'
import { compareTracks, shapeTrack, type TrackShape, trackKeys } from '../../../src/archive/seen/track-shape.ts'
import type { Track, TrackPoint } from '../../../src/facts/reading.ts'
import { makeChance } from '../../bench/defects/chance.ts'
import { driveLegs, type Leg } from '../../bench/defects/drive.ts'

/** One road, with its corners and stops: the driver and the receiver are drawn anew for every seed. */
const road: Leg[] = [
  { metres: 900, speed: 14, stop: 0 },
  { metres: 1400, speed: 19, stop: 8 },
  { metres: 2600, speed: 23, stop: 0 },
  { metres: 800, speed: 12, stop: 14 },
  { metres: 1700, speed: 18, stop: 0 },
  { metres: 1100, speed: 15, stop: 5 },
  { metres: 2100, speed: 21, stop: 0 },
  { metres: 700, speed: 11, stop: 0 },
]

function drive(seed: number, legs = road): Track {
  const order = { latitude: 41.2, longitude: -96.1, legs, turn: 90, heading: 20, interval: 1 }
  const points = driveLegs(makeChance(seed), order).samples.map(({ time, latitude, longitude, speed }) => ({
    time: 1_780_000_000 + time,
    latitude,
    longitude,
    speed,
  }))
  return { clock: 'utc', offset: null, startedLocal: null, points, rejected: 0, header: {} }
}

const change = (track: Track, each: (point: TrackPoint) => TrackPoint, from = 0): Track => ({
  ...track,
  points: track.points.slice(from).map(each),
})

const shapeOf = (track: Track): TrackShape => {
  const shape = shapeTrack(track)
  if (shape === null) throw new Error('no shape')
  return shape
}

const isFound = (one: Track, other: Track): boolean =>
  !new Set(trackKeys(shapeOf(one))).isDisjointFrom(new Set(trackKeys(shapeOf(other))))

const round = (value: number | undefined, places: number) => Number((value ?? 0).toFixed(places))

const copies: [string, (track: Track) => Track][] = [
  ['eleven days later', (track) => change(track, (point) => ({ ...point, time: (point.time ?? 0) + 11 * 86_400 }))],
  [
    'on a clock of its own',
    (track) => ({ ...change(track, (p) => ({ ...p, time: (p.time ?? 0) - 1_780_000_000 })), clock: 'elapsed' }),
  ],
  ['without its first two minutes', (track) => change(track, (point) => point, 120)],
  [
    'in another town',
    (track) => change(track, (p) => ({ ...p, latitude: (p.latitude ?? 0) + 1.5, longitude: (p.longitude ?? 0) - 3 })),
  ],
  [
    'saved to five places and tenths of km/h',
    (track) =>
      change(track, (p) => ({
        ...p,
        latitude: round(p.latitude, 5),
        longitude: round(p.longitude, 5),
        speed: round((p.speed ?? 0) * 3.6, 1) / 3.6,
      })),
  ],
  ['without its speeds', (track) => change(track, ({ speed: _, ...point }) => point)],
]

test.each(copies)('a drive is found and known again %s', (_, copy) => {
  let found = 0
  for (let seed = 1; seed <= 12; seed++) {
    const track = drive(seed)
    if (isFound(track, copy(track))) found++
    const compared = compareTracks(shapeOf(track), shapeOf(copy(track)))
    expect(compared?.correlation).toBeGreaterThan(0.995)
    expect(compared?.metresPerSecond).toBeLessThan(0.5)
    expect(compared?.movingSeconds).toBeGreaterThan(300)
    expect(compared?.degrees).toBeLessThan(10)
  }
  expect(found).toBeGreaterThanOrEqual(11)
})

test('two drives over one road are two, even of a driver who holds the same speeds', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const compared = compareTracks(shapeOf(drive(seed)), shapeOf(drive(seed + 100)))
    expect(compared === null || (compared.correlation < 0.995 && compared.metresPerSecond > 0.6)).toBe(true)
  }
})

test('a drive that never varies, or hardly moves, has no shape', () => {
  const steady = drive(1)
  expect(shapeTrack(change(steady, (point) => ({ ...point, speed: 17.9 })))).toBeNull()
  expect(shapeTrack({ ...steady, points: steady.points.slice(0, 90) })).toBeNull()
  expect(shapeTrack(change(steady, (point) => ({ ...point, time: null })))).toBeNull()
})

test('of two steady drives nothing is said, though their speeds agree', () => {
  const cruise: Leg[] = [{ metres: 9000, speed: 18, stop: 0 }]
  const [a, b] = [shapeTrack(drive(1, cruise)), shapeTrack(drive(2, cruise))]
  const compared = a === null || b === null ? null : compareTracks(a, b)
  expect(compared === null || compared.correlation < 0.995 || compared.metresPerSecond > 0.5).toBe(true)
})
