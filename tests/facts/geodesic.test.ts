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
