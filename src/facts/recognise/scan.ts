/**
 * A scan of the vehicle: which modules were read, what each said, and the trouble codes with their module and status.
 *
 * Reports set these out as a table, as pairs of name and state in one to four columns, or as headings with codes beneath;
 * all three are read, also mixed on one page. A line that is none of them is left alone.
 */
import { statusFromWords } from '../code-status.ts'
import type { CodeReading, CodeStatus, ModuleReading, ModuleState } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { cellOf, columnOf, groupCount, type Table, type TableRow } from '../page/tables.ts'
import { holdsDate } from '../page/value-shapes.ts'
import type { Place } from '../reading.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { positionOf, sensorOf, systemOf } from './sensors.ts'
import { bareName, isNaming, type Sheet } from './sheet.ts'

export interface ScanFacts {
  modules: { reading: ModuleReading; place: Place }[]
  codes: { reading: CodeReading; place: Place }[]
}

const COUNT =
  /^\(?(\d{1,3}|no|none|zero)\)?\s*(?:x\s*)?(?:active |stored |current )?(?:dtcs?|codes?|faults?|errors?|entr(?:y|ies)|trouble codes?|fault codes?|events?)?(?:\s*(?:found|stored|present|active|held|logged|set|open|recorded|registered|kept|noted|saved|current))?\)?$/i

/** What a text says of a whole module; null when it is no such statement. `lenient` accepts words around the statement. */
export function moduleStateOf(text: string, vocabulary: Vocabulary, lenient = false): ModuleState | null {
  const bare = text.replace(/[\s.]+$/, '')
  const counted = COUNT.exec(bare)
  if (counted?.[1] && /[a-z]{3}/i.test(bare)) return /^(?:0+|no|none|zero)$/i.test(counted[1]) ? 'no-fault' : 'fault'
  if (counted?.[1] && lenient)
    return /^0+$/.test(counted[1]) ? 'no-fault' : /^\d+$/.test(counted[1]) ? 'fault' : 'no-fault'
  const tokens = vocabulary.tokens(bare)
  if (tokens.length === 0) return null
  const whole = vocabulary.moduleStates.whole(tokens)[0]
  if (whole && !(tokens.length === 1 && /^\d+$/.test(tokens[0] ?? ''))) return whole.key
  const withoutCount = bare.replace(/\s*[([]?\b\d{1,3}\b[)\]]?\s*(?:dtcs?|codes?|faults?)?\s*$/i, '')
  if (withoutCount !== bare && withoutCount !== '') {
    const state = vocabulary.moduleStates.whole(vocabulary.tokens(withoutCount))[0]
    if (state) return state.key
  }
  if (!lenient) return null
  const hit = vocabulary.moduleStates.within(tokens)[0]
  return hit && hit.length >= 0.34 * tokens.length ? (hit.entries[0]?.key ?? null) : null
}

interface Draft {
  sheet: Sheet
  facts: ScanFacts
  legend: Legend
}

/** Marks that the report explains itself: "ST: CUR current, HIS history", "- no fault  F fault  N/F not fitted". */
interface Legend {
  statuses: Map<string, CodeStatus>
  states: Map<string, ModuleState>
  /** Indices of the lines that explain. */
  lines: Set<number>
}

const LEGEND_PART =
  /^(?:[A-Za-z]{1,8}:\s+)?([A-Z][A-Z/]{0,4}|[-–—*+!○●✓✔√✗✘✕×☑☒]|[a-z])(?:\s*[=:]\s*|\s+(?:[-–=]\s+|means\s+|is\s+)?)(\S.*)$/

function readLegend(sheet: Sheet): Legend {
  const legend: Legend = { statuses: new Map(), states: new Map(), lines: new Set() }
  for (const line of sheet.lines) {
    const parts = line.cells.flatMap((cell) => cell.text.split(/[,;]\s+|\.\s+|\s{2,}/))
    const told = parts.flatMap((part) => {
      const found = LEGEND_PART.exec(part.trim())
      const [mark, words] = [found?.[1], found?.[2]?.replace(/[.,;]+$/, '')]
      if (!mark || !words || words.split(/\s+/).length > 7) return []
      const state = moduleStateOf(words, sheet.vocabulary)
      const status = statusFromWords(words)
      return state || status !== 'unknown' ? [{ mark, state, status }] : []
    })
    if (
      told.length < 2 ||
      told.length < 0.6 * (parts.length - 1) ||
      new Set(told.map(({ mark }) => mark)).size < told.length
    )
      continue
    if (line.cells.some((cell) => findTroubleCodes(cell.text).length > 0)) continue
    legend.lines.add(line.index)
    for (const { mark, state, status } of told) {
      if (state && !legend.states.has(mark)) legend.states.set(mark, state)
      if (status !== 'unknown' && !legend.statuses.has(mark)) legend.statuses.set(mark, status)
    }
  }
  return legend
}

