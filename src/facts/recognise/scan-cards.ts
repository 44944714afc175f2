/**
 * Modules and codes as cards. A module: its name on a line of its own, beneath it what identifies it and its state ("Brakes"
 * over "Unit 03   Part 4174-B   No faults"). A code as a card: one fact a line under labels of its own ("Module: Brakes", "Code: C0040", "Status: active"), as lists of
 * one record are set out and as some reports set out every code.
 */
import type { CodeReading } from '../document.ts'
import type { Cell, Line } from '../layout.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { ColumnRole } from '../vocabulary.ts'
import { canNameModule } from './module-names.ts'
import { addCode, addModule, addModuleOfCode, cleanText, type Draft, stateOf, statusOf } from './scan-draft.ts'
import type { Heading } from './scan-lines.ts'
import { isNaming } from './sheet.ts'

interface CardLine {
  line: Line
  label: string
  roles: readonly ColumnRole[]
  value: Cell
}

/** A line of one label, set off by a colon, and one value. */
function readCardLine(draft: Draft, line: Line): CardLine | null {
  const [first, value, more] = line.cells
  if (!first || !value || more || !/:$/.test(first.text)) return null
  const { vocabulary } = draft.sheet
  const tokens = vocabulary.tokens(first.text.slice(0, -1))
  const roles = [...vocabulary.columns.whole(tokens)].sort((a, b) => a.rank - b.rank).map(({ key }) => key)
  return { line, label: tokens.join(' '), roles, value }
}

/** The lines of a card that starts at `from`: until its first label stands again, or something else than a fact follows. */
function gatherCard(draft: Draft, lines: readonly Line[], from: number): CardLine[] {
  const card: CardLine[] = []
  for (const line of lines.slice(from, from + 12)) {
    const one = readCardLine(draft, line)
    if (!one || card.some(({ label }) => label === one.label)) break
    const above = card.at(-1)?.line
    if (above && (above.page !== line.page || line.gapAbove > draft.sheet.layout.bodySize)) break
    card.push(one)
  }
  return card
}

/** Reads the card that starts at line `from`; how many lines it took, 0 where none starts there. */
export function readCodeCard(draft: Draft, lines: readonly Line[], from: number): number {
  const card = gatherCard(draft, lines, from)
  const at = (role: ColumnRole) => card.find(({ roles }) => roles.includes(role))
  const coded = card.find(({ roles, value }) => roles.includes('code') && findTroubleCodes(value.text).length === 1)
  if (!coded || card.length < 2) return 0
  const [code] = findTroubleCodes(coded.value.text, { strictness: 'loose' })
  const status = card.find((one) => one !== coded && one.roles.includes('status'))
  if (!code || (!status && !at('text'))) return 0
  const module = at('module')
  const type = /^(?:0x)?([0-9A-F]{2})h?$/i.exec(at('failureType')?.value.text ?? '')?.[1]?.toUpperCase()
  const reading: CodeReading = {
    code: code.code,
    failureType: code.failureType ?? type ?? null,
    status: status ? statusOf(draft, status.value.text) : 'unknown',
  }
  const text = cleanText(at('text')?.value.text ?? '')
  if (text !== '') reading.text = text
  if (module && module !== coded && isNaming(module.value)) reading.module = module.value.text
  addCode(draft, reading, [coded.value])
  if (reading.module !== undefined && module) addModuleOfCode(draft, reading.module, [module.value])
  return card.length
}

/** What a module is known by besides its name: "Unit 03", "Part 4174-B", "SW 2.11", "0x7E0". */
function identifies({ sheet: { vocabulary } }: Draft, text: string): boolean {
  const words = text.split(/\s+/)
  const at = words.findIndex((word) => /\d/.test(word))
  if (at < 0 || words.length - at > 2) return false
  const label = vocabulary.tokens(words.slice(0, at).join(' '))
  if (label.length === 0) return words.length === 1
  const known = [...vocabulary.columns.whole(label), ...vocabulary.labels.whole(label)]
  return known.some(({ key }) =>
    ['address', 'module', 'part', 'serial', 'lineNumber', 'instrumentSoftware'].includes(key),
  )
}

const partsOf = (line: Line) => line.cells.flatMap(({ text }) => text.split(/\s+[·•|]\s+/))

/** A line that tells by what the module named above it is known, and nothing else. */
export function isModulePart(draft: Draft, line: Line, above: Heading | null): boolean {
  return (
    above !== null &&
    line.gapAbove < draft.sheet.layout.bodySize &&
    partsOf(line).every((part) => identifies(draft, part))
  )
}

/** Reads the line beneath a module's name that tells by what it is known, and last its state; whether it was one. */
export function readModuleCard(draft: Draft, line: Line, above: Heading | null): boolean {
  const parts = partsOf(line)
  const said = parts.pop()
  if (!above || said === undefined || parts.length === 0 || line.page !== above.line.page) return false
  const state = stateOf(draft, said)
  if (!state || line.gapAbove >= draft.sheet.layout.bodySize || !parts.every((part) => identifies(draft, part)))
    return false
  if (!canNameModule(above.name, draft.sheet.vocabulary)) return false
  addModule(draft, above.name, state, [...above.cells, ...line.cells])
  return true
}
