/**
 * Motion of tracks. The example sentence of NMEA 0183 gives 22.4 knots, which are 41.48 km/h (a knot is 1852 m an hour: SI
 * brochure, table 8). Geodesics: Flinders Peak to Buninyong 54972.271 m (GDA technical manual).
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  drivenMetres,
  forwardPoints,
  freshFixes,
  integratedMetres,
  legsOf,
  loggedSpeeds,
  measureBand,
  placedMetres,
  placedSpeeds,
  speedsOf,
  stepsOf,
} from '../../src/facts/motion.ts'
import type { TrackPoint } from '../../src/facts/reading.ts'

const knots = (22.4 * 1852) / 3600
const flindersPeak = { latitude: -(37 + 57 / 60 + 3.7203 / 3600), longitude: 144 + 25 / 60 + 29.5244 / 3600 }
const buninyong = { latitude: -(37 + 39 / 60 + 10.1561 / 3600), longitude: 143 + 55 / 60 + 35.3839 / 3600 }

/** North at `speed` metres a second, a point every `step` seconds; a minute of arc is within half a per cent of 1852 m. */
const north = (count: number, speed: number, step = 1): TrackPoint[] =>
  Array.from({ length: count }, (_, at) => ({
    time: at * step,
    latitude: 45 + (at * step * speed) / 1852 / 60,
    longitude: 10,
  }))

describe('distances', () => {
  it('go along the positions', () => {
    const points = [
      { time: 0, ...flindersPeak },
      { time: 3600, ...buninyong },
    ]
    expect(placedMetres(points)).toBeCloseTo(54_972.271, 3)
    expect(drivenMetres(points)).toBeCloseTo(54_972.271, 3)
  })

  it('else by the logged speeds', () => {
    const points = Array.from({ length: 61 }, (_, time) => ({ time, speed: knots }))
    expect(placedMetres(points)).toBeNull()
    expect(integratedMetres(stepsOf(points))).toBeCloseTo(60 * knots, 9)
    expect(drivenMetres(points)).toBeCloseTo(691.413, 3)
    expect(drivenMetres([{ time: 0 }])).toBeNull()
  })
})

describe('points', () => {
  it('are those that a clock running forward has logged', () => {
    const times = [3, 4, 4, 2, 5, null, 6].map((time): TrackPoint => ({ time }))
    expect(forwardPoints(times).map(({ time }) => time)).toEqual([3, 4, 5, 6])
  })

  it('count once while a position stands', () => {
    const points = [1, 1, 2, 2, 2, 1].map((latitude, time) => ({ time, latitude, longitude: 0 }))
    expect(freshFixes(points).map(({ time }) => time)).toEqual([0, 2, 5])
  })
})

describe('speeds', () => {
  it('are those logged by most points, by satellite before by wheel', () => {
    const points = [{ time: 0, speed: 3, wheelSpeed: 4 }, { time: 1, wheelSpeed: 5 }, { time: 2 }].map((point) => point)
    expect(loggedSpeeds(points)).toEqual([
      { time: 0, speed: 3 },
      { time: 1, speed: 5 },
    ])
    expect(loggedSpeeds([{ time: 0, speed: 3 }, { time: 1 }])).toEqual([])
  })

  it('else those of the positions', () => {
    const speeds = speedsOf(forwardPoints(north(30, 20)), 2)
    expect(speeds.length).toBeGreaterThan(25)
    for (const { speed } of speeds) expect(Math.abs(speed / 20 - 1)).toBeLessThan(0.005)
  })

  it('do not rise where an old fix is written again', () => {
    const stale = north(60, 20).map((point, at) => ({
      ...point,
      latitude: north(60, 20)[at - (at % 5)]?.latitude ?? 0,
    }))
    for (const { speed } of placedSpeeds(forwardPoints(stale), 2)) expect(Math.abs(speed / 20 - 1)).toBeLessThan(0.005)
  })

  it('are not known across more than a minute', () => {
    expect(placedSpeeds(forwardPoints(north(5, 20, 61)), 2)).toEqual([])
  })
})

describe('the time within a band', () => {
  const legs = (speeds: readonly number[], step = 1) => legsOf(speeds.map((speed, at) => ({ time: at * step, speed })))

  it('counts motion, the band and its longest stretch', () => {
    const figures = measureBand(legs([0, 0, 0, 10, 20, 20, 20, 5, 20, 20]), [18, 22])
    expect(figures).toEqual({ movingSeconds: 7, bandSeconds: 3, stretchSeconds: 2 })
  })

  it('breaks a stretch at a gap of the log', () => {
    const samples = [...Array(10).keys(), ...Array.from({ length: 10 }, (_, at) => 100 + at)]
    const figures = measureBand(legsOf(samples.map((time) => ({ time, speed: 20 }))), [18, 22])
    expect(figures).toEqual({ movingSeconds: 18, bandSeconds: 18, stretchSeconds: 9 })
  })

  it('looks at a part where asked to', () => {
    expect(measureBand(legs(Array(100).fill(20)), [18, 22], 10.5, 20)).toMatchObject({ bandSeconds: 9.5 })
  })

  it('never exceeds the time in motion, nor falls when the band widens', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 40, noNaN: true }), { minLength: 2, maxLength: 60 }),
        fc.double({ min: 1, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        (speeds, least, wider) => {
          const narrow = measureBand(legs(speeds), [least + wider, 30])
          const wide = measureBand(legs(speeds), [least, 30 + wider])
          expect(wide.bandSeconds).toBeLessThanOrEqual(wide.movingSeconds)
          expect(wide.bandSeconds).toBeGreaterThanOrEqual(narrow.bandSeconds)
          expect(wide.stretchSeconds).toBeGreaterThanOrEqual(narrow.stretchSeconds)
        },
      ),
    )
  })
})
