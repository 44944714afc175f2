/**
 * A scan of the vehicle: which modules were read, what each said, and the trouble codes with their module and status.
 *
 * Reports set these out as a table, as pairs of name and state in one to four columns, or as headings with codes beneath;
 * all three are read, also mixed on one page. A line that is none of them is left alone.
 */
import type { Cell, Line } from '../layout.ts'
import { columnOf, groupCount, type Table, type TableRow } from '../page/tables.ts'
import { holdsDate } from '../page/value-shapes.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import { announcesList, canNameModule } from './module-names.ts'
import { isModulePart, readCodeCard, readModuleCard } from './scan-cards.ts'
import { addModule, type Draft, type ScanFacts } from './scan-draft.ts'
import { type Heading, readCodeLine, readPairs } from './scan-lines.ts'
import { readTableRow } from './scan-rows.ts'
import { moduleStateOf, readLegend } from './scan-states.ts'
import { bareName, isNaming, type Sheet } from './sheet.ts'

const VALUE_LABELS = new Set([
  'preconditions',
  'sensor',
  'equipmentOther',
  'instrumentName',
  'part',
  'model',
  'position',
  'codeCount',
  'moduleCount',
])

/** Labels of a document's head or summary: no module's part goes on behind them. */
const HEAD_KEYS = new Set([
  'vin',
  'date',
  'jobNumber',
  'claimNumber',
  'plate',
  'odometer',
  'technician',
  'codeCount',
  'moduleCount',
  'batteryVolts',
  'vehicle',
])

/** The cells of a line that name and state something with a colon, and belong to no label of the document's head. */
function cellsBesideFields({ fields }: Sheet, { cells, index }: Line): Cell[] {
  const own = fields.filter(({ line, meanings }) => line === index && meanings.length > 0)
  const taken = new Set(own.flatMap(({ words }) => words))
  const holdsLabel = ({ box }: Cell) =>
    own.some(({ labelPlace }) => labelPlace.box[0] >= box[0] - 1 && labelPlace.box[2] <= box[2] + 1)
  return cells.filter(
    (cell) => !cell.words.some((word) => taken.has(word)) && /\S:\s+\S/.test(cell.text) && !holdsLabel(cell),
  )
}

/** Reads modules and trouble codes from a sheet. Both lists are empty where the document has none. */
export function readScan(sheet: Sheet): ScanFacts {
  const draft: Draft = { sheet, facts: { modules: [], codes: [] }, legend: readLegend(sheet) }
  const { vocabulary } = sheet
  const rows = new Map<number, { table: Table; row: TableRow }>()
  const consumed = new Set<number>()
  for (const table of sheet.tables) {
    const scans = Array.from({ length: groupCount(table) }, (_, group) => group).every(
      (group) => columnOf(table, 'module', group) >= 0 || columnOf(table, 'code', group) >= 0,
    )
    // "Reading  Value  Unit" lists measurements, though a unit may elsewhere be a module.
    const measures =
      table.columns.some(({ header }) => /^units?$/i.test(header.text)) &&
      columnOf(table, 'actual') >= 0 &&
      columnOf(table, 'code') < 0
    if (measures) for (const row of table.rows) consumed.add(row.line.index)
    if (!scans || measures) continue
    consumed.add(table.header.index)
    if (table.headerBeneath) consumed.add(table.headerBeneath.index)
    for (const row of table.rows) {
      rows.set(row.line.index, { table, row })
      for (const line of row.continued) consumed.add(line.index)
    }
  }
  const fieldLines = new Set(
    sheet.fields
      .filter((field) =>
        field.meanings.some((meaning) => !VALUE_LABELS.has(meaning.key) || meaning.key.endsWith('Count')),
      )
      .map((field) => field.line),
  )
  const headLines = new Set(
    sheet.fields
      .filter((field) => field.meanings.some((meaning) => HEAD_KEYS.has(meaning.key)))
      .map((field) => field.line),
  )
  // "Steering" over a code names a module, though over a word it is a precondition.
  const labelled = new Set(
    sheet.fields
      .filter((field) => field.meanings.length > 0 && findTroubleCodes(field.value).length === 0)
      .map((field) => field.line),
  )
  let heading: Heading | null = null
  const last = { module: null as string | null }
  let lastRow = -1
  sheet.lines.forEach((line, i) => {
    const inTable = rows.get(line.index)
    if (inTable) {
      let used = false
      for (let group = 0; group < groupCount(inTable.table); group++)
        used = readTableRow(draft, inTable.table, inTable.row, group, heading?.name ?? null, last) || used
      if (used) {
        lastRow = i
        return
      }
    }
    if (consumed.has(line.index)) {
      last.module = null
      heading = null
      return
    }
    if (draft.legend.lines.has(line.index)) return
    const card = readCodeCard(draft, sheet.lines, i)
    for (const taken of sheet.lines.slice(i, i + card)) consumed.add(taken.index)
    if (card > 0) return
    // A code close beneath the row of a module belongs to it, though it fills one cell and so ends the table.
    const isBeneath =
      heading === null && last.module !== null && lastRow === i - 1 && line.gapAbove < sheet.layout.bodySize
    const above = isBeneath && last.module !== null ? { name: last.module, cells: line.cells, line } : heading
    if (readCodeLine(draft, line, above, sheet.lines[i + 1])) {
      if (isBeneath) lastRow = i
      return
    }
    if (readModuleCard(draft, line, heading)) {
      heading = null
      return
    }
    if (fieldLines.has(line.index)) {
      if (headLines.has(line.index)) heading = null
      // "Battery: 12.6 V   Airbag: OK": beside a column of labels the list of modules goes on.
      const free = cellsBesideFields(sheet, line)
      const [only, ...more] = free.length > 0 ? readPairs(draft, { ...line, cells: free }, sheet.lines[i + 1]) : []
      if (only && more.length === 0) heading = { name: bareName(only.name), cells: [only.cell], line }
      return
    }
    if (isModulePart(draft, line, heading)) return
    const pairs = readPairs(draft, line, sheet.lines[i + 1])
    if (pairs.length > 0) {
      // Codes beneath a single pair belong to it.
      const [only] = pairs.length === 1 ? pairs : []
      heading = only ? { name: bareName(only.name), cells: [only.cell], line } : null
      return
    }
    const state = line.cells.length === 1 ? moduleStateOf(line.text, vocabulary) : null
    if (state) {
      if (heading && canNameModule(heading.name, vocabulary)) {
        addModule(draft, heading.name, state, [...heading.cells, ...line.cells])
        heading = null
      }
      return
    }
    if (labelled.has(line.index)) return
    const first = line.cells[0]
    if (first && line.cells.length === 1 && isNaming(first) && !/[.!?]$/.test(line.text) && first.words.length <= 9) {
      // The text beneath a code is no heading.
      const previous = sheet.lines[i - 1]
      const underCode =
        previous !== undefined &&
        findTroubleCodes(previous.text).length > 0 &&
        first.box[0] >= previous.box[0] - 2 &&
        !line.bold &&
        line.gapAbove < sheet.layout.bodySize
      if (!underCode && !holdsDate(line.text))
        heading = announcesList(line.text, vocabulary) ? null : { name: bareName(line.text), cells: [first], line }
    }
  })
  return draft.facts
}
