/**
 * Which letter a glyph's outline draws. A font may call its glyphs what it likes (ISO 32000-1, 9.10: the text of a glyph
 * comes from its encoding or its ToUnicode map), so an outline is held against those of common fonts: in a field of 12 by
 * 12 cells, each with the share of it that is inked, softened, and by its ratio of width to height.
 *
 * Capitals and digits alone: values are made of them. Only a plain contradiction counts: the outline is near that of
 * another letter in several fonts, far from that of the letter it is called, and the two are not easily confused.
 */
import letterPatterns from './letter-patterns.json' with { type: 'json' }
import { type Shape, shapeOfPath } from './pdf-shapes.ts'

/** Cells of a side. */
export const side = 12
/** Rows of samples in a cell. */
const rows = 4

export interface Sketch {
  /** Inked shares, 0 to 1, from the bottom left, row by row. */
  cells: Float64Array
  /** Natural logarithm of width over height. */
  aspect: number
}

/** Letters that some font draws alike. */
const alike: readonly string[] = [
  '0OQD',
  '1IJLT',
  '5S',
  '8B',
  '2Z',
  '6G',
  '9G',
  'CG',
  'UV',
  'VY',
  '4A',
  'PF',
  'EF',
  'MN',
  'MH',
  'NH',
  'KX',
  'HK',
]

const isAlike = (one: string, other: string): boolean =>
  one === other || alike.some((letters) => letters.includes(one) && letters.includes(other))

/** The sketch of an outline in a path list of pdfjs; null for one that draws nothing. */
export function sketchOf(path: ArrayLike<number>): Sketch | null {
  const shape = shapeOfPath(path, [1, 0, 0, 1, 0, 0], false)
  if (shape === null || shape.polygons.length === 0) return null
  const [x0, y0, x1, y1] = shape.box
  if (!(x1 - x0 > 0 && y1 - y0 > 0)) return null
  return { cells: inkIn(shape), aspect: Math.log((x1 - x0) / (y1 - y0)) }
}

function inkIn(shape: Shape): Float64Array {
  const [x0, y0, x1, y1] = shape.box
  const cells = new Float64Array(side * side)
  for (let row = 0; row < side * rows; row++) {
    const y = y0 + ((row + 0.5) / (side * rows)) * (y1 - y0)
    for (const [from, to] of spansAt(shape, y)) {
      const [left, right] = [from, to].map((x) => ((x - x0) / (x1 - x0)) * side)
      addSpan(cells, Math.floor(row / rows) * side, left ?? 0, right ?? 0)
    }
  }
  return cells
}

function addSpan(cells: Float64Array, start: number, left: number, right: number): void {
  for (let column = Math.max(0, Math.floor(left)); column < Math.min(side, right); column++) {
    const share = Math.min(right, column + 1) - Math.max(left, column)
    cells[start + column] = (cells[start + column] ?? 0) + share / rows
  }
}

/** Where a line across at `y` runs inside, by the nonzero winding rule. */
function spansAt({ polygons }: Shape, y: number): [number, number][] {
  const crossings: [number, number][] = []
  for (const polygon of polygons) {
    let [fromX, fromY] = [polygon.at(-2) ?? 0, polygon.at(-1) ?? 0]
    for (let at = 0; at + 1 < polygon.length; at += 2) {
      const [toX, toY] = [polygon[at] ?? 0, polygon[at + 1] ?? 0]
      if (fromY <= y !== toY <= y)
        crossings.push([fromX + ((y - fromY) / (toY - fromY)) * (toX - fromX), fromY < toY ? 1 : -1])
      fromX = toX
      fromY = toY
    }
  }
  crossings.sort(([a], [b]) => a - b)
  const spans: [number, number][] = []
  let winding = 0
  for (const [index, [x, turn]] of crossings.entries()) {
    winding += turn
    const next = crossings[index + 1]
    if (winding !== 0 && next) spans.push([x, next[0]])
  }
  return spans
}

