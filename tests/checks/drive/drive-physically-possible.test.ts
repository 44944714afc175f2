import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { drivePhysicallyPossible as check } from '../../../src/checks/drive/drive-physically-possible.ts'
import type { Track, TrackPoint } from '../../../src/facts/reading.ts'
import { readGpx } from '../../../src/reading/gpx.ts'
import { generalParameters } from '../general.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { cruising, departure, type Logger, packetOfTrack, simulateDrive, townAndCountry, trackOf } from './tracks.ts'

const parameters = generalParameters('drive-physically-possible')
const messageOf = (track: Track) => messagesOf(check, packetOfTrack(track), parameters)[0]
const drive = simulateDrive(townAndCountry, { seed: 1 })
const change = (track: Track, edit: (point: TrackPoint, at: number) => TrackPoint) => trackOf(track.points.map(edit))

const honest: [string, Omit<Logger, 'seed'>][] = [
  ['once a second', {}],
  ['five times a second', { rate: 5 }],
  ['every five seconds', { rate: 0.2 }],
  ['every 30 seconds', { rate: 1 / 30 }],
  ['positions alone, noisy', { speeds: false, white: 3, drift: 6 }],
  ['few decimals', { decimals: 4, speeds: false }],
  ['a bus in whole km/h', { positions: false, speedDecimals: 0 }],
  ['a bus in whole km/h, ten times a second', { positions: false, speedDecimals: 0, rate: 10 }],
  ['old fixes written again', { staleSeconds: 5 }],
]

describe.each(honest)('an honest log: %s', (_, logger) => {
  it('is possible', () => {
    for (const seed of [1, 2]) expect(messageOf(simulateDrive(townAndCountry, { ...logger, seed }))).toBe('possible')
    expect(messageOf(simulateDrive(cruising, { ...logger, seed: 3 }))).toBe('possible')
  })
})

it('bears with single errors, and tells of more', () => {
  const glitch = (...seconds: number[]) =>
    change(drive, (point, at) => (seconds.includes(at) ? { ...point, speed: (point.speed ?? 0) + 40 } : point))
  expect(messageOf(glitch(300))).toBe('possible')
  expect(messageOf(glitch(100, 200, 300, 400, 500))).toBe('some-impossible')
  expect(messageOf(glitch(...Array.from({ length: 80 }, (_, at) => at * 10)))).toBe('impossible')
})

it('is impossible where the speed goes on changing as no car can', () => {
  const leap = change(drive, (point, at) => ({
    ...point,
    speed: at > 300 && at <= 304 ? 25 + (at - 300) * 20 : (point.speed ?? 0),
  }))
  const [outcome] = runCheck(check, packetOfTrack(leap), parameters)
  expect(outcome).toMatchObject({ state: 'unmet', message: 'sustained', data: { longestSeconds: 4 } })
  // A full stop from 100 km/h in 3 s (0.94 g) is the best that tires can do.
  const stop = change(simulateDrive(cruising, { seed: 5 }), (point, at) => ({
    ...point,
    speed: Math.max(0, Math.min(point.speed ?? 0, 27.8 - 9.3 * Math.max(0, at - 800))),
  }))
  expect(messageOf(change(stop, ({ time, speed }) => ({ time, ...(speed === undefined ? {} : { speed }) })))).toBe(
    'possible',
  )
})

it('is impossible where positions leap about', () => {
  const leaps = change(simulateDrive(townAndCountry, { seed: 1, speeds: false }), (point, at) => ({
    ...point,
    latitude: (point.latitude ?? 0) + (at % 7 === 0 ? 0.02 : 0),
  }))
  expect(messageOf(leaps)).toBe('impossible')
})

describe('a step that no car can take', () => {
  const sparse = simulateDrive(townAndCountry, { seed: 1, speeds: false, rate: 0.2 })
  const last = sparse.points.length
  const moved = (from: number, to = last, degrees = 0.08) =>
    change(sparse, (point, at) =>
      at >= from && at < to ? { ...point, latitude: (point.latitude ?? 0) + degrees } : point,
    )

  it('fails where the track goes on from there', () => {
    const [outcome] = runCheck(check, packetOfTrack(moved(last / 2)), parameters)
    expect(outcome).toMatchObject({ state: 'unmet', message: 'displaced' })
    // 0.08° of latitude is 8.9 km.
    expect(Math.abs(Number(outcome?.data.kilometres) - 8.9)).toBeLessThan(0.3)
    expect(outcome?.working?.length).toBe(1)
  })

  it.each([
    ['a fix or two that err and come back', moved(40, 42)],
    ['a first place that the receiver had in mind from the drive before', moved(0, 2)],
    ['a last fix that errs', moved(last - 1)],
  ])('does not where it is %s', (_, track) => {
    expect(messageOf(track)).not.toBe('displaced')
  })

  it('does not where the place is near, or the logger was off on the way', () => {
    expect(messageOf(moved(last / 2, last, 0.005))).not.toBe('displaced')
    const paused = change(moved(last / 2), (point, at) =>
      at >= last / 2 ? { ...point, time: (point.time ?? 0) + 900 } : point,
    )
    expect(messageOf(paused)).not.toBe('displaced')
  })

  it('does not where a place without a fix was written until there was one', () => {
    const unfixed = change(sparse, (point, at) => (at < 30 ? { ...point, latitude: 0, longitude: 0 } : point))
    expect(messageOf(unfixed)).not.toBe('displaced')
  })
})

it('is impossible where logged speed and change of position contradict each other throughout', () => {
  const [outcome] = runCheck(check, packetOfTrack(change(drive, (point) => ({ ...point, speed: 25 }))), parameters)
  expect(outcome).toMatchObject({ state: 'unmet', message: 'speed-contradicts' })
  expect(messageOf(change(simulateDrive(cruising, { seed: 4 }), (point) => ({ ...point, speed: 14 })))).toBe(
    'speed-contradicts',
  )
})

it.each([
  ['miles for kilometres', 1.609344],
  ['kilometres for miles', 1 / 1.609344],
  ['knots for kilometres', 1.852],
])('tells a speed in another unit: %s', (_, factor) => {
  const [outcome] = runCheck(
    check,
    packetOfTrack(change(drive, (point) => ({ ...point, speed: (point.speed ?? 0) * factor }))),
    parameters,
  )
  expect(outcome?.message).toBe('speed-in-other-unit')
  expect(Math.abs(Number(outcome?.data.ratio) / factor - 1)).toBeLessThan(0.03)
})

it('does not take a late clock of the speed for a contradiction', () => {
  const late = change(drive, (point, at) => ({ ...point, speed: drive.points[Math.max(0, at - 20)]?.speed ?? 0 }))
  expect(messageOf(late)).toBe('possible')
})

it('is undecided of a few points, and does not apply without a log', () => {
  expect(messageOf(trackOf(drive.points.slice(0, 10)))).toBe('too-little')
  expect(messageOf(trackOf([]))).toBe('too-little')
  expect(messageOf(trackOf(Array.from({ length: 60 }, (_, at) => ({ time: departure + at }))))).toBe('too-little')
  expect(messagesOf(check, makePacket([]), parameters)).toEqual(['no-log'])
})

it('holds an open track of another maker for possible (gpx-parse: a recorded run)', () => {
  const file = createRequire(import.meta.url).resolve('gpx-parse/tests/integration/data/route-1.1.gpx')
  expect(messageOf(readGpx(readFileSync(file), { path: 'log', media: 'text/plain' }).track ?? trackOf([]))).toBe(
    'possible',
  )
})
