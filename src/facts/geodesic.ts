/** Distances on the WGS84 ellipsoid (Karney 2013, through GeographicLib). Positions are `[latitude, longitude]` in degrees. */
import geodesic from 'geographiclib-geodesic'

export type Position = readonly [latitude: number, longitude: number]

/** Metres of the shortest path between two positions; NaN where a coordinate is no number or a latitude lies beyond 90. */
export function distanceMetres(from: Position, to: Position): number {
  const wgs84 = geodesic.Geodesic.WGS84
  return wgs84.Inverse(from[0], from[1], to[0], to[1], geodesic.Geodesic.DISTANCE).s12 ?? Number.NaN
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