/** Every cell with its neighbours, weighed 4 to 2 to 1, so that a stroke that lies a little aside still meets. */
function soften(cells: Float64Array): Float64Array {
  const soft = new Float64Array(side * side)
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      let sum = 0
      for (const dy of [-1, 0, 1]) {
        for (const dx of [-1, 0, 1]) {
          const isInside = y + dy >= 0 && y + dy < side && x + dx >= 0 && x + dx < side
          if (isInside) sum += (2 - Math.abs(dx)) * (2 - Math.abs(dy)) * (cells[(y + dy) * side + x + dx] ?? 0)
        }
      }
      soft[y * side + x] = sum / 16
    }
  }
  return soft
}

/** A sketch as it is stored: the aspect in thousandths, a colon, and a hexadecimal digit a cell. */
export const writeSketch = ({ cells, aspect }: Sketch): string =>
  `${Math.round(aspect * 1000)}:${Array.from(cells, (share) => Math.round(Math.min(1, share) * 15).toString(16)).join('')}`

function readSketch(text: string): Sketch {
  const [aspect, digits = ''] = text.split(':')
  const cells = Float64Array.from(digits, (digit) => Number.parseInt(digit, 16) / 15)
  return { cells: soften(cells), aspect: Number(aspect) / 1000 }
}

interface Pattern extends Sketch {
  letter: string
}

let patterns: Pattern[] | undefined

function loadPatterns(): Pattern[] {
  patterns ??= Object.entries(letterPatterns).flatMap(([letter, texts]) =>
    texts.map((text) => ({ letter, ...readSketch(text) })),
  )
  return patterns
}

function distance(one: Sketch, other: Sketch): number {
  let sum = 0
  for (let at = 0; at < one.cells.length; at++) sum += ((one.cells[at] ?? 0) - (other.cells[at] ?? 0)) ** 2
  return Math.sqrt(sum / one.cells.length) + 0.1 * Math.abs(one.aspect - other.aspect)
}

/** As near as this to its own letter, a glyph needs no other. */
const familiar = 0.1
/** As near as this to another letter, and so many times farther from its own; in so many of the three nearest patterns. */
const nearest = 0.18
const timesFarther = 1.6
const leastVotes = 2

/** Files of one program bring the same outlines again. */
const known = new Map<string, string | null>()
const mostKnown = 4000

/**
 * The letter that an outline draws where it is plainly another than `letter`, the one it is called; else null. `letter`
 * is a capital or a digit. Of 926 outlines in 33 fonts that the patterns were not made of, none was taken for another letter;
 * of the same under each wrong name that is not alike, 88 % were, each for the letter that it is. Where a font brings
 * outlines of the patterns, 97 %.
 */
export function contradictedBy(letter: string, path: ArrayLike<number>): string | null {
  const key = `${letter} ${Array.prototype.join.call(path, ' ')}`
  const before = known.get(key)
  if (before !== undefined) return before
  const drawn = compare(letter, path)
  if (known.size >= mostKnown) known.clear()
  known.set(key, drawn)
  return drawn
}

function compare(letter: string, path: ArrayLike<number>): string | null {
  const sketch = sketchOf(path)
  // A plain bar is an I, a stroke of a bar code, or what a font draws for a glyph that it lacks.
  if (sketch === null || sketch.cells.every((share) => share > 0.99)) return null
  const own = { ...sketch, cells: soften(sketch.cells) }
  const [alikes, others] = [true, false].map((is) =>
    loadPatterns().filter((pattern) => isAlike(pattern.letter, letter) === is),
  )
  const claimed = Math.min(...(alikes ?? []).map((pattern) => distance(own, pattern)))
  if (!(claimed > familiar)) return null
  const near = (others ?? [])
    .map((pattern) => ({ letter: pattern.letter, far: distance(own, pattern) }))
    .sort((a, b) => a.far - b.far)
  const [best] = near
  if (best === undefined) return null
  const votes = near.slice(0, 3).filter(({ letter: other, far }) => far < claimed && isAlike(other, best.letter)).length
  return best.far <= nearest && claimed >= timesFarther * best.far && votes >= leastVotes ? best.letter : null
}
