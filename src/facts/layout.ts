/**
 * Pages set out as a reader sees them: lines from top to bottom, each a row of cells. A cell is a run of words with
 * ordinary spaces between them; a wider gap starts the next cell. What the cells mean is not known here.
 */
import type { Box, Place, Word } from './reading.ts'

export interface Cell {
  text: string
  words: Word[]
  box: Box
  page: number
  /** Index of its line in the layout. */
  line: number
  size: number
  bold: boolean
}

export interface Line {
  index: number
  page: number
  box: Box
  cells: Cell[]
  text: string
  /** Largest font size on the line. */
  size: number
  bold: boolean
  /** White space above, to the previous line of the page, in points; infinite at the top of a page. */
  gapAbove: number
  /** `repeated`: a page header or footer that an earlier page carried already; `page-number`: nothing but that. */
  furniture: 'repeated' | 'page-number' | null
}

export interface Layout {
  lines: Line[]
  /** "page n of m" as printed, by page. */
  pageNumbers: { page: number; number: number; of: number | null; place: Place }[]
  pages: { number: number; width: number; height: number }[]
  /** Median font size of the words. */
  bodySize: number
}

/** The smallest box around boxes. */
export function boxAround(boxes: readonly Box[]): Box {
  let [x0, y0, x1, y1] = boxes[0] ?? [0, 0, 0, 0]
  for (const box of boxes) {
    x0 = Math.min(x0, box[0])
    y0 = Math.min(y0, box[1])
    x1 = Math.max(x1, box[2])
    y1 = Math.max(y1, box[3])
  }
  return [x0, y0, x1, y1]
}

/** A box in another measure: `by` of it to one of the measure that it is in. */
export const scaleBox = ([x0, y0, x1, y1]: Box, by: number): Box => [x0 * by, y0 * by, x1 * by, y1 * by]

const round = (n: number) => Math.round(n * 10) / 10

/** The place of some words of one page: the box around them, to a tenth of a point, and the words as read. */
export function placeOf(page: number, words: readonly Word[]): Place {
  const [x0, y0, x1, y1] = boxAround(words.map((word) => word.shown ?? word.box))
  return { page, box: [round(x0), round(y0), round(x1), round(y1)], text: words.map((word) => word.text).join(' ') }
}

/** The place of whole cells, as far as they stand on the page of the first: a place has one page. */
export function placeOfCells(cells: readonly Cell[]): Place {
  const page = cells[0]?.page ?? 1
  return placeOf(
    page,
    cells.filter((cell) => cell.page === page).flatMap((cell) => cell.words),
  )
}

/** A cell of some words that stand on one line. */
export function makeCell(words: Word[], page: number, line: number): Cell {
  return {
    text: words.map((word) => word.text).join(' '),
    words,
    box: boxAround(words.map((word) => word.box)),
    page,
    line,
    size: Math.max(...words.map((word) => word.size)),
    bold: words.every((word) => word.bold === true),
  }
}
