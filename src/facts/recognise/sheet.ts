/** A document as the recognisers share it: its layout, tables, labels with values, and where each fact was read. */
import { dayMonthEvidence, settleDayMonth } from '../date-text.ts'
import type { DateReading } from '../document.ts'
import { isIllegible } from '../illegible.ts'
import type { Cell, Layout, Line } from '../layout.ts'
import { unfoldCards } from '../page/cards.ts'
import { type Field, findFields } from '../page/fields.ts'
import { isFieldLine } from '../page/label-spots.ts'
import { setUpright } from '../page/sideways.ts'
import { findTables, type Table } from '../page/tables.ts'
import type { Place } from '../reading.ts'
import { readDates } from '../time.ts'
import type { LabelKey, Vocabulary } from '../vocabulary.ts'
import type { ZoneContext } from '../zone-words.ts'

export interface Sheet {
  vocabulary: Vocabulary
  layout: Layout
  /** Lines without page headers and footers that were there before. */
  lines: Line[]
  tables: Table[]
  fields: Field[]
  /** Order of day and month that the document's own dates prove; null when none does. */
  dayFirst: boolean | null
  /** Continent whose zone abbreviations count, as far as the document shows where it was made. */
  zoneContext: ZoneContext
  /** `,` where the document writes 0,25. */
  decimal: ',' | '.' | null
  evidence: Record<string, Place[]>
}

/** A state or province behind a town, a North American currency, or a VIN assigned there (first character 1 to 5 or 7). */
const NORTH_AMERICA =
  /,\s?(?:A[BLKRZ]|BC|C[AOT]|D[CE]|FL|GA|HI|I[ADLN]|K[SY]|LA|M[ABDEINOST]|N[BCDEHJLMSTUVY]|O[HKNR]|P[AE]|QC|RI|S[CDK]|T[NX]|UT|V[AT]|W[AIVY]|YT)\b|\b(?:USD|CAD)\b|(?:US|CA|C)\$|\b[1-57][A-HJ-NPR-Z0-9]{12}\d{4}\b/

/** A currency of Europe, a British post code, a British registration mark behind its label (DVLA, INF104). */
const EUROPE =
  /[£€]|\b(?:GBP|EUR)\b|\b[A-Z]{1,2}\d[A-Z\d]? \d[ABD-HJLNP-UW-Z]{2}\b|\bReg(?:istration|n)?\b[^\n]{0,24}\b[A-Z]{2}\d{2} ?[A-Z]{3}\b/

/** Where a document was made, as far as it shows: its money and addresses before the vehicle, which may come from elsewhere. */
function zoneContextOf(text: string): ZoneContext {
  if (EUROPE.test(text)) return 'europe'
  return NORTH_AMERICA.test(text) ? 'north-america' : null
}

/** Lines that a table of at least two rows has claimed. */
function tableLines(tables: readonly Table[]): Set<number> {
  const lines = new Set<number>()
  for (const table of tables) {
    if (table.rows.length < 2) continue
    lines.add(table.header.index)
    if (table.headerBeneath) lines.add(table.headerBeneath.index)
    for (const row of table.rows) {
      lines.add(row.line.index)
      for (const line of row.continued) lines.add(line.index)
    }
  }
  return lines
}

function decimalMark(text: string): ',' | '.' | null {
  const commas = text.match(/(?<![\d.,])\d{1,3},\d{1,2}(?![\d,])/g)?.length ?? 0
  const points = text.match(/(?<![\d.,/-])\d{1,5}\.\d{1,2}(?![\d.])/g)?.length ?? 0
  if (commas > 2 * points && commas > 1) return ','
  return points > commas ? '.' : null
}

/** Reads a layout into tables and labelled values. */
export function readSheet(printed: Layout, vocabulary: Vocabulary): Sheet {
  const layout = setUpright(unfoldCards(printed, vocabulary), vocabulary)
  const lines = layout.lines.filter((line) => line.furniture === null)
  const tables = findTables(layout, vocabulary, (line) => isFieldLine(line, vocabulary))
  const taken = tableLines(tables)
  const text = lines.map((line) => line.text).join('\n')
  const order = dayMonthEvidence(text)
  return {
    vocabulary,
    layout,
    lines,
    tables,
    fields: findFields(layout, vocabulary, (line) => taken.has(line.index)),
    dayFirst: order === null ? null : order === 'day-first',
    zoneContext: zoneContextOf(text),
    decimal: decimalMark(text),
    evidence: {},
  }
}

/** Fields that can mean `key`, the plainest label first, then in reading order. */
export function fieldsFor(sheet: Sheet, key: LabelKey, from = 0, to = Number.POSITIVE_INFINITY): Field[] {
  const rank = (field: Field) => field.meanings.find((meaning) => meaning.key === key)?.rank ?? Number.POSITIVE_INFINITY
  return (
    sheet.fields
      .filter((field) => field.line >= from && field.line < to && rank(field) < Number.POSITIVE_INFINITY)
      // A value that is read in part is none.
      .filter((field) => !isIllegible(field.value))
      .sort((a, b) => rank(a) - rank(b) || a.line - b.line)
  )
}

/** A value with the unit that its label or heading states in brackets: `12.9` under "Battery (V)" is `12.9 V`. */
export function withUnit(label: string, value: string): string {
  const unit = /[([]\s*([^)\]\d\s]{1,10})\s*[)\]]\W*$/.exec(label)?.[1]
  return unit !== undefined && /^[+−–-]?\d[\d.,'\s]*$/.test(value) ? `${value} ${unit}` : value
}

/** Records where a fact was read. */
export function note(sheet: Sheet, path: string, ...places: Place[]): void {
  const have = sheet.evidence[path]
  if (have) have.push(...places)
  else sheet.evidence[path] = places
}

/** The dates of a text, in the document's own order of day and month. */
export function datesIn(sheet: Sheet, text: string): DateReading[] {
  // Where day and month are set apart by points, the day stands first, everywhere that it is written so.
  return readDates(text, { dayFirst: sheet.dayFirst, context: sheet.zoneContext }).map(({ reading }) =>
    reading.alternatives && /\b\d{1,2}\.\s?\d{1,2}\.\s?\d{2,4}/.test(reading.text)
      ? settleDayMonth(reading, true)
      : reading,
  )
}

/**
 * A number or mark without the words that go on behind it: "6614 for the 2024 Durnholt" is 6614, "YT-88. Progress" is YT-88.
 */
export function identifierIn(value: string): string {
  const words = value
    .replace(/\s*[([].*$/, '')
    .replace(/,.*$/, '')
    .split(/\s+/)
  // Behind a word with a colon the next label's value stands: "RKT 2207 In: 48,219".
  const stops = (word: string) => /^[a-z]{2,}$|^\p{L}[\p{L}.]*:$/u.test(word)
  const end = words.findIndex((word, i) => i > 0 && (stops(word) || /\d[.;]$/.test(words[i - 1] ?? '')))
  return (end < 0 ? words : words.slice(0, end)).join(' ').replace(/[\s,;.]+$/, '')
}

/** The text of a cell without line numbers, bullets and rulers before it. */
export function bareName(text: string): string {
  return text
    .replace(/^(?:\d{1,3}[.)]?\s+|\[\d{1,3}\]\s*|[>*•·▪●○■□►»+#-]+\s*)+/, '')
    .replace(/[\s:.…·–—-]+$/, '')
    .trim()
}

/** Whether a cell holds letters enough to name something. */
export function isNaming(cell: Cell | undefined): cell is Cell {
  return cell !== undefined && /\p{L}{2}/u.test(cell.text)
}
