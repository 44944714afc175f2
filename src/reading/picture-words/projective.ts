/** Projective maps of the plane: a page photographed at an angle, laid straight again. */
import type { Box } from '../../facts/reading.ts'
import type { Grey } from './grey.ts'

/** Row by row: `[x', y'] = ((a x + b y + c) / (g x + h y + i), (d x + e y + f) / (g x + h y + i))`. */
export type Map3 = readonly [number, number, number, number, number, number, number, number, number]
export type Point = readonly [number, number]

export const scaled = (by: number): Map3 => [by, 0, 0, 0, by, 0, 0, 0, 1]
export const moved = (x: number, y: number): Map3 => [1, 0, x, 0, 1, y, 0, 0, 1]

/** Turned clockwise, as the picture is seen, about the origin. */
export function rotated(degrees: number): Map3 {
  const angle = (degrees * Math.PI) / 180
  const [sine, cosine] = [Math.sin(angle), Math.cos(angle)]
  return [cosine, -sine, 0, sine, cosine, 0, 0, 0, 1]
}

/** First `maps[0]`, then the next, and so on. */
export function chain(...maps: readonly Map3[]): Map3 {
  return maps.reduce((first, then) => multiply(then, first))
}

function multiply(m: Map3, n: Map3): Map3 {
  const cell = (row: number, column: number) =>
    [0, 1, 2].reduce((sum, at) => sum + (m[row * 3 + at] ?? 0) * (n[at * 3 + column] ?? 0), 0)
  return [0, 1, 2].flatMap((row) => [0, 1, 2].map((column) => cell(row, column))) as unknown as Map3
}

/** The way back. */
export function inverse([a, b, c, d, e, f, g, h, i]: Map3): Map3 {
  const determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
  return [
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ].map((value) => value / determinant) as unknown as Map3
}

export function mapPoint([a, b, c, d, e, f, g, h, i]: Map3, [x, y]: Point): Point {
  const w = g * x + h * y + i
  return [(a * x + b * y + c) / w, (d * x + e * y + f) / w]
}

/** The upright box round a mapped box. */
export function mapBox(map: Map3, [x0, y0, x1, y1]: Box): Box {
  const corners = [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ].map(([x = 0, y = 0]) => mapPoint(map, [x, y]))
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)]
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
}

/** The map of the rectangle from the origin to (width, height) onto four corners, clockwise from the top left (Heckbert 1989, 2.2.2). */
export function ontoQuadrilateral(width: number, height: number, corners: readonly Point[]): Map3 {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners as [Point, Point, Point, Point]
  const [sx, sy] = [x0 - x1 + x2 - x3, y0 - y1 + y2 - y3]
  const [dx1, dx2, dy1, dy2] = [x1 - x2, x3 - x2, y1 - y2, y3 - y2]
  const determinant = dx1 * dy2 - dx2 * dy1
  const g = (sx * dy2 - dx2 * sy) / determinant
  const h = (dx1 * sy - sx * dy1) / determinant
  const square: Map3 = [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1]
  return chain([1 / width, 0, 0, 0, 1 / height, 0, 0, 0, 1], square)
}

/** The picture that shows at each point what `grey` shows where `map` takes it: white beyond its edges. */
export function warp(grey: Grey, map: Map3, width: number, height: number): Grey {
  const { width: w, height: h, levels: from } = grey
  const levels = new Uint8Array(width * height).fill(255)
  const [a, b, c, d, e, f, g, k, i] = map
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const [px, py] = [x + 0.5, y + 0.5]
      const depth = 1 / (g * px + k * py + i)
      const u = (a * px + b * py + c) * depth - 0.5
      const v = (d * px + e * py + f) * depth - 0.5
      if (!(u >= 0 && v >= 0 && u <= w - 1 && v <= h - 1)) continue
      const [left, top] = [Math.min(w - 2, Math.floor(u)), Math.min(h - 2, Math.floor(v))]
      const [right, down] = [u - left, v - top]
      const start = top * w + left
      const above = (from[start] ?? 0) * (1 - right) + (from[start + 1] ?? 0) * right
      const below = (from[start + w] ?? 0) * (1 - right) + (from[start + w + 1] ?? 0) * right
      levels[at] = above * (1 - down) + below * down + 0.5
    }
  }
  return { width, height, levels }
}