/** What a cell says of a module, by the report's own legend first. */
function stateOf(draft: Draft, text: string, lenient = false): ModuleState | null {
  return draft.legend.states.get(text.trim()) ?? moduleStateOf(text, draft.sheet.vocabulary, lenient)
}

function statusOf(draft: Draft, text: string): CodeStatus {
  const mark = draft.legend.statuses.get(text.trim())
  return mark ?? statusFromWords(text)
}

const sameName = (a: string, b: string) =>
  a.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '') === b.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '')

function addModule(draft: Draft, rawName: string, state: ModuleState, cells: readonly Cell[]): void {
  const name = bareName(rawName)
  if (name === '' || !/\p{L}{2}/u.test(name)) return
  const known = draft.facts.modules.find(({ reading }) => sameName(reading.name, name))
  if (known) {
    if (known.reading.state === 'unknown' || (known.reading.state === 'no-fault' && state === 'fault'))
      known.reading.state = state
    return
  }
  const { vocabulary } = draft.sheet
  const reading: ModuleReading = { name, state, system: systemOf(name, vocabulary) }
  const sensor = sensorOf(name, vocabulary)?.sensor
  if (sensor && sensor !== 'other') {
    reading.sensor = sensor
    const position = positionOf(name, sensor, vocabulary)
    if (position) reading.position = position
  }
  draft.facts.modules.push({ reading, place: placeOfCells(cells) })
}

function addCode(draft: Draft, code: CodeReading, cells: readonly Cell[]): void {
  if (code.module !== undefined) {
    const name = bareName(code.module)
    if (name === '') delete code.module
    else {
      code.module = name
      code.system = systemOf(name, draft.sheet.vocabulary)
    }
  }
  const twin = draft.facts.codes.find(
    ({ reading }) =>
      reading.code === code.code &&
      reading.failureType === code.failureType &&
      sameName(reading.module ?? '', code.module ?? ''),
  )
  if (twin) {
    if (twin.reading.status === 'unknown') twin.reading.status = code.status
    if (twin.reading.text === undefined && code.text !== undefined) twin.reading.text = code.text
    return
  }
  draft.facts.codes.push({ reading: code, place: placeOfCells(cells) })
}

const cleanText = (text: string) => text.replace(/^[\s:.,;–()[\]-]+|[\s:,;–([-]+$/g, '').trim()

/** The text and status that stand around a code in one cell: `C1C02-29 Wheel speed implausible (Stored)`. */
function splitAround(draft: Draft, text: string, start: number, end: number): { text: string; status: CodeStatus } {
  let rest = `${text.slice(0, start)} ${text.slice(end)}`
  const bracketed = /[([]([^)\]]{2,40})[)\]]/.exec(rest)
  if (bracketed?.[1]) {
    const status = statusOf(draft, bracketed[1])
    if (status !== 'unknown') return { text: cleanText(rest.replace(bracketed[0], ' ')), status }
  }
  for (const part of rest.split(/\s+[-–|·/]\s+|,\s+|;\s*|:\s+/).reverse()) {
    const status = part.trim().split(/\s+/).length <= 4 ? statusOf(draft, part) : 'unknown'
    if (status !== 'unknown') {
      rest = rest.replace(part, ' ')
      return { text: cleanText(rest.replace(/\s+/g, ' ')), status }
    }
  }
  return { text: cleanText(rest.replace(/\s+/g, ' ')), status: 'unknown' }
}

