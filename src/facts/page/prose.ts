/**
 * Labels inside sentences: "… registration HKD 481, its odometer showing 27 438 km, were aimed by Ilse Maronne …".
 * A sentence runs over several lines, so lines of a paragraph are joined first. Only values of a telling shape right behind
 * the label count, and every such field ranks behind whatever a form or table says.
 */
import { type Layout, type Line, placeOf } from '../layout.ts'
import type { Word } from '../reading.ts'
import type { LabelKey, Vocabulary } from '../vocabulary.ts'
import type { Field } from './fields.ts'

const PROSE_RANK = 2000
const FILLER =
  /^(?:was|were|is|are|of|at|on|to|by|in|the|a|an|its|it|showing|shows|showed|stood|stands|reads?|reading|being|under|with|for|from|as|bears?|had|has|number|no|no\.|:|"|')$/i

const IDENTIFIER = /^[("']*(?=[A-Z0-9./#-]*\d)[A-Z0-9][A-Z0-9./#-]*[),.;"']*$/
const NAME = /^\p{Lu}[\p{L}'’-]+[,.;)]*$/u

/** The words of each paragraph of at least eight words, with the line that each stands on. */
export function findParagraphs(layout: Layout): { word: Word; line: Line }[][] {
  const found: { word: Word; line: Line }[][] = []
  let current: Line[] = []
  const flush = () => {
    const words = current.flatMap((line) => line.cells.flatMap((cell) => cell.words.map((word) => ({ word, line }))))
    if (words.length >= 8) found.push(words)
    current = []
  }
  for (const line of layout.lines) {
    const last = current.at(-1)
    const cell = line.cells[0]
    const prose =
      line.furniture === null &&
      line.cells.length === 1 &&
      cell !== undefined &&
      cell.words.length >= 2 &&
      !cell.words.some((word) => word.cell)
    const goesOn =
      prose &&
      last !== undefined &&
      last.page === line.page &&
      Math.abs((last.cells[0]?.box[0] ?? 0) - cell.box[0]) < 2 &&
      Math.abs(last.size - line.size) < 0.6 &&
      line.gapAbove < 1.1 * line.size
    if (!goesOn) flush()
    if (prose) current.push(line)
  }
  flush()
  return found
}

/** "27 438 km": words up to a unit of distance. */
function lengthToUnit(text: (i: number) => string, at: number): number {
  for (let n = 0; n < 4; n++) if (/^(?:\d[\d.,]*)?(?:mi|miles|km|kilomet\w+)[,.;)]*$/i.test(text(at + n))) return n + 1
  return 0
}

/** How many words from `at` on make a value of `key`; 0 when they make none. */
function valueLength(key: LabelKey, words: readonly Word[], at: number): number {
  const text = (i: number) => words[i]?.text ?? ''
  switch (key) {
    case 'vin':
    case 'jobNumber':
    case 'claimNumber':
    case 'serial':
    case 'instrumentSerial':
    case 'instrumentSoftware':
    case 'part':
    case 'plate': {
      // "NP 5521-903", "HKD 481": letters first, then what holds the digits.
      let end = at
      while (end < at + 4 && /^[("']*[A-Z0-9][A-Z0-9./#-]*$/.test(text(end)) && !IDENTIFIER.test(text(end))) end++
      if (!IDENTIFIER.test(text(end))) return 0
      while (
        end < at + 4 &&
        /[A-Z0-9]$/.test(text(end)) &&
        /^[A-Z0-9][A-Z0-9./-]*[),.;]*$/.test(text(end + 1)) &&
        /\d/.test(text(end + 1))
      )
        end++
      // "BK21 LMO": the letters of a plate may follow its digits.
      if (key === 'plate' && /[A-Z0-9]$/.test(text(end)) && /^(?!VIN|KM|MI)[A-Z]{1,3}[),.;]*$/.test(text(end + 1)))
        end++
      return end - at + 1
    }
    case 'technician':
      return NAME.test(text(at)) && !/[.,;]$/.test(text(at)) && NAME.test(text(at + 1)) ? 2 : 0
    case 'odometer':
      return /^\d/.test(text(at)) ? lengthToUnit(text, at) : 0
    case 'progress':
      return /^\d{1,3}(?:%|$)/.test(text(at)) && (/%/.test(text(at)) || /^(?:%|percent)/i.test(text(at + 1))) ? 2 : 0
    case 'started':
    case 'ended':
    case 'date':
      return /\d/.test(`${text(at)} ${text(at + 1)}`) ? Math.min(7, words.length - at) : 0
    case 'batteryVolts':
      return /^\d{1,2}[.,]\d/.test(text(at)) &&
        /^\d{1,2}[.,]\d+V|^V/i.test(`${text(at)}${text(at + 1)}`.replace(/^[\d.,]+/, ''))
        ? 2
        : 0
    case 'duration':
      return /^\d/.test(text(at)) && /^(?:min|minutes?|s|sec\w*|h|hours?)/i.test(text(at + 1)) ? 4 : 0
    default:
      return 0
  }
}

/** The labelled values of running text, ranked behind those of forms and tables. */
export function findProseFields(layout: Layout, vocabulary: Vocabulary): Field[] {
  const fields: Field[] = []
  for (const located of findParagraphs(layout)) {
    const words = located.map(({ word }) => word)
    const tokens = words.map((word) => vocabulary.tokens(word.text))
    for (let at = 0; at < words.length; at++) {
      const flat = tokens.slice(at, at + 6).flat()
      const ends: number[] = []
      let sum = 0
      for (let i = at; i < Math.min(words.length, at + 6); i++) {
        sum += tokens[i]?.length ?? 0
        ends[sum] = i + 1
      }
      const hit = vocabulary.labels
        .allAt(flat, 0)
        .filter(({ length }) => ends[length] !== undefined)
        .at(-1)
      if (!hit) continue
      const to = ends[hit.length] ?? at + 1
      // "… of this vehicle, serial number 4711": a label does not reach over a comma.
      if (words.slice(at, to - 1).some((word) => /[,;:]$/.test(word.text))) continue
      // A sentence ends between label and value: not this value.
      if (/[.;]$/.test(words[to - 1]?.text ?? '') && !/^(?:no|nr)\.$/i.test(words[to - 1]?.text ?? '')) continue
      let value = to
      while (value < to + 4 && FILLER.test(words[value]?.text ?? '')) value++
      for (const entry of [...hit.entries].sort((a, b) => a.rank - b.rank)) {
        const length = valueLength(entry.key, words, value)
        if (length === 0) continue
        const taken = located.slice(value, value + length)
        const first = taken[0]
        if (!first) continue
        const onLine = taken.filter(({ line }) => line === first.line).map(({ word }) => word)
        const label = words.slice(at, to)
        fields.push({
          meanings: [{ key: entry.key, rank: entry.rank + PROSE_RANK }],
          label: label.map((word) => word.text).join(' '),
          value: taken
            .map(({ word }) => word.text)
            .join(' ')
            .replace(/^[("']+|[),.;"']+$/g, ''),
          words: taken.map(({ word }) => word),
          page: first.line.page,
          line: located[at]?.line.index ?? first.line.index,
          arrangement: 'inline',
          place: placeOf(first.line.page, onLine),
          labelPlace: placeOf(first.line.page, label),
        })
      }
      at = to - 1
    }
  }
  return fields
}
