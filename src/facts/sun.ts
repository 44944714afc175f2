/**
 * Where the sun stands, within 0.01 degree for the years 1950 to 2050.
 *
 * Meeus, Astronomical Algorithms, 2nd edition: solar coordinates of low accuracy (chapter 25), sidereal time (12), obliquity
 * and nutation by their largest terms (22), horizontal coordinates (13), parallax (40); from memory. Refraction as in
 * Reda and Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302, equation 42.
 */
import type { Position } from './geodesic.ts'

export interface SunPosition {
  /** Degrees of the disc's centre above the horizon, as geometry has it: sunrise and twilight are stated by this. */
  elevation: number
  /** Degrees above the horizon as seen through air of 10 °C at the pressure usual for the height. */
  apparentElevation: number
  /** Degrees from north through east. */
  azimuth: number
}

const degree = Math.PI / 180
const sine = (degrees: number): number => Math.sin(degrees * degree)
const cosine = (degrees: number): number => Math.cos(degrees * degree)
const wrap = (degrees: number): number => ((degrees % 360) + 360) % 360

/** J2000.0, 2000-01-01T12:00 TT, in seconds since 1970-01-01T00:00Z, leap seconds left out. */
const epoch = 946_728_000
/** Terrestrial less universal time in seconds: 64 in 2003, 69 since 2017. The sun moves 0.0001 degree in nine. */
const terrestrialAhead = 69
/** Of the sun at its mean distance, in degrees: 8.794 seconds of arc. */
const parallax = 8.794 / 3600

/** Right ascension and declination of the sun and the hour angle of the equinox at Greenwich, in degrees. */
function solarCoordinates(seconds: number): { ascension: number; declination: number; greenwich: number } {
  const days = (seconds - epoch) / 86_400
  const centuries = (days + terrestrialAhead / 86_400) / 36_525
  const longitude = 280.46646 + 36_000.76983 * centuries + 0.0003032 * centuries ** 2
  const anomaly = 357.52911 + 35_999.05029 * centuries - 0.0001537 * centuries ** 2
  const centre =
    (1.914602 - 0.004817 * centuries) * sine(anomaly) +
    (0.019993 - 0.000101 * centuries) * sine(2 * anomaly) +
    0.000289 * sine(3 * anomaly)
  const node = 125.04 - 1934.136 * centuries
  const apparent = longitude + centre - 0.00569 - 0.00478 * sine(node)
  const obliquity = 23.4392911 - 0.0130042 * centuries + 0.00256 * cosine(node)
  const nutation = -0.00478 * sine(node) * cosine(obliquity)
  return {
    ascension: Math.atan2(cosine(obliquity) * sine(apparent), cosine(apparent)) / degree,
    declination: Math.asin(sine(obliquity) * sine(apparent)) / degree,
    greenwich: 280.46061837 + 360.98564736629 * days + nutation,
  }
}

/** The sun as seen from a place; `seconds` since 1970-01-01T00:00Z, height in metres above the sea. */
export function findSun(seconds: number, [latitude, longitude]: Position, heightMetres = 0): SunPosition {
  const { ascension, declination, greenwich } = solarCoordinates(seconds)
  const hour = wrap(greenwich + longitude - ascension)
  const height = sine(latitude) * sine(declination) + cosine(latitude) * cosine(declination) * cosine(hour)
  const geocentric = Math.asin(Math.min(1, Math.max(-1, height))) / degree
  const elevation = geocentric - parallax * cosine(geocentric)
  const west = Math.atan2(
    sine(hour) * cosine(declination),
    cosine(hour) * cosine(declination) * sine(latitude) - sine(declination) * cosine(latitude),
  )
  return {
    elevation,
    apparentElevation: elevation + refraction(elevation, heightMetres),
    azimuth: wrap(west / degree + 180),
  }
}

/** Degrees by which air lifts the disc; none where it is wholly below the horizon. */
function refraction(elevation: number, heightMetres: number): number {
  if (elevation < -0.833) return 0
  // The standard atmosphere of ISO 2533, at heights where roads are.
  const pressure = 1013.25 * (1 - 2.25577e-5 * heightMetres) ** 5.25588
  const tangent = Math.tan((elevation + 10.3 / (elevation + 5.11)) * degree)
  return (pressure / 1010) * (283 / (273 + 10)) * (1.02 / (60 * tangent))
}
