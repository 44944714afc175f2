/** Modules and codes outside tables: pairs of name and state, and codes beneath the heading of their module. */
import type { CodeReading, ModuleState } from '../document.ts'
import type { Cell, Line } from '../layout.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { canNameModule } from './module-names.ts'
import {
  addCode,
  addModule,
  addModuleOfCode,
  addTestState,
  cleanText,
  type Draft,
  listedModule,
  splitAround,
  stateOf,
  statusOf,
} from './scan-draft.ts'
import { moduleStateOf } from './scan-states.ts'
import { isNaming } from './sheet.ts'

/** The name that codes and states beneath it belong to. */
export interface Heading {
  name: string
  cells: Cell[]
  line: Line
}

/** Pairs of name and state on a line: `Engine  OK   Transmission  OK`, `Engine: OK`, `✓ Engine`. */
export function readPairs(draft: Draft, line: Line, next: Line | undefined): { name: string; cell: Cell }[] {
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
    const said = split?.[2]
    const splitState = said ? (stateOf(draft, said) ?? stateOf(draft, said + wordsBeneath(cell, line, next))) : null
    if (splitState && split?.[1] && canNameModule(split[1], vocabulary)) pairs.push([cell, splitState, cell, split[1]])
  })
  for (const [nameCell, state, stateCell, name] of pairs)
    addModule(draft, name, state, [nameCell, ...(stateCell === nameCell ? [] : [stateCell])])
  return pairs.map(([cell, , , name]) => ({ name, cell }))
}

/** What stands beneath a cell that breaks off with a slash: " FAULT" beneath "Front camera: AVERÍA /". */
function wordsBeneath(cell: Cell, line: Line, next: Line | undefined): string {
  if (!/\s\/$/.test(cell.text) || next?.page !== line.page || next.box[1] - cell.box[3] > cell.size) return ''
  const beneath = next.cells.find((other) => Math.abs(other.box[0] - cell.box[0]) < 3)
  return beneath ? ` ${beneath.text}` : ''
}

/** "P0A1F in Drive Unit, stored": the module that a sentence names right behind the code, and how much of it that takes. */
function moduleBehind(text: string, vocabulary: Vocabulary): { name: string; length: number } | null {
  const [all, name] = /^,? in (?:the )?(\p{Lu}[^,;:()]{1,48}?)(?= [-–—] |[,;:(]|\.?$)/u.exec(text) ?? []
  if (all === undefined || name === undefined || !canNameModule(name, vocabulary)) return null
  return { name, length: all.length }
}

/** What is said of a code on its line, and on the line beneath where that names no other. */
function aroundOf(text: string, line: Line, next: Line | undefined): string {
  const goesOn =
    next !== undefined &&
    next.page === line.page &&
    next.box[0] >= line.box[0] - 2 &&
    next.gapAbove < line.size &&
    findTroubleCodes(next.text).length === 0
  return goesOn ? `${text} | ${next.text}` : text
}

/** Codes on a line outside tables, under the heading of their module. */
export function readCodeLine(draft: Draft, line: Line, heading: Heading | null, next: Line | undefined): boolean {
  const found = line.cells.flatMap((cell) =>
    findTroubleCodes(cell.text, { strictness: 'usual' }).map((code) => ({ cell, code })),
  )
  if (found.length === 0) return false
  const { vocabulary } = draft.sheet
  for (const { cell, code } of found) {
    const at = line.cells.indexOf(cell)
    const within = moduleBehind(cell.text.slice(code.end), vocabulary)
    const around = splitAround(draft, cell.text, code.start, code.end + (within?.length ?? 0))
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
    // A label with its value in the column beside ("Work order: OT-5560") names no module.
    const isField = inline !== undefined && /\S:\s+\S/.test(inline.text)
    const module = inline && !isField && canNameModule(inline.text, vocabulary) && inline !== cell ? inline : null
    const lead = /^([^:]{3,50}):\s*$/.exec(cell.text.slice(0, code.start))?.[1]
    const led = lead && canNameModule(lead, vocabulary) ? lead : null
    // Behind the code may stand the name of a module that the list above holds: "U0155   Brakes [pending]".
    const behind = [around.text, ...after.map((other) => other.text)]
    const listed = behind.map((part) => listedModule(draft, part)).find((found) => found !== null)
    const onLine = led ?? within?.name ?? null
    const name = onLine ?? module?.text ?? listed ?? heading?.name ?? null
    const words = texts.filter((part) => part !== '' && (name !== listed || listedModule(draft, part) === null))
    let text = cleanText(words.join(' '))
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
    addTestState(reading, {
      around: aroundOf(found.length === 1 ? line.text : around.text, line, next),
      behind: cell.text.slice(code.end, code.end + 4),
    })
    addCode(draft, reading, [cell])
    const named = module ? [module] : (heading?.cells ?? [cell])
    if (name !== null) addModuleOfCode(draft, name, onLine === null ? named : [cell])
  }
  return true
}
