/** Reads delimiter-separated files: located cells always, and a track where the table is a drive log. */
import type { Reading } from '../facts/reading.ts'
import { gridPage, gridProblems, placeText, startGrid } from './character-grid.ts'
import { decodeText, splitLines } from './decode-text.ts'
import { readDelimitedRows } from './delimited-rows.ts'
import { type DriveTable, readDriveTable } from './drive-table.ts'
import type { ReadingHint } from './read.ts'
import { placeRows, type TableRow } from './table-layout.ts'

/** Of a long drive log only its ends are set on the page: every sample is in the track. */
export const samplesAtStart = 50
export const samplesAtEnd = 10
/** Longer tables are data, not reports. */
const mostPrintedRows = 20_000

/**
 * Reads CSV, TSV and their kin. Never throws. Problems: those of `decodeText`, `quote-not-closed`, `too-wide`,
 * `too-large`, `empty`, and those of a drive log's times and units.
 */
export function readDelimited(bytes: Uint8Array, hint: ReadingHint): Reading {
  const { text, problems } = decodeText(bytes)
  const reading: Reading = { media: hint.media, pages: [], problems }
  if (text.trim() === '') {
    if (problems.length === 0) problems.push({ code: 'empty', message: 'The file holds no text.' })
    return reading
  }
  const grid = startGrid()
  const table = readDelimitedRows(text)
  if (table) {
    problems.push(...table.problems)
    const drive = readDriveTable(table.rows, { decimalComma: table.delimiter !== ',' })
    if (drive) {
      reading.track = drive.track
      problems.push(...drive.problems)
    }
    const printed = printedRows(table.rows, drive)
    if (printed.leftOut > 0) {
      problems.push({ code: 'too-large', message: `${printed.leftOut} rows in the middle of the table were left out.` })
    }
    placeRows(grid, 0, printed.rows)
  } else {
    splitLines(text).forEach((line, row) => {
      placeText(grid, row, 0, line, { cell: { row, column: 0 } })
    })
  }
  reading.pages.push(gridPage(grid))
  problems.push(...gridProblems(grid))
  if (grid.words.length === 0) problems.push({ code: 'empty', message: 'The file holds no cell with text.' })
  return reading
}

/** The rows that go on the page; `leftOut` counts rows that neither the page nor the track holds. */
export function printedRows(
  rows: readonly (readonly string[])[],
  drive: DriveTable | null,
): { rows: TableRow[]; leftOut: number } {
  const all = rows.map((cells, row) => ({ cells, row }))
  if (!drive) return { rows: all.slice(0, mostPrintedRows), leftOut: Math.max(0, all.length - mostPrintedRows) }
  const hiddenFrom = drive.firstRow + samplesAtStart
  const hiddenTo = drive.lastRow - samplesAtEnd
  const kept = all.filter(({ row }) => row < hiddenFrom || row > hiddenTo).slice(0, mostPrintedRows)
  return { rows: kept, leftOut: 0 }
}
