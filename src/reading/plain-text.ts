/** Reads plain text as a printer would set it: one character a cell of the grid, tabs to stops of 8, pages at form feeds. */
import type { Page, Problem, Reading, Track } from '../facts/reading.ts'
import { gridPage, gridProblems, placeText, startGrid } from './character-grid.ts'
import { decodeText, splitLines } from './decode-text.ts'
import { samplesAtEnd, samplesAtStart } from './delimited.ts'
import { readDelimitedRows } from './delimited-rows.ts'
import { type DriveTable, hasDriveHeader, readDriveTable } from './drive-table.ts'
import { holdsPositionSentences, readNmea } from './nmea.ts'
import type { ReadingHint } from './read.ts'

const tabStop = 8
const mostPages = 2_000
const mostLines = 100_000

/** Lines of a drive log in plain text, and what of them the page leaves out. */
interface TextTrack {
  track: Track
  problems: Problem[]
  hidden: (line: number) => boolean
}

/**
 * Reads plain text. Rules, leader dots and box drawing become white space; columns keep their place. Text that is a drive
 * log (columns parted by blanks or by delimiters) also gives a track, text of NMEA sentences is read as such. Never
 * throws. Problems: those of `decodeText`, `empty`, `too-large`, and those of a drive log.
 */
export function readPlainText(bytes: Uint8Array, hint: ReadingHint): Reading {
  const { text, problems } = decodeText(bytes)
  if (holdsPositionSentences(text)) return readNmea(bytes, hint)
  const reading: Reading = { media: hint.media, pages: [], problems }
  if (text.trim() === '') {
    if (problems.length === 0) problems.push({ code: 'empty', message: 'The file holds no text.' })
    return reading
  }
  const drive = findTrack(text)
  if (drive) {
    reading.track = drive.track
    problems.push(...drive.problems)
  }
  const sheets = text.replace(/\f(?:\r\n|\n|\r)?$/, '').split('\f')
  let counted = 0
  for (const [index, sheet] of sheets.slice(0, mostPages).entries()) {
    const lines = splitLines(sheet)
    const first = counted
    counted += lines.length
    reading.pages.push(setPage(lines, index + 1, (line) => drive?.hidden(first + line) ?? false, problems))
    if (counted > mostLines) break
  }
  if (sheets.length > mostPages || counted > mostLines) {
    problems.push({ code: 'too-large', message: `Only the first ${reading.pages.length} pages were set.` })
  }
  reading.pageCount = sheets.length
  return reading
}

function setPage(
  lines: readonly string[],
  number: number,
  hidden: (line: number) => boolean,
  problems: Problem[],
): Page {
  const grid = startGrid()
  let line = 0
  for (const [index, text] of lines.slice(0, mostLines).entries()) {
    if (hidden(index)) continue
    placeText(grid, line, 0, withoutRules(expandTabs(text)))
    line++
  }
  problems.push(...gridProblems(grid))
  return gridPage(grid, number)
}

/** Tabs to the next stop of 8 columns. */
export function expandTabs(line: string): string {
  if (!line.includes('\t')) return line
  let column = 0
  return line
    .split('\t')
    .map((part, index, parts) => {
      if (index === parts.length - 1) return part
      const width = tabStop - ((column + part.length) % tabStop)
      column += part.length + width
      return part + ' '.repeat(width)
    })
    .join('')
}

/** "-1.5 ... 1.5": dots between two numbers are no leaders. */
function isRange(dots: string, at: number, line: string): boolean {
  if (dots !== '...' && dots !== '…') return false
  return /\d\s{0,2}$/.test(line.slice(0, at)) && /^\s{0,2}[-+−–]?\d/.test(line.slice(at + dots.length))
}

/** Blanks for what only guides the eye: rules, leader dots, box drawing (U+2500 to U+259F), upright bars between columns. */
export function withoutRules(line: string): string {
  const blank = (found: string) => ' '.repeat(found.length)
  if (/^[\s|=\-*~#+]{3,}$/.test(line)) return blank(line)
  return line
    .replace(/[\u2500-\u259f]+/g, blank)
    .replace(/\.{3,}|…{1,}/g, (found, at: number, whole: string) => (isRange(found, at, whole) ? found : blank(found)))
    .replace(/(?:(?<=^|\s)\.\s+){2,}\.(?=\s|$)|_{3,}|·{3,}/g, blank)
    .replace(/(?<=^|[\s|+])[=\-*~#+]{4,}(?=$|[\s|+])/g, blank)
    .replace(/(?<=^|\s)\|(?=\s|$)/g, blank)
}

function findTrack(text: string): TextTrack | null {
  const lines = splitLines(text.replaceAll('\f', '\n'))
  const sample = readDelimitedRows(lines.slice(0, 200).join('\n'))
  const table = sample && hasDriveHeader(sample.rows) ? readDelimitedRows(text) : null
  const delimited = table && readDriveTable(table.rows, { decimalComma: table.delimiter !== ',' })
  if (delimited) return textTrack(delimited)
  for (const columns of [/\s{2,}|\t/, /\s+/]) {
    if (!hasDriveHeader(lines.slice(0, 200).map((line) => splitColumns(line, columns)))) continue
    const rows = lines.map((line) => splitColumns(line, columns))
    const drive = readDriveTable(rows, { decimalComma: true })
    if (drive) return textTrack(drive)
  }
  return null
}

function splitColumns(line: string, columns: RegExp): string[] {
  const joined = line.trim().replace(/\b(\d{4}-\d\d-\d\d) (?=\d\d:\d\d)/g, '$1T')
  if (joined === '') return []
  return withoutRules(joined).trim().split(columns)
}

function textTrack({ track, problems, firstRow, lastRow }: DriveTable): TextTrack {
  return {
    track,
    problems,
    hidden: (line) => line >= firstRow + samplesAtStart && line <= lastRow - samplesAtEnd,
  }
}
