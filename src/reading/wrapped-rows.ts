/**
 * Tables whose cells are wrapped and set to the middle of their row, as browsers and word processors print them: the lines
 * of one row then share no baselines, and reading across would tear cells apart and mix rows.
 *
 * A cell is a block of lines close beneath each other and aligned; a row is a set of blocks that overlap in height; a
 * table is a line of headings and rows beneath it whose blocks stand in the columns of the headings. Only a table with at
 * least one row whose baselines differ is taken: all others are read line by line, which says more about them.
 */
import { boxAround } from '../facts/layout.ts'
import type { Page, Word } from '../facts/reading.ts'
import { type Block, findBlocks, findRuns, near } from './blocks.ts'

export interface WrappedTable {
  /** From the first row to the last, headings left out. */
  top: number
  bottom: number
  words: ReadonlySet<Word>
  /** Rows from top to bottom, each of its cells from left to right. */
  rows: Word[][][]
}

/** A cell of more lines is a text, not an entry of a table. */
const MOST_LINES = 5
const LEAST_COLUMNS = 3

/** Blocks that overlap in height by more than a hair, from top to bottom. */
function findBands(blocks: readonly Block[]): Block[][] {
  const bands: { bottom: number; blocks: Block[] }[] = []
  for (const block of [...blocks].sort((a, b) => a.box[1] - b.box[1])) {
    const band = bands.at(-1)
    if (band && band.bottom - block.box[1] > 2) {
      band.blocks.push(block)
      band.bottom = Math.max(band.bottom, block.box[3])
    } else bands.push({ bottom: block.box[3], blocks: [block] })
  }
  return bands.map(({ blocks: own }) => own.sort((a, b) => a.box[0] - b.box[0]))
}

/** The heading that each block of a row stands under, from left to right; null when two share one or one has none. */
function columnsOf(row: readonly Block[], headings: readonly Block[]): number[] | null {
  const columns = row.map(({ box }) => {
    const shared = headings.map((heading) => Math.min(box[2], heading.box[2]) - Math.max(box[0], heading.box[0]))
    const best = shared.indexOf(Math.max(...shared))
    return (shared[best] ?? 0) > 0 || near(box[0], headings[best]?.box[0] ?? Number.NaN) ? best : -1
  })
  const isRising = columns.every((column, at) => column >= 0 && (at === 0 || column > (columns[at - 1] ?? 0)))
  return isRising ? columns : null
}

/** Lines of different cells that overlap in height without sharing a baseline: only a wrapped row has such. */
function hasMixedBaselines(row: readonly Block[]): boolean {
  return row.some((a, at) =>
    row.slice(at + 1).some((b) =>
      a.lines.some((one) =>
        b.lines.some((other) => {
          const shared = Math.min(one.box[3], other.box[3]) - Math.max(one.box[1], other.box[1])
          return shared > 1 && Math.abs(one.box[3] - other.box[3]) > 0.3 * (one.words[0]?.size ?? 10)
        }),
      ),
    ),
  )
}

interface Row {
  blocks: Block[]
  /** Of each block, rising. */
  columns: number[]
}

const middleOf = ({ box }: Block): number => (box[1] + box[3]) / 2

const LEAST_ROWS = 3
const LEAST_SHARE = 0.7

/**
 * Are the cells of a row set about one middle, and are there rows where that shows, as their baselines differ? Things that
 * merely stand beside each other overlap in height at any offset.
 */
function isSetToMiddle(rows: readonly Row[]): boolean {
  const wide = rows.filter(({ blocks }) => blocks.length > 1)
  if (wide.length < LEAST_ROWS) return false
  const centred = wide.filter(({ blocks }) => {
    const middles = blocks.map(middleOf)
    return Math.max(...middles) - Math.min(...middles) < 1
  })
  return centred.length >= LEAST_SHARE * wide.length && centred.some(({ blocks }) => hasMixedBaselines(blocks))
}

/**
 * A cell that spans several rows stands in the middle of them: alone between two rows, or with the lower one but above its
 * middle. It belongs to the first row, which has none in its column.
 */
function mergeSpanning(rows: readonly Row[]): Word[][][] {
  const merged: Row[] = []
  rows.forEach((row, at) => {
    const above = merged.at(-1)
    const isAlone = row.columns.length < LEAST_COLUMNS && isFree(row.columns, rows[at + 1])
    const tallest = row.blocks.reduce((a, b) => (b.lines.length > a.lines.length ? b : a))
    const spans = row.blocks.map((block) => isAlone || middleOf(block) < middleOf(tallest) - 3)
    const columns = row.columns.filter((_, index) => spans[index])
    if (above && columns[0] === 0 && isFree(columns, above)) {
      above.blocks.push(...row.blocks.filter((_, index) => spans[index]))
      above.columns.push(...columns)
      if (isAlone) return
      merged.push({
        blocks: row.blocks.filter((_, index) => !spans[index]),
        columns: row.columns.filter((_, index) => !spans[index]),
      })
    } else merged.push({ blocks: [...row.blocks], columns: [...row.columns] })
  })
  return merged.map(({ blocks }) => blocks.sort((a, b) => a.box[0] - b.box[0]).map(({ words }) => words))
}

function isFree(columns: readonly number[], row: Row | undefined): boolean {
  return row !== undefined && columns.every((column) => !row.columns.includes(column))
}

/** The tables of a page with wrapped rows, from top to bottom; none for text that says its cells itself. */
export function findWrappedTables(page: Page): WrappedTable[] {
  if (page.words.some((word) => word.cell !== undefined)) return []
  const words = page.words.filter((word) => word.turned !== true)
  const bands = findBands(findBlocks(findRuns(words)))
  const tables: WrappedTable[] = []
  for (let at = 0; at < bands.length; at++) {
    const headings = bands[at] ?? []
    if (headings.length < LEAST_COLUMNS || headings.some(({ lines }) => lines.length > 2)) continue
    const rows: Row[] = []
    for (const blocks of bands.slice(at + 1)) {
      const columns = blocks.some(({ lines }) => lines.length > MOST_LINES) ? null : columnsOf(blocks, headings)
      if (columns === null || (columns.length === 1 && !isSpanning(columns, rows.at(-1)?.columns))) break
      rows.push({ blocks, columns })
    }
    // Where a run of rows is none, a part of it is none either: that a few of its rows happen to fit is no proof.
    if (!isSetToMiddle(rows)) {
      at += rows.length
      continue
    }
    const all = rows.flatMap(({ blocks }) => blocks)
    const box = boxAround(all.map((block) => block.box))
    tables.push({
      top: box[1],
      bottom: box[3],
      words: new Set(all.flatMap(({ lines }) => lines.flatMap((line) => line.words))),
      rows: mergeSpanning(rows),
    })
    at += rows.length
  }
  return tables
}

/** One block alone is a row only where it can be a cell that spans the rows around it. */
function isSpanning(columns: readonly number[], above: readonly number[] | undefined): boolean {
  return columns[0] === 0 && above !== undefined && !above.includes(0)
}
