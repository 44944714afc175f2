/** Modules and codes in the rows of a table, with codes in any cell and states under any heading. */
import type { CodeReading, CodeStatus, ModuleState } from '../document.ts'
import type { Cell } from '../layout.ts'
import { cellOf, columnOf, moduleColumnOf, type Table, type TableRow } from '../page/tables.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import {
  addCode,
  addModule,
  addModuleOfCode,
  addTestState,
  cleanText,
  type Draft,
  splitAround,
  stateOf,
  statusOf,
} from './scan-draft.ts'
import { isNaming } from './sheet.ts'

/**
 * Reads one column group of a table's row; whether it told anything. A row without a module of its own belongs to the
 * last one named, else to the heading above the table.
 */
export function readTableRow(
  draft: Draft,
  table: Table,
  row: TableRow,
  group: number,
  heading: string | null,
  last: { module: string | null },
): boolean {
  const columns = table.columns.map((column, i) => ({ ...column, i })).filter((column) => column.group === group)
  const cells = columns.map(({ i }) => row.cells[i] ?? null)
  const present = cells.filter((cell) => cell !== null)
  if (present.length === 0) return false
  const moduleColumn = moduleColumnOf(table, draft.sheet.vocabulary, group)
  const codeColumn = columnOf(table, 'code', group)
  const moduleCell = moduleColumn >= 0 && moduleColumn !== codeColumn ? (row.cells[moduleColumn] ?? null) : null
  const found = present.flatMap((cell) => {
    const strictness = codeColumn >= 0 && row.cells[codeColumn] === cell ? 'loose' : 'usual'
    return findTroubleCodes(cell.text, { strictness }).map((code) => ({ cell, code }))
  })
  if (found.length > 0) {
    const module =
      moduleCell && isNaming(moduleCell) && found[0]?.cell !== moduleCell ? moduleCell.text : (last.module ?? heading)
    if (moduleCell && module === moduleCell.text) last.module = module
    for (const { cell, code } of found) {
      const around = splitAround(draft, cell.text, code.start, code.end)
      const textCell = cellOf(table, row, 'text', group)
      const others = present.filter((other) => other !== cell && other !== moduleCell)
      const told = statusInRow(draft, table, row, { cell, group, moduleCell, textCell })
      const status = told.status === 'unknown' ? around.status : told.status
      const typeCell = cellOf(table, row, 'failureType', group)
      const failureType =
        code.failureType ?? /^\(?(?:0x)?([0-9A-F]{2})h?\)?$/i.exec(typeCell?.text ?? '')?.[1]?.toUpperCase() ?? null
      const reading: CodeReading = { code: code.code, failureType, status }
      if (module !== null) reading.module = module
      const words = textCell && textCell !== cell ? textCell.text : around.text || besideCode(draft, cell, others)
      const text = cleanText(words)
      if (text !== '') reading.text = text
      const alone = found.length === 1
      addTestState(reading, {
        column: cellOf(table, row, 'statusByte', group)?.text ?? '',
        status: told.cell?.text ?? '',
        around: alone ? others.map((other) => other.text).join(' | ') : around.text,
        behind: cell.text.slice(code.end, code.end + 4),
      })
      addCode(draft, reading, [cell])
      if (module !== null) addModuleOfCode(draft, module, moduleCell ? [moduleCell] : [cell])
    }
    return true
  }
  if (!isNaming(moduleCell ?? undefined) || moduleCell === null) return false
  const stateColumns = columns.filter(
    ({ roles, i }) => i !== moduleColumn && (roles.includes('state') || roles.includes('code')),
  )
  const counts = columns.flatMap(({ roles, i }) => (roles.includes('count') ? (countIn(row.cells[i]) ?? []) : []))
  const holdsCodes = counts.some((count) => count > 0)
  for (const { i } of holdsCodes ? [] : stateColumns) {
    const cell = row.cells[i]
    const state = cell ? (answerOf(cell, table.columns[i]?.header.text ?? '') ?? stateOf(draft, cell.text, true)) : null
    if (cell && state) {
      addModule(draft, moduleCell.text, state, [moduleCell, cell])
      last.module = moduleCell.text
      return true
    }
  }
  if (counts.length > 0) {
    addModule(draft, moduleCell.text, holdsCodes ? 'fault' : 'no-fault', present)
    last.module = moduleCell.text
    return true
  }
  // An unknown heading over states ("Ergebnis"): any other cell that is a plain statement will do.
  for (const cell of present) {
    const state = cell !== moduleCell ? stateOf(draft, cell.text) : null
    if (state) {
      addModule(draft, moduleCell.text, state, [moduleCell, cell])
      last.module = moduleCell.text
      return true
    }
  }
  return false
}

/** What stands behind a code in cells without a heading of their own: its text, without its status. */
function besideCode(draft: Draft, code: Cell, others: readonly Cell[]): string {
  return others
    .filter((other) => other.box[0] > code.box[0] && isNaming(other) && other.words.length > 1)
    .filter(({ words, text }) => words.length > 2 || stateOf(draft, text) === null)
    .map(({ text }) => splitAround(draft, text, 0, 0).text)
    .join(' ')
}

interface CodePlace {
  cell: Cell
  group: number
  moduleCell: Cell | null
  textCell: Cell | null
}

/**
 * The status of a code as its row tells it, and the cell that it stands in or would stand in. Of several columns that may hold it, those behind the
 * code come first: "State" beside the module's name says "DTC stored" of the module, whatever the code's own status is.
 */
function statusInRow(
  draft: Draft,
  table: Table,
  row: TableRow,
  place: CodePlace,
): { status: CodeStatus; cell: Cell | null } {
  const { cell, group, moduleCell, textCell } = place
  const places = table.columns.flatMap((column, i) => {
    const other = row.cells[i]
    if (column.group !== group || !other || other === cell || other === moduleCell) return []
    return [{ other, named: column.roles.includes('status'), behind: i > row.cells.indexOf(cell) }]
  })
  const named = places.filter((one) => one.named)
  const unnamed = places.filter(({ named, other }) => !named && other !== textCell && other.words.length <= 4).reverse()
  for (const { other, behind } of [...named.filter((one) => one.behind), ...named, ...unnamed]) {
    if (!behind && stateOf(draft, other.text) === 'fault') continue
    const status = statusOf(draft, other.text)
    if (status !== 'unknown') return { status, cell: other }
  }
  const [first] = [...named.filter((one) => one.behind), ...named]
  return { status: 'unknown', cell: first?.other ?? null }
}

/** How many codes a cell under the name of a status counts; null where it is no number. */
const countIn = (cell: Cell | null | undefined) => (cell && /^\d{1,3}$/.test(cell.text) ? Number(cell.text) : null)

/** Yes or no under a heading that asks: "answered", "faulty". */
function answerOf(cell: Cell, heading: string): ModuleState | null {
  const yes = /^(?:true|yes|y)$/i.test(cell.text)
  if (!yes && !/^(?:false|no|n)$/i.test(cell.text)) return null
  if (/answer|respon|repl|online|reach|communicat|link|present/i.test(heading)) return yes ? 'no-fault' : 'no-response'
  if (/fault|error|dtc|code/i.test(heading)) return yes ? 'fault' : 'no-fault'
  if (/fitted|equipped|installed/i.test(heading)) return yes ? null : 'not-fitted'
  return /ok|good|pass/i.test(heading) ? (yes ? 'no-fault' : 'fault') : null
}
