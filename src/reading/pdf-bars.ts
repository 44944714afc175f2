/**
 * Whether a bar code may be drawn on a page: by upright bars of one height beside each other, by many small fields of one
 * height, or as a picture large enough for one. Only such pages are worth the time it takes to look at them.
 */
import type { Matrix, Operators } from './pdf-glyphs.ts'
import type { Paint } from './pdf-ink.ts'
import { shapeOfPath, shapesOfLines } from './pdf-shapes.ts'

/** Four characters of Code 39 have six groups of five bars with start and stop (ISO/IEC 16388); tables have fewer rules. */
const leastBars = 20
/** The smallest Data Matrix that holds a number worth reading has more dark fields (ISO/IEC 16022). */
const leastFields = 60
/** In points; thinner ones are the rules of tables. */
const shortestBar = 6
const smallestField = 0.7
const largestField = 8
/** Dark fields of one row, drawn as one. */
const mostInRow = 12
/** Of one path: a code of two dimensions may be drawn as one. */
const mostPoints = 20_000
/** A picture of the smaller sizes is a mark or a bullet, points. */
const leastPicture = { longer: 36, shorter: 8 }

export interface BarWatcher {
  /** Is told of each operator; `ctm` is the matrix then. */
  take(fn: number, args: unknown[] | null, ctm: Matrix): void
  /** Whether what was drawn may be a bar code; `paints` as the ink tracker gives them. */
  found(paints: readonly Paint[] | null): boolean
}

export function watchForBars(ops: Operators): BarWatcher {
  const bars = new Map<string, number>()
  const fields = new Map<string, number>()
  let width = 1
  const count = (kind: Map<string, number>, ...edges: number[]) => {
    const key = edges.map((edge) => edge.toFixed(1)).join()
    kind.set(key, (kind.get(key) ?? 0) + 1)
  }
  const add = (polygon: readonly number[]) => {
    const [xs, ys] = [0, 1].map((from) => polygon.filter((_, at) => at % 2 === from)) as [number[], number[]]
    const [top, bottom] = [Math.min(...ys), Math.max(...ys)]
    const [wide, high] = [Math.max(...xs) - Math.min(...xs), bottom - top]
    if (high >= shortestBar && high >= 3 * wide) count(bars, top, bottom)
    else if (high >= smallestField && high <= largestField && wide <= mostInRow * high) count(fields, high)
  }
  const strokes = new Set<unknown>([ops.stroke, ops.closeStroke])
  return {
    take(fn, args, ctm) {
      if (fn === ops.setLineWidth) width = Number(args?.[0]) || 1
      if (fn !== ops.constructPath) return
      const path = (args?.[1] as unknown[] | null)?.[0] as ArrayLike<number> | null | undefined
      if (!path || typeof path.length !== 'number' || args?.[0] === ops.endPath) return
      const isStroke = strokes.has(args?.[0])
      const shapes = isStroke ? shapesOfLines(path, ctm, width) : [shapeOfPath(path, ctm, false, mostPoints)]
      for (const shape of shapes) for (const polygon of shape?.polygons ?? []) add(polygon)
    },
    found(paints) {
      const isLarge = ({ picture, shape: { box } }: Paint) => {
        const sides = [box[2] - box[0], box[3] - box[1]] as const
        return picture && Math.max(...sides) >= leastPicture.longer && Math.min(...sides) >= leastPicture.shorter
      }
      const most = (kind: Map<string, number>) => Math.max(0, ...kind.values())
      return most(bars) >= leastBars || most(fields) >= leastFields || (paints ?? []).some(isLarge)
    },
  }
}
