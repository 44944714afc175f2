/**
 * A track in figures. A minute of arc along a meridian is 1 852 m within 10 m anywhere on WGS 84 (1 842.9 m at the equator to
 * 1 861.6 m at the poles: the lengths from which the nautical mile comes).
 */
import { describe, expect, test } from 'vitest'
import type { Track, TrackPoint } from '../../../src/facts/reading.ts'
import { measureDrive } from '../../../src/facts/recognise/drive.ts'
import { recognisePages } from './recognised.ts'

const track = (points: TrackPoint[], rest: Partial<Track> = {}): Track => ({
  clock: 'utc',
  offset: null,
  startedLocal: null,
  points,
  rejected: 0,
  header: {},
  ...rest,
})

/** North along a meridian at one arc minute in `step` seconds. */
const north = (count: number, step = 60): TrackPoint[] =>
  Array.from({ length: count }, (_, i) => ({ time: 1_779_350_400 + step * i, latitude: 40 + i / 60, longitude: -105 }))

describe('positions', () => {
  const drive = measureDrive(track(north(11)))

  test('give distance, time and speed', () => {
    expect(drive?.points).toBe(11)
    expect(drive?.durationSeconds).toBe(600)
    expect(Math.abs((drive?.distanceMetres ?? 0) - 18_520)).toBeLessThan(100)
    expect(drive?.meanSpeedKmh).toBeCloseTo(((drive?.distanceMetres ?? 0) / 600) * 3.6, 1)
    expect(drive?.movingSeconds).toBe(600)
    expect([drive?.start, drive?.end?.[0]]).toEqual([[40, -105], 40 + 10 / 60])
  })

  test('of a receiver at rest are no drive', () => {
    const still = Array.from({ length: 600 }, (_, i) => ({
      time: i,
      latitude: 40 + 0.000003 * (i % 2),
      longitude: -105,
    }))
    expect(measureDrive(track(still))).toMatchObject({ distanceMetres: 0, movingSeconds: 0, durationSeconds: 599 })
  })

  test('without a time have a length only', () => {
    const drive = measureDrive(track(north(3).map((point) => ({ ...point, time: null }))))
    expect(drive).toMatchObject({ started: null, durationSeconds: null, movingSeconds: null, points: 3 })
    expect(drive?.distanceMetres).toBeGreaterThan(3600)
  })
})

describe('speeds alone', () => {
  test('add up to a distance: 20 m/s for 10 s are 200 m', () => {
    const points = Array.from({ length: 11 }, (_, i) => ({ time: i, speed: 20 }))
    expect(measureDrive(track(points))).toMatchObject({
      distanceMetres: 200,
      maxSpeedKmh: 72,
      meanSpeedKmh: 72,
      start: null,
    })
  })

  test('do not bridge a gap of more than a minute', () => {
    expect(
      measureDrive(
        track([
          { time: 0, speed: 20 },
          { time: 100, speed: 20 },
          { time: 110, speed: 20 },
        ]),
      ),
    ).toMatchObject({
      distanceMetres: 200,
      durationSeconds: 110,
    })
  })
})

describe('the clock', () => {
  test('of UTC is placed exactly', () => {
    expect(measureDrive(track(north(2)))?.started).toMatchObject({
      local: '2026-05-21T08:00:00',
      offset: '+00:00',
      earliest: '2026-05-21T08:00:00Z',
    })
  })

  test('of local time keeps the offset of the log, or none', () => {
    const local = { clock: 'local' as const }
    expect(measureDrive(track(north(2), { ...local, offset: '-06:00' }))?.started).toMatchObject({
      local: '2026-05-21T08:00:00',
      offset: '-06:00',
      earliest: '2026-05-21T14:00:00Z',
    })
    expect(measureDrive(track(north(2), local))?.started?.offset).toBeNull()
  })

  test('of elapsed time counts from the start that the log states', () => {
    const points = [{ time: 0 }, { time: 90 }].map((point) => ({ ...point, speed: 10 }))
    const elapsed = { clock: 'elapsed' as const, startedLocal: '2026-05-21T09:10:00' }
    expect(measureDrive(track(points, elapsed))?.ended?.local).toBe('2026-05-21T09:11:30')
    expect(measureDrive(track(points, { clock: 'elapsed' }))).toMatchObject({ started: null, durationSeconds: 90 })
  })
})

test('no points, no drive', () => {
  expect(measureDrive(track([]))).toBeNull()
})

test('a log is a drive log, dated by its first fix', () => {
  expect(recognisePages([], undefined, 'road.gpx', { track: track(north(3)) })).toMatchObject({
    kind: 'drive-log',
    date: { local: '2026-05-21T08:00:00' },
    drive: { points: 3 },
  })
})
