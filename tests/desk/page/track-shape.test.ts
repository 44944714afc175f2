import geodesic from 'geographiclib-geodesic'
import { describe, expect, test } from 'vitest'
import { metresBetween, shapeTrack, speedsOf } from '../../../src/desk/page/logic/track-shape.ts'

const point = (
  second: number | null,
  latitude: number | null,
  longitude: number | null,
  kmh: number | null = null,
) => ({
  second,
  latitude,
  longitude,
  kmh,
})
const located = (latitude: number, longitude: number) => ({ ...point(0, 0, 0), latitude, longitude })
const room = { width: 420, height: 300 }

describe('the shape of a track', () => {
  test('north is up, east is right, and it stays within its room', () => {
    const shape = shapeTrack([point(0, 41, -98), point(1, 41.1, -98), point(2, 41.1, -97.9)], room)
    expect(shape?.end[1]).toBeLessThan(shape?.start[1] ?? 0)
    expect(shape?.end[0]).toBeGreaterThan(shape?.start[0] ?? 0)
    for (const [x, y] of shape?.lines.flat() ?? []) {
      expect(x).toBeGreaterThanOrEqual(0)
      expect(x).toBeLessThanOrEqual(420)
      expect(y).toBeGreaterThanOrEqual(0)
      expect(y).toBeLessThanOrEqual(300)
    }
  })

  // GeographicLib's geodesics on WGS 84 are the reference; the sphere differs by half a percent at most.
  test('the bar is as long as the ground that it stands for', () => {
    const shape = shapeTrack([point(0, 41, -98), point(1, 41, -97.9)], room)
    const { s12 = 0 } = geodesic.Geodesic.WGS84.Inverse(41, -98, 41, -97.9)
    const pixels = (shape?.end[0] ?? 0) - (shape?.start[0] ?? 0)
    const metres = ((shape?.bar.metres ?? 0) / (shape?.bar.length ?? 1)) * pixels
    expect(Math.abs(metres / s12 - 1)).toBeLessThan(0.005)
  })

  test('a point without a place breaks the line', () => {
    const shape = shapeTrack([point(0, 1, 1), point(1, 1, 1.1), point(2, null, null), point(3, 1.1, 1.1)], room)
    expect(shape?.lines.map((line) => line.length)).toEqual([2, 1])
  })

  test('across the 180th meridian it does not go round the world', () => {
    const shape = shapeTrack([point(0, 10, 179.99), point(1, 10, -179.99)], room)
    expect(shape?.end[0]).toBeGreaterThan(shape?.start[0] ?? 0)
    expect(shape?.bar.metres).toBeLessThan(2000)
  })

  test('nothing is drawn of fewer than two places', () => {
    expect(shapeTrack([point(0, 1, 1), point(1, null, null)], room)).toBeNull()
  })

  test('one that never moved is a dot and not a fault', () => {
    const shape = shapeTrack([point(0, 1, 1), point(1, 1, 1)], room)
    expect(shape?.start.every(Number.isFinite)).toBe(true)
  })
})

describe('speeds', () => {
  test('as logged, where there are any', () => {
    expect(speedsOf([point(0, 1, 1, 10), point(1, 1, 1, 20)])).toMatchObject({ from: 'logged' })
  })

  test('else from place to place', () => {
    const { s12 = 0 } = geodesic.Geodesic.WGS84.Inverse(41, -98, 41.001, -98)
    const told = speedsOf([point(0, 41, -98), point(10, 41.001, -98), point(20, 41.001, -98)])
    expect(told.from).toBe('places')
    expect(Math.abs((told.points[0]?.kmh ?? 0) / ((s12 / 10) * 3.6) - 1)).toBeLessThan(0.005)
    expect(told.points[1]?.kmh).toBe(0)
  })

  test('none where there is neither', () => {
    expect(speedsOf([point(0, null, null), point(1, null, null)]).from).toBe('nothing')
  })

  test.each([
    [41, -98, 41.5, -97],
    [0, 0, 0, 1],
    [-60, 170, -60.2, 170.1],
  ])('metres between %f %f and %f %f, against WGS 84', (a, b, c, d) => {
    const { s12 = 0 } = geodesic.Geodesic.WGS84.Inverse(a, b, c, d)
    expect(Math.abs(metresBetween(located(a, b), located(c, d)) / s12 - 1)).toBeLessThan(0.0056)
  })
})
