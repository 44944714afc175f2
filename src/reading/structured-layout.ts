/**
 * Sets structured data as a report would print it: `label: value` lines, keys of what lies below as headings, lists of
 * records as tables with a header row. Drive logs among the records become the track.
 */
import type { Problem, Reading } from '../facts/reading.ts'
import { gridPage, gridProblems, placeText, startGrid } from './character-grid.ts'
import { printedRows } from './delimited.ts'
import { readDriveTable } from './drive-table.ts'
import { lineStringTable, withoutGeometry } from './geojson.ts'
import type { ReadingHint } from './read.ts'
import {
  columnTable,
  keyWords,
  type RecordTable,
  recordTable,
  type StructuredNode,
  scalarText,
  splitTable,
} from './structured-node.ts'
import { placeRows } from './table-layout.ts'

const indentWidth = 2
const longestLabelColumn = 40
const longestLine = 160
const longestText = 50_000

interface Sheet {
  grid: ReturnType<typeof startGrid>
  line: number
  row: number
  reading: Reading
  /** Labels and values already set: the header of a drive log that follows. */
  labelled: string[][]
}

/** The reading of a document whose root is `root`. */
export function layOutStructure(root: StructuredNode, hint: ReadingHint, problems: Problem[]): Reading {
  const reading: Reading = { media: hint.media, pages: [], problems }
  const sheet: Sheet = { grid: startGrid(), line: 0, row: 0, reading, labelled: [] }
  const line = lineStringTable(root)
  if (line) takeTrack(sheet, line)
  layNode(sheet, '', reading.track ? withoutGeometry(root) : root, 0)
  reading.pages.push(gridPage(sheet.grid))
  problems.push(...gridProblems(sheet.grid))
  return reading
}

function layNode(sheet: Sheet, key: string, node: StructuredNode, depth: number): void {
  const text = scalarText(node)
  if (text !== null) {
    layValue(sheet, key, text, depth, 0)
    return
  }
  const groups = groupsOf(node)
  if (groups.length > 1) {
    for (const [index, group] of groups.entries()) {
      if (index > 0) sheet.line++
      layNode(sheet, key, { kind: 'list', items: group }, depth)
    }
    return
  }
  const table = recordTableOf(key, node)
  if (table && (table.rows.length > 1 || table.heads.length > 2)) {
    heading(sheet, key, depth)
    layTable(sheet, table, depth)
    return
  }
  if (node.kind === 'list') {
    for (const [index, item] of node.items.entries()) {
      const pair = namedValue(item)
      if (pair) layValue(sheet, pair[0], pair[1], depth, 0)
      else {
        if (index > 0) sheet.line++
        layNode(sheet, node.items.length > 1 ? `${key} ${index + 1}`.trim() : key, item, depth)
      }
    }
    return
  }
  if (node.kind !== 'map') return
  if (key !== '') heading(sheet, key, depth)
  layEntries(sheet, node.entries, key === '' ? depth : depth + 1)
}

function layEntries(sheet: Sheet, entries: readonly (readonly [string, StructuredNode])[], depth: number): void {
  const columns = columnTable({ kind: 'map', entries: [...entries] })
  const inTable = new Set(columns ? entries.filter(([, node]) => node.kind === 'list').map(([key]) => key) : [])
  const scalars = entries.filter(([key, node]) => !inTable.has(key) && scalarText(node) !== null)
  const widest = scalars.reduce(
    (width, [key]) => Math.max(width, Math.min(longestLabelColumn, keyWords(key).length + 1)),
    0,
  )
  for (const [key, node] of scalars) layValue(sheet, key, scalarText(node) ?? '', depth, widest)
  for (const [key, node] of entries) {
    if (inTable.has(key) || scalarText(node) !== null) continue
    if (sheet.line > 0) sheet.line++
    layNode(sheet, key, node, depth)
  }
  if (columns) layTable(sheet, columns, depth)
}

const MOST_GROUPS = 24
const LEAST_FILLED = 0.5

/**
 * Records of several kinds in one list, "session", "module", "code": those that follow each other with the same keys make a
 * table of their own. One group where most cells of a single table would be filled, or where kinds take turns.
 */
