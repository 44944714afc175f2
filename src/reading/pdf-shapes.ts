/** Areas of a page: rectangles and paths (ISO 32000-1, 8.5), in points from the top left, asked whether a point lies in them. */
import type { Box } from '../facts/reading.ts'
import type { Matrix } from './pdf-glyphs.ts'

/** Closed polygons as flat lists of x and y; curves are flattened. */
export interface Shape {
  box: Box
  polygons: readonly (readonly number[])[]
  evenOdd: boolean
  /** It is its box: one rectangle with upright sides. */
  isBox: boolean
}

export type Point = readonly [number, number]

const place = ([a, b, c, d, e, f]: Matrix, x: number, y: number): [number, number] => [
  a * x + c * y + e,
  b * x + d * y + f,
]

function boundsOf(polygons: readonly (readonly number[])[]): Box {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const polygon of polygons) {
    for (let at = 0; at + 1 < polygon.length; at += 2) {
      const [x, y] = [polygon[at] ?? 0, polygon[at + 1] ?? 0]
      box[0] = Math.min(box[0], x)
      box[1] = Math.min(box[1], y)
      box[2] = Math.max(box[2], x)
      box[3] = Math.max(box[3], y)
    }
  }
  return box
}

function makeShape(polygons: readonly (readonly number[])[], evenOdd: boolean): Shape {
  return { box: boundsOf(polygons), polygons, evenOdd, isBox: polygons.length === 1 && isUpright(polygons[0] ?? []) }
}

/** Four corners (the first perhaps again), each side along one axis. */
function isUpright(polygon: readonly number[]): boolean {
  const again = polygon.length === 10 && polygon[0] === polygon[8] && polygon[1] === polygon[9]
  if (polygon.length !== 8 && !again) return false
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0, x2 = 0, y2 = 0, x3 = 0, y3 = 0] = polygon
  const same = (a: number, b: number) => Math.abs(a - b) < 0.01
  const alongX = same(y0, y1) && same(x1, x2) && same(y2, y3) && same(x3, x0)
  return alongX || (same(x0, x1) && same(y1, y2) && same(x2, x3) && same(y3, y0))
}

/** The rectangle `[x0, y0, x1, y1]` of user space. */
export function shapeOfBox([x0, y0, x1, y1]: Box, matrix: Matrix): Shape {
  const corners = [place(matrix, x0, y0), place(matrix, x1, y0), place(matrix, x1, y1), place(matrix, x0, y1)]
  return makeShape([corners.flat()], false)
}

/** Parts of a curve; a rounded corner needs no more. */
const pieces = 6

/** Operators in the path lists of pdfjs: move, line, cubic curve, quadratic curve, close. */
const arity = [2, 2, 6, 4, 0]

/** The paths of a list of pdfjs, each a polygon; null where the list is none or has more points than `most`. */
export function shapeOfPath(path: ArrayLike<number>, matrix: Matrix, evenOdd: boolean, most = 5000): Shape | null {
  if (path.length > most * 3) return null
  const polygons: number[][] = []
  let current: number[] = []
  let last: Point = [0, 0]
  for (let at = 0; at < path.length; ) {
    const operator = path[at] ?? -1
    const count = arity[operator]
    if (count === undefined) return null
    const points = Array.from({ length: count / 2 }, (_, index) =>
      place(matrix, path[at + 1 + 2 * index] ?? 0, path[at + 2 + 2 * index] ?? 0),
    )
    at += 1 + count
    const end = points.at(-1)
    if (end === undefined) continue
    if (operator === 0) {
      current = [...end]
      polygons.push(current)
    } else if (operator === 1) current.push(...end)
    else current.push(...flatten([last, ...points]))
    last = end
  }
  const closed = polygons.filter((polygon) => polygon.length >= 6)
  return makeShape(closed, evenOdd)
}

/** Points on a Bézier curve of any degree, after its first (de Casteljau). */
function flatten(controls: readonly Point[]): number[] {
  const points: number[] = []
  for (let piece = 1; piece <= pieces; piece++) {
    const t = piece / pieces
    let level = controls
    while (level.length > 1) {
      level = level.slice(1).map(([x, y], index): Point => {
        const [fromX, fromY] = level[index] ?? [x, y]
        return [fromX + (x - fromX) * t, fromY + (y - fromY) * t]
      })
    }
    points.push(...(level[0] ?? [0, 0]))
  }
  return points
}

/** The strips that straight lines of a path cover when they are drawn `width` points wide. */
export function shapesOfLines(path: ArrayLike<number>, matrix: Matrix, width: number): Shape[] {
  const outline = shapeOfPath(path, matrix, false, 400)
  const lines = outline === null ? [] : openLines(path, matrix)
  return lines.map(([[x0, y0], [x1, y1]]) => {
    const length = Math.hypot(x1 - x0, y1 - y0) || 1
    const [offX, offY] = [(-(y1 - y0) / length) * (width / 2), ((x1 - x0) / length) * (width / 2)]
    const polygons = [[x0 + offX, y0 + offY, x1 + offX, y1 + offY, x1 - offX, y1 - offY, x0 - offX, y0 - offY]]
    return makeShape(polygons, false)
  })
}

function openLines(path: ArrayLike<number>, matrix: Matrix): [Point, Point][] {
  const lines: [Point, Point][] = []
  let last: Point | null = null
  for (let at = 0; at < path.length; ) {
    const operator = path[at] ?? -1
    const count = arity[operator] ?? 0
    const end: Point | null = count === 0 ? last : place(matrix, path[at + count - 1] ?? 0, path[at + count] ?? 0)
    if (operator === 1 && last !== null && end !== null) lines.push([last, end])
    last = end
    at += 1 + count
  }
  return lines
}

/** Lies the point inside, by the rule of the path (nonzero winding number or even-odd, ISO 32000-1, 8.5.3.3)? */
export function contains(shape: Shape, [x, y]: Point): boolean {
  const [x0, y0, x1, y1] = shape.box
  if (!(x >= x0 && x <= x1 && y >= y0 && y <= y1)) return false
  if (shape.isBox) return true
  let winding = 0
  let crossings = 0
  for (const polygon of shape.polygons) {
    let fromX = polygon[polygon.length - 2] ?? 0
    let fromY = polygon[polygon.length - 1] ?? 0
    for (let at = 0; at + 1 < polygon.length; at += 2) {
      const toX = polygon[at] ?? 0
      const toY = polygon[at + 1] ?? 0
      if (fromY <= y !== toY <= y && fromX + ((y - fromY) / (toY - fromY)) * (toX - fromX) > x) {
        crossings++
        winding += fromY < toY ? 1 : -1
      }
      fromX = toX
      fromY = toY
    }
  }
  return shape.evenOdd ? crossings % 2 === 1 : winding !== 0
}
