/** The sun against published values. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { secondsOfInstant } from '../../src/facts/instant.ts'
import { findSun } from '../../src/facts/sun.ts'

/** NREL/TP-560-34302, the example of appendix A.5 and of the program published with it. */
describe('the example of the Solar Position Algorithm', () => {
  const place = [39.742476, -105.1786] as const
  const at = (time: string) => findSun(secondsOfInstant(`2003-10-${time}-07:00`), place, 1830.14)

  test('zenith and azimuth', () => {
    const sun = at('17T12:30:30')
    expect(Math.abs(90 - sun.apparentElevation - 50.11162)).toBeLessThan(0.01)
    expect(Math.abs(sun.azimuth - 194.34024)).toBeLessThan(0.01)
  })

  // The program's own output, from memory: sunrise 06:12:43 and sunset 17:20:19, when the centre stands at -0.8333 degree.
  // It goes by the day of universal time, so that the sunset is that of the evening before.
  test.each(['17T06:12:43', '16T17:20:19'])('the horizon at %s', (time) => {
    expect(Math.abs(at(time).elevation + 0.8333)).toBeLessThan(0.01)
  })
})

// At the pole the sun stands as high as its declination. Equinoxes and solstices of 2026 by the almanac, from memory, to the
// minute: the declination is 0, or the obliquity of the ecliptic, 23.438 degrees with that year's nutation.
test.each([
  ['2026-03-20T14:46:00Z', 0],
  ['2026-06-21T08:25:00Z', 23.438],
  ['2026-09-23T00:05:00Z', 0],
  ['2026-12-21T20:50:00Z', -23.438],
])('the season that begins at %s', (instant, declination) => {
  expect(Math.abs(findSun(secondsOfInstant(instant), [90, 0]).elevation - declination)).toBeLessThan(0.01)
})

// Meeus, Astronomical Algorithms, example 25.a: 1992 October 13.0 TD, declination -7.78507 degrees; from memory.
test('the example of Meeus', () => {
  const dynamical = secondsOfInstant('1992-10-13T00:00:00Z') - 59
  expect(Math.abs(findSun(dynamical, [90, 0]).elevation + 7.78507)).toBeLessThan(0.01)
})

test('it stands as high at one place as it stands low on the other side of the earth, but for parallax', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 2_400_000_000 }),
      fc.double({ min: -90, max: 90, noNaN: true }),
      fc.double({ min: -180, max: 0, noNaN: true }),
      (seconds, latitude, longitude) => {
        const here = findSun(seconds, [latitude, longitude])
        const there = findSun(seconds, [-latitude, longitude + 180])
        expect(Math.abs(here.elevation + there.elevation)).toBeLessThan(0.006)
        expect(here.azimuth).toBeGreaterThanOrEqual(0)
        expect(here.azimuth).toBeLessThan(360)
        expect(here.apparentElevation).toBeGreaterThanOrEqual(here.elevation)
      },
    ),
  )
})
