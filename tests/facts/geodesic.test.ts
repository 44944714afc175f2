import fc from 'fast-check'
import geodesic from 'geographiclib-geodesic'
import { expect, test } from 'vitest'
import { distanceMetres, pathLengthMetres } from '../../src/facts/geodesic.ts'

const degrees = (d: number, m: number, s: number) => Math.sign(d) * (Math.abs(d) + m / 60 + s / 3600)

test('Flinders Peak to Buninyong (Geocentric Datum of Australia technical manual)', () => {
  const flinders = [degrees(-37, 57, 3.7203), degrees(144, 25, 29.5244)] as const
  const buninyong = [degrees(-37, 39, 10.1561), degrees(143, 55, 35.3839)] as const
  expect(distanceMetres(flinders, buninyong)).toBeCloseTo(54972.271, 3)
})

test('nearly antipodal points (Karney, Algorithms for geodesics, 2013)', () => {
  expect(distanceMetres([-41.32, 174.81], [40.96, -5.5])).toBeCloseTo(19959679.267, 3)
})

test('the example of the GeographicLib manual', () => {
  expect(distanceMetres([40.6, -73.8], [51.6, -0.5])).toBeCloseTo(5551759.4, 3)
})

test('short distances are those of GeographicLib to a micrometre, near the poles and across the date line too', () => {
  const latitude = fc.double({ min: -90, max: 90, noNaN: true })
  const longitude = fc.double({ min: -180, max: 180, noNaN: true })
  // 0.03 degrees reach past 2 km, where the way of reckoning changes.
  const step = fc.double({ min: -0.03, max: 0.03, noNaN: true })
  fc.assert(
    fc.property(latitude, longitude, step, step, (lat, lon, north, east) => {
      const there = [Math.max(-90, Math.min(90, lat + north)), lon + east] as const
      const { s12 } = geodesic.Geodesic.WGS84.Inverse(lat, lon, ...there)
      expect(Math.abs(distanceMetres([lat, lon], there) - (s12 ?? Number.NaN))).toBeLessThan(1e-6)
    }),
    { numRuns: 2000 },
  )
})

test('a path is the sum of its legs', () => {
  const [a, b, c] = [
    [40.6, -73.8],
    [51.6, -0.5],
    [40.6, -73.8],
  ] as const
  expect(pathLengthMetres([])).toBe(0)
  expect(pathLengthMetres([a])).toBe(0)
  expect(pathLengthMetres([a, b, c])).toBeCloseTo(2 * 5551759.4, 2)
  // A degree of the equator: 6378137 m times pi / 180, the defining radius of WGS84.
  expect(
    pathLengthMetres([
      [0, 0],
      [0, 0.5],
      [0, 1],
    ]),
  ).toBeCloseTo((6378137 * Math.PI) / 180, 6)
})

test('no number for no position', () => {
  expect(distanceMetres([Number.NaN, 0], [0, 0])).toBeNaN()
  expect(distanceMetres([91, 0], [0, 0])).toBeNaN()
})