function readTableRow(
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
  const moduleColumn = columnOf(table, 'module', group)
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
      const statusColumn = columns.find(
        ({ roles, i }) =>
          roles.includes('status') && i !== codeColumn && row.cells[i] && row.cells[i] !== cell && i !== moduleColumn,
      )
      const around = splitAround(draft, cell.text, code.start, code.end)
      let status = statusColumn ? statusOf(draft, row.cells[statusColumn.i]?.text ?? '') : 'unknown'
      if (status === 'unknown') status = around.status
      const textCell = cellOf(table, row, 'text', group)
      const others = present.filter((other) => other !== cell && other !== moduleCell)
      if (status === 'unknown')
        for (const other of [...others].reverse()) {
          if (other === textCell || other.words.length > 4) continue
          status = statusOf(draft, other.text)
          if (status !== 'unknown') break
        }
      const typeCell = cellOf(table, row, 'failureType', group)
      const failureType =
        code.failureType ?? /^\(?(?:0x)?([0-9A-F]{2})h?\)?$/i.exec(typeCell?.text ?? '')?.[1]?.toUpperCase() ?? null
      const reading: CodeReading = { code: code.code, failureType, status }
      if (module !== null) reading.module = module
      const words = textCell && textCell !== cell ? textCell.text : around.text
      const wrapped = row.continued.map((line) => line.text).join(' ')
      const text = cleanText([words, wrapped].filter((part) => part !== '').join(' '))
      if (text !== '') reading.text = text
      addCode(draft, reading, [cell])
      if (module !== null) addModuleOfCode(draft, module, moduleCell ? [moduleCell] : [cell])
    }
    return true
  }
  if (!isNaming(moduleCell ?? undefined) || moduleCell === null) return false
  const stateColumns = columns.filter(
    ({ roles, i }) => i !== moduleColumn && (roles.includes('state') || roles.includes('code')),
  )
  for (const { i } of stateColumns) {
    const cell = row.cells[i]
    const state = cell ? (answerOf(cell, table.columns[i]?.header.text ?? '') ?? stateOf(draft, cell.text, true)) : null
    if (cell && state) {
      addModule(draft, moduleCell.text, state, [moduleCell, cell])
      last.module = moduleCell.text
      return true
    }
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

/** Yes or no under a heading that asks: "answered", "faulty". */
function answerOf(cell: Cell, heading: string): ModuleState | null {
  const yes = /^(?:true|yes|y)$/i.test(cell.text)
  if (!yes && !/^(?:false|no|n)$/i.test(cell.text)) return null
  if (/answer|respon|repl|online|reach|communicat|link|present/i.test(heading)) return yes ? 'no-fault' : 'no-response'
  if (/fault|error|dtc|code/i.test(heading)) return yes ? 'fault' : 'no-fault'
  if (/fitted|equipped|installed/i.test(heading)) return yes ? null : 'not-fitted'
  return /ok|good|pass/i.test(heading) ? (yes ? 'no-fault' : 'fault') : null
}

function addModuleOfCode(draft: Draft, name: string, cells: readonly Cell[]): void {
  addModule(draft, name, 'fault', cells)
}

/** Headings that announce a list and name no module. */
function announcesList(text: string, vocabulary: Vocabulary): boolean {
  const tokens = vocabulary.tokens(bareName(text).replace(/\s*\(?\d+\)?$/, ''))
  if (tokens.length === 0) return true
  const listWords =
    /^(?:modules?|systems?|units?|controllers?|ecus?|codes?|dtcs?|faults?|faulty|errors?|entries|trouble|memory|list|listing|summary|details?|results?|report|scan|status|overview|with|without|no|in|of|the|and|by|all|control|found|stored|active|current|history|pending|confirmed|present|past|other|fault|diagnostic|read|responding|answered|per|system|module|unit|controller|ecu|code|dtc|stated|table|section|page|continued|vehicle|network|electronic)$/
  return tokens.every((token) => listWords.test(token))
}

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

/** Labels whose value reads like a module's state: "Result  OK". */
const NO_MODULE = new Set([
  'outcome',
  'progress',
  'codeCount',
  'moduleCount',
  'notes',
  'expiry',
  'documentNumber',
  'money',
  'method',
  'procedure',
  'calibrationData',
])

/** A name beside a state is a module, unless the words are a label of something else ("Ride height  OK"). */
function canNameModule(name: string, vocabulary: Vocabulary): boolean {
  const bare = bareName(name)
  if (/\b(?:that|did|does|are|is|was|were|which|have|has|when|if|took|stood)\b/i.test(bare)) return false
  if (!/\p{L}{2}/u.test(bare) || bare.split(/\s+/).length > 8 || moduleStateOf(bare, vocabulary)) return false
  const tokens = vocabulary.tokens(bare)
  const entries = vocabulary.labels.whole(tokens)
  if (entries.some((entry) => NO_MODULE.has(entry.key))) return false
  if (entries.some((entry) => entry.key === 'preconditions') && tokens.length > 1) return false
  return !announcesList(bare, vocabulary) && findTroubleCodes(bare).length === 0
}

/** Pairs of name and state on a line: `Engine  OK   Transmission  OK`, `Engine: OK`, `✓ Engine`. */
function readPairs(draft: Draft, line: Line): { name: string; cell: Cell }[] {
  const { vocabulary } = draft.sheet
  const pairs: [Cell, ModuleState, Cell, string][] = []
  const isMark = (cell: Cell | undefined) =>
    cell !== undefined && (/^[✓✔√✗✘✕×☑☒]$/.test(cell.text) || draft.legend.states.has(cell.text))
  const isAddress = (cell: Cell | undefined) => cell !== undefined && /^(?:0x)?[0-9A-F]{1,4}h?$/i.test(cell.text)
  // The mark may stand first, with an address between: "F  17  Instrument panel".
  const marksFirst = isMark(line.cells[0])
  line.cells.forEach((cell, i) => {
    const previous = line.cells[i - 1]
    const state = stateOf(draft, cell.text)
    if (state && !marksFirst && isNaming(previous) && canNameModule(previous.text, vocabulary)) {
      pairs.push([previous, state, cell, previous.text])
      return
    }
    const named = isAddress(line.cells[i + 1]) ? line.cells[i + 2] : line.cells[i + 1]
    if (state && marksFirst && isMark(cell) && isNaming(named) && canNameModule(named.text, vocabulary)) {
      pairs.push([named, state, cell, named.text])
      return
    }
    const marked = /^([✓✔√✗✘✕×☑☒])\s*(.+)$|^(.+?)\s*([✓✔√✗✘✕×☑☒])$/.exec(cell.text)
    const mark = marked?.[1] ?? marked?.[4]
    const name = marked?.[2] ?? marked?.[3]
    if (mark && name && canNameModule(name, vocabulary)) {
      const markState = stateOf(draft, mark)
      if (markState) pairs.push([cell, markState, cell, name])
      return
    }
    const split = /^(.{3,60}?)(?::\s+|\s+[-–—=]\s+|\s*\.{2,}\s*)(.+)$/.exec(cell.text)
    const splitState = split?.[2] ? stateOf(draft, split[2]) : null
    if (splitState && split?.[1] && canNameModule(split[1], vocabulary)) pairs.push([cell, splitState, cell, split[1]])
  })
  for (const [nameCell, state, stateCell, name] of pairs)
    addModule(draft, name, state, [nameCell, ...(stateCell === nameCell ? [] : [stateCell])])
  return pairs.map(([cell, , , name]) => ({ name, cell }))
}

/** Codes on a line outside tables, under the heading of their module. */
function readCodeLine(draft: Draft, line: Line, heading: Heading | null, next: Line | undefined): boolean {
  const found = line.cells.flatMap((cell) =>
    findTroubleCodes(cell.text, { strictness: 'usual' }).map((code) => ({ cell, code })),
  )
  if (found.length === 0) return false
  const { vocabulary } = draft.sheet
  for (const { cell, code } of found) {
    const at = line.cells.indexOf(cell)
    const around = splitAround(draft, cell.text, code.start, code.end)
    const before = line.cells
      .slice(0, at)
      .filter((other) => isNaming(other) && statusOf(draft, other.text) === 'unknown')
    const after = line.cells.slice(at + 1)
    let status = around.status
    const texts = [around.text]
    for (const other of [...after].reverse()) {
      const told = status === 'unknown' && other.words.length <= 4 ? statusOf(draft, other.text) : 'unknown'
      if (told !== 'unknown') status = told
      else if (isNaming(other)) texts.push(other.text)
    }
    for (const other of line.cells.slice(0, at)) if (status === 'unknown') status = statusOf(draft, other.text)
    const inline = before.at(-1)
    const module = inline && canNameModule(inline.text, vocabulary) && inline !== cell ? inline : null
    const lead = /^([^:]{3,50}):\s*$/.exec(cell.text.slice(0, code.start))?.[1]
    const led = lead && canNameModule(lead, vocabulary) ? lead : null
    const name = led ?? module?.text ?? heading?.name ?? null
    let text = cleanText(texts.filter((part) => part !== '').join(' '))
    // Text and status may follow beneath the code.
    if (next && next.page === line.page && next.cells.length <= 2 && next.gapAbove < draft.sheet.layout.bodySize) {
      const indented = next.box[0] >= cell.box[0] - 2 && findTroubleCodes(next.text).length === 0
      const state = moduleStateOf(next.text, vocabulary)
      if (indented && text === '' && !state) text = cleanText(next.text)
      if (indented && status === 'unknown') status = statusOf(draft, next.text)
    }
    const reading: CodeReading = { code: code.code, failureType: code.failureType, status }
    if (name !== null) reading.module = name
    if (text !== '') reading.text = text
    addCode(draft, reading, [cell])
    if (name !== null) addModuleOfCode(draft, name, module ? [module] : (heading?.cells ?? [cell]))
  }
  return true
}

interface Heading {
  name: string
  cells: Cell[]
  line: Line
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
  const labelled = new Set(sheet.fields.filter((field) => field.meanings.length > 0).map((field) => field.line))
  let heading: Heading | null = null
  const last = { module: null as string | null }
  sheet.lines.forEach((line, i) => {
    const inTable = rows.get(line.index)
    if (inTable) {
      let used = false
      for (let group = 0; group < groupCount(inTable.table); group++)
        used = readTableRow(draft, inTable.table, inTable.row, group, heading?.name ?? null, last) || used
      if (used) return
    }
    if (consumed.has(line.index)) {
      last.module = null
      heading = null
      return
    }
    if (draft.legend.lines.has(line.index)) return
    if (readCodeLine(draft, line, heading, sheet.lines[i + 1])) return
    if (fieldLines.has(line.index)) {
      if (headLines.has(line.index)) heading = null
      return
    }
    const pairs = readPairs(draft, line)
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
