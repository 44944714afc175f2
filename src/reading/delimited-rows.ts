/**
 * Delimiter-separated text to rows of cells: RFC 4180 with the liberties that instruments take (`;`, TAB or `|` between
 * fields, ragged rows, stray quotes, a title or `# comment` before the header, spaces around fields, a `sep=;` line).
 */
import { type CsvError, type Options, parse } from 'csv-parse/sync'
import type { Problem } from '../facts/reading.ts'

export const delimiters = ['\t', ';', '|', ','] as const
export type Delimiter = (typeof delimiters)[number]

export interface DelimitedRows {
  delimiter: Delimiter
  /** One entry a record, trimmed cells; a blank line is an empty array; a comment line is one cell. */
  rows: string[][]
  problems: Problem[]
}

const mostRows = 400_000
const mostColumns = 1_024
const sampleLines = 300

/** Reads the rows of `text`, or null where no delimiter makes columns of it. */
export function readDelimitedRows(text: string): DelimitedRows | null {
  const stated = /^sep=(.)[ \t]*(?:\r\n|\n|\r)/i.exec(text)
  if (stated) {
    const delimiter = delimiters.find((one) => one === stated[1])
    if (delimiter) return rowsOf(text.slice(stated[0].length), delimiter)
  }
  const delimiter = sniffDelimiter(text)
  return delimiter && rowsOf(text, delimiter)
}

/**
 * The delimiter that makes the most regular columns of the first lines; null if none splits two lines.
 * A candidate loses by what it leaves inside cells: a cell with another delimiter in it speaks against the split,
 * except a comma between digits, which is a decimal comma.
 */
export function sniffDelimiter(text: string): Delimiter | null {
  const lines = sampleOf(text)
  let best: { delimiter: Delimiter; score: number } | null = null
  for (const delimiter of delimiters) {
    const counts = new Map<number, number>()
    let cells = 0
    let crossed = 0
    for (const line of lines) {
      const split = splitOutsideQuotes(line, delimiter)
      if (split.length < 2) continue
      counts.set(split.length, (counts.get(split.length) ?? 0) + 1)
      cells += split.length
      crossed += split.filter((cell) =>
        delimiters.some((other) => other !== delimiter && speaksFor(other, cell)),
      ).length
    }
    const support = [...counts.values()].reduce((sum, count) => sum + count, 0)
    if (support < Math.min(2, lines.length)) continue
    const regular = Math.max(...counts.values()) / support
    const score = support * (0.4 + 0.6 * regular) * (1 - (0.9 * crossed) / cells)
    if (!best || score > best.score) best = { delimiter, score }
  }
  // Running text has commas too: one line in three at least has to be split, and not at ", " alone.
  if (!best || best.score < lines.length * 0.2) return null
  return best.delimiter
}

function speaksFor(other: Delimiter, cell: string): boolean {
  if (!cell.includes(other) || /^\s*".*"\s*$/.test(cell)) return false
  return other !== ',' || !(/^\s*[-+]?\d+,\d+\D*$/.test(cell) || /, /.test(cell))
}

function sampleOf(text: string): string[] {
  const lines: string[] = []
  const head = text.slice(0, 200_000)
  for (const line of head.split(/\r\n|\n|\r/)) {
    if (lines.length >= sampleLines) break
    if (line.trim() !== '' && !/^\s*(#|\/\/|%)/.test(line)) lines.push(line.slice(0, 20_000))
  }
  return lines
}

function splitOutsideQuotes(line: string, delimiter: string): string[] {
  const cells: string[] = []
  let quoted = false
  let start = 0
  for (let at = 0; at < line.length; at++) {
    if (line[at] === '"') quoted = !quoted
    else if (!quoted && line[at] === delimiter) {
      cells.push(line.slice(start, at))
      start = at + 1
    }
  }
  cells.push(line.slice(start))
  return cells
}

function rowsOf(text: string, delimiter: Delimiter): DelimitedRows {
  const problems: Problem[] = []
  const options: Options = {
    delimiter,
    relax_quotes: true,
    relax_column_count: true,
    skip_empty_lines: false,
    ltrim: delimiter !== '\t',
    record_delimiter: ['\r\n', '\n', '\r'],
    to: mostRows + 1,
  }
  const rows: string[][] = []
  let readBytes = 0
  try {
    parse(text, {
      ...options,
      onRecord: (record: unknown, context: { bytes: number }) => {
        rows.push(record as string[])
        readBytes = context.bytes
        return null
      },
    } as Options)
  } catch (error) {
    const code = (error as CsvError).code
    problems.push({
      code: code === 'CSV_QUOTE_NOT_CLOSED' ? 'quote-not-closed' : 'damaged',
      message: `A quote opened in record ${rows.length + 1} is never closed; from there on quotes were read as plain characters.`,
    })
    const rest = new TextDecoder().decode(new TextEncoder().encode(text).subarray(readBytes))
    for (const line of rest.split(/\r\n|\n|\r/)) {
      if (rows.length > mostRows) break
      rows.push(line.split(delimiter, mostColumns + 1).map((cell) => cell.replace(/^\s*"|"\s*$/g, '')))
    }
  }
  if (rows.length > mostRows) {
    rows.length = mostRows
    problems.push({ code: 'too-large', message: `Only the first ${mostRows} rows were read.` })
  }
  return { delimiter, rows: tidy(rows, delimiter, problems), problems }
}

function tidy(rows: string[][], delimiter: Delimiter, problems: Problem[]): string[][] {
  let tooWide = 0
  const tidied = rows.map((row) => {
    if (row.length > mostColumns) tooWide++
    const cells = row.slice(0, mostColumns).map(tidyCell)
    if (isComment(cells)) return [cells.join(delimiter === '\t' ? ' ' : `${delimiter} `).trim()]
    while (cells.length > 0 && cells.at(-1) === '') cells.pop()
    return cells
  })
  if (tooWide > 0) {
    problems.push({
      code: 'too-wide',
      message: `${tooWide} rows have more than ${mostColumns} fields; the rest of each was left out.`,
    })
  }
  return tidied
}

/** Blanks around are dropped, and the quotes that blanks after the closing one left in place. */
function tidyCell(cell: string): string {
  const trimmed = cell.trim()
  if (trimmed.length < 2 || !trimmed.startsWith('"') || !trimmed.endsWith('"')) return trimmed
  const inner = trimmed.slice(1, -1)
  return inner.replaceAll('""', '').includes('"') ? trimmed : inner.replaceAll('""', '"').trim()
}

/** `# text` is a comment; a column called `#` or a number sign before a number in a table is not. */
function isComment(cells: string[]): boolean {
  return /^(#+\s*[^\s#\d]|\/\/)/.test(cells[0] ?? '')
}
