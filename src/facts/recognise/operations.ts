/** Priced lines of estimates and invoices: what was or is to be done, for how much, and which calibration it means or calls for. */
import type { OperationKind, OperationReading, Sensor } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { cellOf, columnOf, type Table } from '../page/tables.ts'
import { agreesInPosition } from '../position.ts'
import { readMoney } from '../quantity.ts'
import type { Place } from '../reading.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { methodOf, positionOf, sensorsOf } from './sensors.ts'
import { bareName, isNaming, note, type Sheet } from './sheet.ts'

export interface OperationFound {
  reading: OperationReading
  place: Place
}

const SERIAL = /\b(?:s\/?n|serial(?: (?:no\.?|number))?)\s*[.:#]?\s*([A-Z0-9][A-Z0-9./-]{3,})/i
const PART = /\b(?:p\/?n|part(?: (?:no\.?|number))?)\s*[.:#]?\s*([A-Z0-9][A-Z0-9./-]{3,}(?: [A-Z0-9]{1,4}\b)?)/i

/** Tells what a line of an estimate or invoice is, and which sensors it concerns. */
export function classifyOperation(text: string, vocabulary: Vocabulary): Omit<OperationReading, 'text' | 'billed'> {
  const tokens = vocabulary.tokens(text)
  const hits = vocabulary.operations.within(tokens)
  const has = (key: string) => hits.some((hit) => hit.entries.some((entry) => entry.key === key))
  const at = (key: string) => hits.find((hit) => hit.entries.some((entry) => entry.key === key))
  const sensors = sensorsOf(text, vocabulary)
  const verbs =
    /\b(?:replace[ds]?|replacement|renew(?:ed)?|r&[ri]|remove|install|repair(?!-)|refinish|paint|blend|fit(?:ted)?|straighten|section|exchange|transfer|program|configure)\b/i
  const calibrates = has('calibration')
  const scan = at('scan')
  const scans = scan !== undefined && !/\bscan(?:ner)? tool\b/i.test(text)
  let kind: OperationKind = 'other'
  if (calibrates && (sensors.length > 0 || !verbs.test(text))) kind = 'calibration'
  else if (has('alignment') && !verbs.test(text)) kind = 'alignment'
  else if (
    scans &&
    !verbs.test(text.replace(/\b(?:before|after|pre|post)[ -](?:the )?repairs?\b|\brepair scan\b/gi, ''))
  )
    kind = 'scan'
  else if (has('alignment') && scan === undefined && !has('other')) kind = 'alignment'
  else if (verbs.test(text) || has('repair')) kind = 'repair'
  if (kind === 'calibration' && calibrates && sensors.length === 0 && has('alignment') && !/calibrat/i.test(text))
    kind = 'alignment'
  const reading: Omit<OperationReading, 'text' | 'billed'> = { calls: [], kind }
  if (kind === 'calibration') {
    reading.calls = sensors
    const method = methodOf(text, vocabulary)
    if (method) reading.method = method
    else if (sensors.length === 1 && sensors[0] === 'steering-angle') reading.method = 'initialisation'
  } else if (kind === 'repair' || kind === 'alignment') {
    reading.calls = callsOf(text, vocabulary)
    if (kind === 'repair') for (const sensor of sensors) if (!reading.calls.includes(sensor)) reading.calls.push(sensor)
  } else if (kind === 'scan') {
    const before = at('scanBefore')
    const after = at('scanAfter')
    const scanText = text.toLowerCase()
    if (/before (?:delivery|release|handover|return)/.test(scanText)) reading.scan = 'after'
    else if (before && !after) reading.scan = 'before'
    else if (after && !before) reading.scan = 'after'
  }
  const position = sensors[0] ? positionOf(text, sensors[0], vocabulary) : null
  if (position) reading.position = position
  const serial = SERIAL.exec(text)?.[1]
  if (serial && /\d/.test(serial)) reading.serial = serial
  const part = PART.exec(text)?.[1]
  if (part && /\d/.test(part)) reading.part = part.trim()
  return reading
}

/** The sensors whose calibration a repair usually calls for, by the rules of the vocabulary. */
export function callsOf(text: string, vocabulary: Vocabulary): Sensor[] {
  const tokens = vocabulary.tokens(text)
  const calls = new Set<Sensor>()
  for (const rule of vocabulary.calls) {
    if (rule.any.within(tokens).length === 0 || rule.not.within(tokens).length > 0) continue
    for (const sensor of rule.sensors) calls.add(sensor)
  }
  return [...calls]
}

function isTotal(text: string, vocabulary: Vocabulary): boolean {
  const bare = text
    .replace(/[\d.,%$€£()]+/g, ' ')
    .replace(/\b(?:usd|cad|aud|nzd|gbp|eur)\b/gi, ' ')
    .trim()
  const tokens = vocabulary.tokens(bare)
  if (tokens.length === 0) return true
  if (vocabulary.operations.whole(tokens).some((entry) => entry.key === 'totals')) return true
  const hit = vocabulary.operations.longestAt(tokens, 0)
  if (hit?.entries.some((entry) => entry.key === 'totals') && hit.length >= 0.5 * tokens.length) return true
  const last = tokens.at(-1) ?? ''
  return (
    /^(?:total|subtotal|tax|vat|gst|hst|due|payable|balance)$/.test(last) &&
    tokens.length <= 5 &&
    !/scan|calibrat|align|replace|repair/i.test(text)
  )
}

const AMOUNT_CELL =
  /^[-+−(]?\s*(?:[A-Z]{3}\s*)?[$€£]?\s*-?\d{1,3}(?:[ ,.'  ]?\d{3})*[.,]\d{2}\)?\s*(?:[$€£]|[A-Z]{3})?-?$/

const amountOf = (cell: Cell | null | undefined, sheet: Sheet) =>
  cell && (AMOUNT_CELL.test(cell.text) || /[$€£]|\b(?:USD|CAD|AUD|EUR|GBP)\b/.test(cell.text))
    ? readMoney(cell.text, { decimal: sheet.decimal })
    : null

/** "x 2", "(qty 2)" behind a description; the end of "part no. MT-9994-X5" is none. */
const COUNT = /(?:\s+|\s*[([])(?:qty|x)\s*\d+[)\]]?$/i

const CODE_LIKE = /^(?:[A-Z]{1,5}[-/]?\d*|\d{1,6}[A-Z]?|[A-Z]\d+(?:-\d+)?)[.)]?$/

function describe(cells: readonly Cell[]): Cell | null {
  const naming = cells.filter((cell) => isNaming(cell) && !AMOUNT_CELL.test(cell.text))
  return (
    naming.filter((cell) => !CODE_LIKE.test(cell.text)).sort((a, b) => b.text.length - a.text.length)[0] ??
    naming[0] ??
    null
  )
}

function makeOperation(
  sheet: Sheet,
  text: string,
  amount: number,
  billed: boolean,
  cells: readonly Cell[],
  extra: { serial?: string | undefined; part?: string | undefined },
): OperationFound {
  const reading: OperationReading = { text, ...classifyOperation(text, sheet.vocabulary), billed, amount }
  if (extra.serial !== undefined && /\d/.test(extra.serial)) reading.serial = extra.serial
  if (extra.part !== undefined && /\d/.test(extra.part)) reading.part = extra.part
  return { reading, place: placeOfCells([...cells]) }
}

/** The description on a line that opens a job by its letter or number and an operation code, without a price. */
function unpricedJob(line: Line, sheet: Sheet): Cell | null {
  const [first, ...rest] = line.cells
  if (!first || rest.length === 0 || !/^(?:[A-Z]|\d{1,3})[.)]?$/.test(first.text)) return null
  const description = describe(rest)
  return description && !isTotal(description.text, sheet.vocabulary) ? description : null
}

/** The priced lines of a document; `billed` is true on invoices. Sums, taxes and payments are left out. */
export function readOperations(sheet: Sheet, billed: boolean): OperationFound[] {
  const { vocabulary } = sheet
  const found: OperationFound[] = []
  const rowOf = new Map<number, { table: Table; cells: (Cell | null)[]; continued: Line[] }>()
  for (const table of sheet.tables) {
    if (columnOf(table, 'amount') < 0 && columnOf(table, 'unitPrice') < 0) continue
    for (const row of table.rows) {
      rowOf.set(row.line.index, { table, cells: row.cells, continued: row.continued })
    }
  }
  let unpriced: Cell | null = null
  let over = false
  for (const line of sheet.lines) {
    const inTable = rowOf.get(line.index)
    const priced =
      (inTable && lastAmount(inTable.table, inTable.cells, sheet)) ??
      [...line.cells].reverse().find((cell) => amountOf(cell, sheet))
    const isAlone = priced === undefined || (!inTable && !line.cells.some((cell) => cell !== priced && isNaming(cell)))
    const inlineAmount = isAlone ? trailingAmount(line.cells.at(-1), sheet) : null
    const amountCell = inlineAmount ? undefined : priced
    const amount = amountCell ? amountOf(amountCell, sheet)?.amount : inlineAmount?.amount
    if (amount === undefined) {
      unpriced = unpricedJob(line, sheet) ?? unpriced
      continue
    }
    const tableDescription = inTable
      ? cellOf(inTable.table, { line, cells: inTable.cells, continued: inTable.continued }, 'description')
      : null
    const candidates = line.cells.filter((cell) => cell !== amountCell)
    const cell = isNaming(tableDescription ?? undefined) && tableDescription ? tableDescription : describe(candidates)
    const rawText = inlineAmount && !isNaming(tableDescription ?? undefined) ? inlineAmount.text : (cell?.text ?? '')
    const text = bareName(rawText.replace(COUNT, ''))
    if (text === '' || !/\p{L}{2}/u.test(text)) continue
    // "LINE A TOTAL": the sum of a job whose own line carries no price.
    if (unpriced && /^(?:line|job|item|operation|op|task)\s+\S{1,4}\s+(?:sub)?total/i.test(text)) {
      found.push(makeOperation(sheet, bareName(unpriced.text), amount, billed, [unpriced, ...line.cells.slice(-1)], {}))
      unpriced = null
      continue
    }
    if (isTotal(text, vocabulary)) {
      if (found.length > 0 && /^(?:total|amount due|balance due|grand total|net|subtotal|sub total)/i.test(text))
        over = true
      continue
    }
    // Behind the sums come payments and notes, unless another block of operations with its own heading follows.
    if (over && !inTable) continue
    if (/^(?:deductible|excess|deposit|paid|payment|less)\b/i.test(text)) continue
    const row = inTable && { line, cells: inTable.cells, continued: inTable.continued }
    const serial = row ? cellOf(inTable.table, row, 'serial')?.text : undefined
    const part = row ? cellOf(inTable.table, row, 'part')?.text : undefined
    const operation = makeOperation(sheet, text, amount, billed, line.cells, { serial, part })
    found.push(operation)
  }
  addSerials(sheet, found)
  return found
}

/** "Forward radar installed: serial LR5-6601": a note beneath the prices says which part was fitted. */
function addSerials(sheet: Sheet, found: readonly OperationFound[]): void {
  const { vocabulary } = sheet
  for (const line of sheet.lines) {
    const serial = SERIAL.exec(line.text)?.[1]?.replace(/[.,;]+$/, '')
    const [sensor, other] = sensorsOf(line.text, vocabulary)
    if (!serial || !/\d/.test(serial) || !sensor || other) continue
    const position = positionOf(line.text, sensor, vocabulary)
    const fitted = found.filter(
      ({ reading }) =>
        reading.kind === 'repair' &&
        reading.serial === undefined &&
        sensorsOf(reading.text, vocabulary).includes(sensor) &&
        agreesInPosition(reading.position, position),
    )
    const [only] = fitted
    if (only && fitted.length === 1 && !only.reading.text.includes(serial)) {
      only.reading.serial = serial
      note(sheet, `operations.${found.indexOf(only)}`, placeOfCells(line.cells))
    }
  }
}

const TRAILING_AMOUNT =
  /^(.*\p{L}.*?)\s*[.…:=]*\s+((?:(?:[A-Z]{3}\s*)?[$€£]\s?\d[\d,. ]*[.,]\d{2})|(?:\d{1,3}(?:[ .,]?\d{3})*[.,]\d{2}\s?(?:[$€£]|[A-Z]{3})))$/u

function lastAmount(table: Table, cells: readonly (Cell | null)[], sheet: Sheet): Cell | null {
  for (const role of ['amount', 'unitPrice'] as const) {
    for (let i = table.columns.length - 1; i >= 0; i--) {
      const cell = cells[i]
      if (cell && table.columns[i]?.roles.includes(role) && amountOf(cell, sheet)) return cell
    }
  }
  return null
}

/** `Front camera calibration … $310.00`, `Front camera calibration: 310,00 €` set in one cell. */
function trailingAmount(cell: Cell | undefined, sheet: Sheet): { amount: number; text: string } | null {
  const found = cell && TRAILING_AMOUNT.exec(cell.text)
  const money = found?.[2] ? readMoney(found[2], { decimal: sheet.decimal }) : null
  return found?.[1] && money ? { amount: money.amount, text: found[1] } : null
}
