/** The scan as it is put together: modules and codes found so far, each once, with what a later mention adds. */
import { statusFromWords } from '../code-status.ts'
import type { CodeReading, CodeStatus, ModuleReading, ModuleState } from '../document.ts'
import { type Cell, placeOfCells } from '../layout.ts'
import type { Place } from '../reading.ts'
import { testStateFromByte, testStateFromWords } from '../since-clear.ts'
import { statusFromByte } from '../trouble-code-bytes.ts'
import { type Legend, moduleStateOf } from './scan-states.ts'
import { positionOf, sensorOf, systemOf } from './sensors.ts'
import { bareName, type Sheet } from './sheet.ts'

export interface ScanFacts {
  modules: { reading: ModuleReading; place: Place }[]
  codes: { reading: CodeReading; place: Place }[]
}

export interface Draft {
  sheet: Sheet
  facts: ScanFacts
  legend: Legend
}

/** What a cell says of a module, by the report's own legend first. */
export function stateOf(draft: Draft, text: string, lenient = false): ModuleState | null {
  return draft.legend.states.get(text.trim()) ?? moduleStateOf(text, draft.sheet.vocabulary, lenient)
}

/** What a cell says of a code, by the report's own legend first. */
export function statusOf(draft: Draft, text: string): CodeStatus {
  const mark = draft.legend.statuses.get(text.trim())
  return mark ?? statusFromWords(text)
}

const sameName = (a: string, b: string) =>
  a.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '') === b.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '')

/** Adds a module once; a later mention that knows more (a fault, any state at all) changes its state. */
export function addModule(draft: Draft, rawName: string, state: ModuleState, cells: readonly Cell[]): void {
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

/** Adds a code once a module; a later mention adds the status or text that the first one lacked. */
export function addCode(draft: Draft, code: CodeReading, cells: readonly Cell[]): void {
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
    twin.reading.statusByte ??= code.statusByte
    twin.reading.test ??= code.test
    return
  }
  draft.facts.codes.push({ reading: code, place: placeOfCells(cells) })
}

/** The module listed before whose name a text is, but for brackets behind it; null where none is. */
export function listedModule(draft: Draft, text: string): string | null {
  const name = text.replace(/\s*[([][^)\]]*[)\]]$/, '')
  if (!/\p{L}{2}/u.test(name)) return null
  return draft.facts.modules.find(({ reading }) => sameName(reading.name, name))?.reading.name ?? null
}

/** A code's text without the punctuation that parted it from its neighbours. */
export const cleanText = (text: string) => text.replace(/^[\s:.,;–—()[\]-]+|[\s:,;–—([-]+$/g, '').trim()

/** What is said of a code stands near it: in a line of thousands of codes not all of the line is said of each. */
const NEAR = 300

/** The text and status that stand around a code in one cell: `C1C02-29 Wheel speed implausible (Stored)`. */
export function splitAround(
  draft: Draft,
  text: string,
  start: number,
  end: number,
): { text: string; status: CodeStatus } {
  let rest = `${text.slice(Math.max(0, start - NEAR), start)} ${text.slice(end, end + NEAR)}`
  const bracketed = /[([]([^)\]]{2,40})[)\]]/.exec(rest)
  if (bracketed?.[1]) {
    const status = statusOf(draft, bracketed[1])
    if (status !== 'unknown') return { text: cleanText(rest.replace(bracketed[0], ' ')), status }
  }
  for (const part of rest.split(/\s+[-–—|·/]\s+|,\s+|;\s*|:\s+/).reverse()) {
    const status = part.trim().split(/\s+/).length <= 4 ? statusOf(draft, part) : 'unknown'
    if (status !== 'unknown') {
      rest = rest.replace(part, ' ')
      return { text: cleanText(rest.replace(/\s+/g, ' ')), status }
    }
  }
  return { text: cleanText(rest.replace(/\s+/g, ' ')), status: 'unknown' }
}

/** A byte that is called one, or written as one: "status byte 2F", "status 0x2F", "0x2F", "2Fh". */
const STATUS_BYTE =
  /\bstatus(?: byte| mask)? ?[:=]? ?0x([0-9A-F]{2})(?![0-9A-Z])|\bstatus (?:byte|mask) ?[:=]? ?([0-9A-F]{2})h?(?![0-9A-Z])/i
const WRITTEN_BYTE = /^(?:0x([0-9A-F]{2})|([0-9A-F]{2})h)$/i

/**
 * Adds what a status byte and words about the test tell of a code. `column`: the cell under a heading for status bytes;
 * `status`: the cell under one for statuses; `around`: all that is said of this code alone; `behind`: what is tied to it.
 */
export function addTestState(
  code: CodeReading,
  { column, status, around, behind }: { column?: string; status?: string; around: string; behind?: string },
): void {
  const written = WRITTEN_BYTE.exec(status?.trim() ?? '')
  const called = STATUS_BYTE.exec(around)
  const tied = code.failureType === null ? null : /^[-:/]([0-9A-F]{2})(?![-A-Za-z0-9/.])/i.exec(behind ?? '')
  const byte =
    /^(?:0x)?([0-9A-F]{2})h?$/i.exec(column?.trim() ?? '')?.[1] ??
    written?.[1] ??
    written?.[2] ??
    called?.[1] ??
    called?.[2] ??
    tied?.[1]
  if (byte !== undefined) {
    code.statusByte = byte.toUpperCase()
    if (code.status === 'unknown') code.status = statusFromByte(byte)
  }
  const test = (byte === undefined ? null : testStateFromByte(byte)) ?? testStateFromWords(around)
  if (test !== null) code.test = test
}

/** A module that holds a code has a fault, whatever else is said of it. */
export function addModuleOfCode(draft: Draft, name: string, cells: readonly Cell[]): void {
  addModule(draft, name, 'fault', cells)
}
