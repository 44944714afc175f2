/** What a word, a mark or a count says of a module, by the vocabulary and by the legend that the report prints itself. */
import { statusFromWords } from '../code-status.ts'
import type { CodeStatus, ModuleState } from '../document.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Vocabulary } from '../vocabulary.ts'
import type { Sheet } from './sheet.ts'

const COUNT =
  /^\(?(\d{1,3}|no|none|zero)\)?\s*(?:x\s*)?(?:active |stored |current )?(?:dtcs?|codes?|faults?|errors?|entr(?:y|ies)|trouble codes?|fault codes?|events?)?(?:\s*(?:found|stored|present|active|held|logged|set|open|recorded|registered|kept|noted|saved|current))?\)?$/i

/** What a text says of a whole module; null when it is no such statement. `lenient` accepts words around the statement. */
export function moduleStateOf(text: string, vocabulary: Vocabulary, lenient = false): ModuleState | null {
  const halves = text.split(/\s\/\s/)
  if (halves.length === 2) {
    // "i.O. / OK": said in two languages, of which one is known.
    const told = new Set(halves.flatMap((half) => moduleStateOf(half, vocabulary) ?? []))
    if (told.size === 1) return [...told][0] ?? null
  }
  const bare = text.replace(/[\s.]+$/, '')
  // "Clear, no faults": the same said twice.
  const clauses = bare.split(/\s*[,;]\s+|\s+[-–—]\s+/)
  if (clauses.length === 2) {
    const told = clauses.map((clause) => vocabulary.moduleStates.whole(vocabulary.tokens(clause))[0]?.key ?? null)
    if (told[0] && told[0] === told[1]) return told[0]
  }
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

/** Marks that the report explains itself: "ST: CUR current, HIS history", "- no fault  F fault  N/F not fitted". */
export interface Legend {
  statuses: Map<string, CodeStatus>
  states: Map<string, ModuleState>
  /** Indices of the lines that explain. */
  lines: Set<number>
}

const LEGEND_PART =
  /^(?:[A-Za-z]{1,8}:\s+)?([A-Z][A-Z/]{0,4}|[-–—*+!○●✓✔√✗✘✕×☑☒]|[a-z])(?:\s*[=:]\s*|\s+(?:[-–=]\s+|means\s+|is\s+)?)(\S.*)$/

/** The marks that a document explains, with the lines that explain them. */
export function readLegend(sheet: Sheet): Legend {
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