function groupsOf(node: StructuredNode): StructuredNode[][] {
  if (node.kind !== 'list') return []
  const keysOf = (item: StructuredNode) => (item.kind === 'map' ? item.entries.map(([key]) => key) : [])
  const groups: StructuredNode[][] = []
  let last = ''
  for (const item of node.items) {
    if (item.kind !== 'map') return [node.items]
    const keys = keysOf(item).join('\n')
    if (keys !== last) groups.push([])
    groups.at(-1)?.push(item)
    last = keys
    if (groups.length > MOST_GROUPS) return [node.items]
  }
  const columns = new Set(node.items.flatMap(keysOf)).size
  const filled = node.items.reduce((sum, item) => sum + keysOf(item).length, 0)
  const kinds = groups.map(([first]) => new Set(first ? keysOf(first) : []))
  return filled < LEAST_FILLED * columns * node.items.length && !hasOptional(kinds) ? groups : [node.items]
}

/** Records that only lack what others have, as modules without a code do, are of one kind. */
function hasOptional(kinds: readonly ReadonlySet<string>[]): boolean {
  return kinds.some((one) => kinds.some((other) => one.size < other.size && one.isSubsetOf(other)))
}

function recordTableOf(key: string, node: StructuredNode): RecordTable | null {
  if (node.kind !== 'list') return splitTable(node)
  if (node.items.length > 0 && node.items.every((item) => namedValue(item))) return null
  return recordTable(key, node) ?? columnTable(node)
}

/** `{ "label": "VIN", "value": "…" }`, `<field name="VIN">…</field>`: the name is the label. */
function namedValue(node: StructuredNode): [string, string] | null {
  if (node.kind !== 'map' || node.entries.length !== 2) return null
  const name = node.entries.find(([key]) => /^(name|key|label|field|title)$/i.test(key))
  const value = node.entries.find(
    (entry) => entry !== name && /^(value|text|content|val|field|property|item|entry)$/i.test(entry[0]),
  )
  const texts = [name, value].map((entry) => (entry ? scalarText(entry[1]) : null))
  return texts[0] && typeof texts[1] === 'string' ? [texts[0], texts[1]] : null
}

function heading(sheet: Sheet, key: string, depth: number): void {
  const words = keyWords(key)
  if (words === '') return
  placeText(sheet.grid, sheet.line++, depth * indentWidth, words, { bold: true, cell: { row: sheet.row++, column: 0 } })
}

function layValue(sheet: Sheet, key: string, text: string, depth: number, labelWidth: number): void {
  const label = keyWords(key)
  const row = sheet.row++
  const start = depth * indentWidth
  if (label !== '') placeText(sheet.grid, sheet.line, start, `${label}:`, { cell: { row, column: 0 } })
  if (label !== '' && sheet.labelled.length < 200) sheet.labelled.push([key, text])
  const at = label === '' ? start : start + Math.max(labelWidth, label.length + 1) + 3
  if (text.length > longestText) sheet.grid.leftOut++
  const lines = text
    .slice(0, longestText)
    .toWellFormed()
    .split(/\r\n|\n|\r/)
    .flatMap(wrap)
  for (const [index, part] of lines.entries()) {
    placeText(sheet.grid, sheet.line + index, at, part, { cell: { row, column: label === '' ? 0 : 1 } })
  }
  sheet.line += Math.max(1, lines.length)
}

function wrap(line: string): string[] {
  if (line.length <= longestLine) return [line]
  const lines: string[] = []
  let open = ''
  for (const [word] of line.matchAll(/\S+/g)) {
    if (open !== '' && open.length + 1 + word.length > longestLine) {
      lines.push(open)
      open = word
    } else open = open === '' ? word : `${open} ${word}`
  }
  return [...lines, open]
}

function layTable(sheet: Sheet, table: RecordTable, depth: number): void {
  const drive = sheet.reading.track ? null : takeTrack(sheet, table)
  const rows = [table.heads, ...table.rows]
  const printed = printedRows(rows, drive).rows.map(({ row, cells }) => ({ row: sheet.row + row, cells }))
  sheet.line = placeRows(sheet.grid, sheet.line, printed, depth * indentWidth)
  sheet.row += rows.length
}

function takeTrack(sheet: Sheet, table: RecordTable) {
  const rows = [...sheet.labelled, table.heads, ...table.rows]
  const drive = readDriveTable(rows, { decimalComma: false })
  if (!drive) return null
  sheet.reading.track = drive.track
  sheet.reading.problems.push(...drive.problems)
  const before = sheet.labelled.length
  return {
    ...drive,
    headerRow: drive.headerRow - before,
    firstRow: drive.firstRow - before,
    lastRow: drive.lastRow - before,
  }
}
