/**
 * Distances on the WGS84 ellipsoid. Positions are `[latitude, longitude]` in degrees.
 *
 * Any two positions: Karney 2013, through GeographicLib. The fixes of a drive lie metres apart and come in thousands:
 * there the chord through the ellipsoid, lengthened to its arc, is the same to a micrometre at a twentieth of the cost.
 */
import geodesic from 'geographiclib-geodesic'

export type Position = readonly [latitude: number, longitude: number]

/** Metres of the shortest path between two positions; NaN where a coordinate is no number or a latitude lies beyond 90. */
export function distanceMetres(from: Position, to: Position): number {
  const near = nearDistance(from, to)
  if (near !== null) return near
  const wgs84 = geodesic.Geodesic.WGS84
  return wgs84.Inverse(from[0], from[1], to[0], to[1], geodesic.Geodesic.DISTANCE).s12 ?? Number.NaN
}

/** Semi-major axis in metres and flattening: NIMA TR8350.2, table 3.1. */
const axis = 6_378_137
const flattening = 1 / 298.257_223_563
const eccentricity2 = flattening * (2 - flattening)
/** Radius of the sphere of the same surface; a chord's lengthening does not feel the difference to the true curvature. */
const meanRadius = 6_371_007.2

/** Beyond this chord, in metres, the lengthening is not good for a micrometre any more. */
const nearChord = 2_000

/** Earth-centred metres of a position at height 0 (EPSG Guidance Note 7-2, 9602). */
function toEarthCentred([latitude, longitude]: Position): [x: number, y: number, z: number] {
  const phi = (latitude * Math.PI) / 180
  const lambda = (longitude * Math.PI) / 180
  const normal = axis / Math.sqrt(1 - eccentricity2 * Math.sin(phi) ** 2)
  const across = normal * Math.cos(phi)
  return [across * Math.cos(lambda), across * Math.sin(lambda), normal * (1 - eccentricity2) * Math.sin(phi)]
}

/** The distance where it is a short one; null for GeographicLib to say. An arc is its chord (1 + chord² / 24 R²) long. */
function nearDistance(from: Position, to: Position): number | null {
  if (!(Math.abs(from[0]) <= 90 && Math.abs(to[0]) <= 90)) return null
  const [x, y, z] = toEarthCentred(from)
  const [u, v, w] = toEarthCentred(to)
  const chord = Math.hypot(u - x, v - y, w - z)
  return chord <= nearChord ? chord * (1 + (chord / meanRadius) ** 2 / 24) : null
}

/** Metres along a path of positions; 0 for fewer than two. */
export function pathLengthMetres(path: readonly Position[]): number {
  let total = 0
  for (let index = 1; index < path.length; index++) {
    const from = path[index - 1]
    const to = path[index]
    if (from && to) total += distanceMetres(from, to)
  }
  return total
}
