import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { driveNotSynthetic as check } from '../../../src/checks/drive/drive-not-synthetic.ts'
import { logChanceOfSpeed } from '../../../src/checks/drive/exactness.ts'
import type { Track, TrackPoint } from '../../../src/facts/reading.ts'
import { readGpx } from '../../../src/reading/gpx.ts'
import { readNmea } from '../../../src/reading/nmea.ts'
import { generalParameters } from '../general.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { cruising, departure, type Logger, packetOfTrack, simulateDrive, townAndCountry, trackOf } from './tracks.ts'

const parameters = generalParameters('drive-not-synthetic')
const verdictOf = (track: Track) => messagesOf(check, packetOfTrack(track), parameters)[0]

/** Honest loggers of many kinds. The stated rate is one false alarm in a million logs, so that none is to be seen here. */
const honest: [string, Omit<Logger, 'seed'>][] = [
  ['once a second', {}],
  ['five times a second', { rate: 5 }],
  ['ten times a second, seven decimals', { rate: 10, decimals: 7 }],
  ['every five seconds', { rate: 0.2 }],
  ['few decimals', { decimals: 4 }],
  ['five decimals', { decimals: 5 }],
  ['eight decimals', { decimals: 8 }],
  ['a quiet receiver', { white: 0.03, drift: 0.3, decimals: 7 }],
  ['a quiet receiver, five decimals', { white: 0.02, drift: 0.2, decimals: 5 }],
  ['a noisy receiver', { white: 2, drift: 5 }],
  ['a logger that writes old fixes again', { staleSeconds: 3 }],
  ['a logger faster than its receiver', { rate: 5, staleSeconds: 1 }],
  ['a smoothed track', { smoothSeconds: 7, white: 0, drift: 0.5 }],
  ['a smoothed track, seven decimals', { smoothSeconds: 7, white: 0, drift: 0.5, decimals: 7 }],
  ['a smoothed track, five decimals', { smoothSeconds: 7, white: 0, drift: 0.2, decimals: 5 }],
  ['a bus in whole km/h', { positions: false, speedDecimals: 0 }],
  ['a bus in whole km/h, ten times a second', { positions: false, speedDecimals: 0, rate: 10 }],
  ['a bus in tenths', { positions: false, speedDecimals: 1 }],
]

describe.each(honest)('an honest log: %s', (_, logger) => {
  it.each([1, 2, 3])('of town and country (%i)', (seed) => {
    expect(['natural', 'too-little']).toContain(verdictOf(simulateDrive(townAndCountry, { ...logger, seed })))
  })
  it.each([4, 5])('of a straight road at a set speed (%i)', (seed) => {
    expect(['natural', 'too-little']).toContain(verdictOf(simulateDrive(cruising, { ...logger, seed })))
  })
})

it('tells nothing of a car that stands, nor of a log without chance to tell by', () => {
  expect(verdictOf(simulateDrive([[600, 0]], { seed: 1, positions: false, speedDecimals: 0 }))).toBe('too-little')
  const still = Array.from({ length: 600 }, (_, at) => ({ time: departure + at, latitude: 41.2, longitude: -98.4 }))
  expect(verdictOf(trackOf(still))).toBe('too-little')
  expect(verdictOf(trackOf([]))).toBe('too-little')
  expect(messagesOf(check, makePacket([]), parameters)).toEqual(['no-log'])
})

const drive = simulateDrive(townAndCountry, { seed: 7 })
const later = (point: TrackPoint, seconds: number): TrackPoint => ({ ...point, time: (point.time ?? 0) + seconds })

/** The points from `from` to `to`, again at the end, moved in place as far as asked for. */
function withCopy(track: Track, from: number, to: number, shift = 0): Track {
  const last = track.points.at(-1)?.time ?? 0
  const first = track.points[from]?.time ?? 0
  const copy = track.points.slice(from, to).map((point): TrackPoint => {
    const { latitude, longitude } = point
    const moved =
      latitude === undefined || longitude === undefined
        ? {}
        : { latitude: Number((latitude + shift).toFixed(6)), longitude: Number((longitude - shift).toFixed(6)) }
    return { ...later(point, last + 1 - first), ...moved }
  })
  return trackOf([...track.points, ...copy])
}

describe('a stretch that comes twice', () => {
  it('is told with its place and its information', () => {
    const [outcome] = runCheck(check, packetOfTrack(withCopy(drive, 300, 480)), parameters)
    expect(outcome).toMatchObject({
      state: 'unmet',
      message: 'repeats',
      data: { firstSeconds: 300, secondSeconds: 810 },
    })
    expect(outcome?.data.points).toBe(180)
    expect(Number(outcome?.data.bits)).toBeGreaterThan(Number(outcome?.data.neededBits))
    expect(outcome?.working?.length).toBe(3)
  })

  it('also where it was moved elsewhere', () => {
    expect(verdictOf(withCopy(drive, 300, 480, 0.0125))).toBe('repeats')
  })

  it('and where the way there was turned into a way back', () => {
    const last = drive.points.at(-1)?.time ?? 0
    const back = drive.points.toReversed().map((point) => ({ ...point, time: 2 * last + 5 - (point.time ?? 0) }))
    expect(verdictOf(trackOf([...drive.points, ...back]))).toBe('mirrored')
  })

  it('and in speeds alone, given enough that differs', () => {
    const bus = simulateDrive(townAndCountry, { seed: 8, positions: false, speedDecimals: 1 })
    expect(verdictOf(withCopy(bus, 20, 400))).toBe('repeats')
  })

  it('but not a short one, nor the same points written twice with the same times', () => {
    expect(verdictOf(withCopy(drive, 300, 320))).toBe('natural')
    expect(verdictOf(trackOf([...drive.points, ...drive.points]))).toBe('natural')
  })

  it('nor a road driven twice', () => {
    const again = simulateDrive(townAndCountry, { seed: 9 })
    const points = again.points.map((point) => later(point, 2000))
    expect(verdictOf(trackOf([...drive.points, ...points]))).toBe('natural')
  })
})

