/** Sets rows of cells on the character grid so that columns line up as on paper. */
import { type Grid, placeText } from './character-grid.ts'

export interface TableRow {
  /** Number of the row in the file, from 0; becomes `cell.row`. */
  row: number
  cells: readonly string[]
}

/** Blank characters between columns: enough to part them, more than the one between words. */
const gap = 3
/** A cell wider than this does not push the columns after it away on all other rows. */
const widestColumn = 120

/**
 * Places `rows` from line `line` on and returns the line after them. Rows of one or two cells, and those of more, each
 * make blocks with columns of their own; a row without cells is a blank line. A line end in a cell opens another line.
 */
export function placeRows(grid: Grid, line: number, rows: readonly TableRow[], indent = 0): number {
  let next = line
  for (const block of blocksOf(rows)) {
    if ((block[0]?.cells.length ?? 0) === 0) {
      next += block.length
      continue
    }
    const starts = columnStarts(block, indent)
    for (const { row, cells } of block) {
      let height = 1
      let free = 0
      cells.forEach((cell, column) => {
        const start = Math.max(starts[column] ?? 0, free)
        const parts = cell.split(/\r\n|\n|\r/)
        parts.forEach((part, index) => {
          const end = placeText(grid, next + index, start, part, { cell: { row, column } })
          if (part !== '') free = Math.max(free, end + gap)
        })
        height = Math.max(height, parts.length)
      })
      next += height
    }
  }
  return next
}

function blocksOf(rows: readonly TableRow[]): TableRow[][] {
  const blocks: TableRow[][] = []
  let last = -1
  for (const row of rows) {
    const sort = row.cells.length === 0 ? 0 : row.cells.length <= 2 ? 1 : 2
    if (sort !== last) blocks.push([])
    blocks.at(-1)?.push(row)
    last = sort
  }
  return blocks
}

function columnStarts(block: readonly TableRow[], indent: number): number[] {
  const widths: number[] = []
  for (const { cells } of block) {
    cells.forEach((cell, column) => {
      const width = cell.split(/\r\n|\n|\r/).reduce((widest, part) => Math.max(widest, part.length), 0)
      if (cells.length > 1 || block.length === 1)
        widths[column] = Math.max(widths[column] ?? 0, Math.min(width, widestColumn))
    })
  }
  const starts: number[] = []
  let start = indent
  for (const width of widths) {
    starts.push(start)
    start += (width ?? 0) + gap
  }
  return starts
}