/** Positions laid evenly along a line, as a program fills them in. */
function evenTrack(count: number, decimals: number): TrackPoint[] {
  return Array.from({ length: count }, (_, at) => ({
    time: departure + at,
    latitude: Number((41.2 + at * 0.000151237).toFixed(decimals)),
    longitude: Number((-98.4 + at * 0.000203391).toFixed(decimals)),
  }))
}

describe('motion as even as the digits can show', () => {
  it.each([6, 7, 9])('throughout, with %i decimals', (decimals) => {
    expect(verdictOf(trackOf(evenTrack(900, decimals)))).toBe('regular')
  })

  it('for a part', () => {
    const [outcome] = runCheck(
      check,
      packetOfTrack(
        trackOf([
          ...evenTrack(200, 7),
          ...simulateDrive(townAndCountry, { seed: 3, decimals: 7 }).points.map((point) => later(point, 200)),
        ]),
      ),
      parameters,
    )
    expect(outcome).toMatchObject({ state: 'unmet', message: 'too-even' })
    expect(Math.abs(Number(outcome?.data.evenSeconds) - 199)).toBeLessThan(5)
  })

  it.each([1, 0.2])('from a round position by a round amount, every %d s', (interval) => {
    const points = Array.from({ length: 450 / interval }, (_, at) => ({
      time: departure + at * interval,
      latitude: Number((41.0472 + at * interval * 0.0002).toFixed(7)),
      longitude: Number((-97.9316 + at * interval * 0.0001).toFixed(7)),
    }))
    expect(verdictOf(trackOf(points))).toBe('regular')
    // For a minute or two a set speed can fit coarse digits by chance.
    expect(verdictOf(trackOf(points.slice(0, 60 / interval)))).not.toBe('regular')
  })

  it('tells nothing where the digits are coarser than the noise', () => {
    expect(verdictOf(trackOf(evenTrack(900, 5)))).toBe('too-little')
    expect(verdictOf(trackOf(evenTrack(900, 4)))).toBe('too-little')
  })
})

/** Uniform from 0 to 1 (mulberry32), so that the test makes the same drives always. */
function uniform(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

const normalOf = (random: () => number) => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())

/** A straight road at a set speed that wanders by 0.25 m/s with a memory of 10 s; speed and heading are as they come. */
function setSpeed(seed: number, decimals: number): TrackPoint[] {
  const random = uniform(seed)
  const [memory, kick] = [Math.exp(-1 / 10), 0.25 * Math.sqrt(1 - Math.exp(-2 / 10))]
  const [speed, heading] = [20 + 10 * random(), 0.2 + random()]
  let [wander, metres] = [0, 30 * random()]
  return Array.from({ length: 900 }, (_, at) => {
    wander = memory * wander + kick * normalOf(random)
    metres += speed + wander
    return {
      time: departure + at,
      latitude: Number((41.0472 + (metres * Math.cos(heading)) / 111_200).toFixed(decimals)),
      longitude: Number((-97.9316 + (metres * Math.sin(heading)) / 83_900).toFixed(decimals)),
    }
  })
}

it.each([3, 4, 5])('a set speed on a straight road is not even enough, in %d decimals', (decimals) => {
  const said = Array.from({ length: 100 }, (_, seed) => verdictOf(trackOf(setSpeed(seed, decimals))))
  expect(said.filter((one) => one === 'regular' || one === 'too-even')).toEqual([])
})

describe('the derived chance of exact motion', () => {
  // A wander of 0.9 m a second in tubes of several widths, any speed within a step a second, looked at once a second.
  it.each([
    [5.94, 20],
    [5.94, 60],
    [5.94, 120],
    [3, 30],
  ])('is not below the share of simulated drives: within %d m for %d s', (half, seconds) => {
    const random = uniform(7)
    const runs = 60_000
    let stayed = 0
    for (let run = 0; run < runs; run++) {
      let [place, within] = [(random() - 0.5) * 2 * half, true]
      const misfit = (random() - 0.5) * 2 * half
      for (let at = 0; within && at < seconds; at++) {
        place += misfit + 0.9 * normalOf(random)
        within = Math.abs(place) <= half
      }
      if (within) stayed++
    }
    expect(stayed).toBeGreaterThan(0)
    expect(stayed / runs).toBeLessThan(Math.exp(logChanceOfSpeed(half, 1, seconds, 0.81)))
  })
})

describe('open tracks of other makers', () => {
  const require = createRequire(import.meta.url)
  const hint = { path: 'log', media: 'text/plain' }

  it('gpx-parse: a recorded run', () => {
    const bytes = readFileSync(require.resolve('gpx-parse/tests/integration/data/route-1.1.gpx'))
    expect(verdictOf(readGpx(bytes, hint).track ?? trackOf([]))).toBe('natural')
  })

  it('ggencoder: a sample of sentences', () => {
    const bytes = readFileSync(require.resolve('ggencoder/test/FeedSample/GprmcSample.nmea'))
    expect(['natural', 'too-little']).toContain(verdictOf(readNmea(bytes, hint).track ?? trackOf([])))
  })
})
