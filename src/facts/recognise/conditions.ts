/**
 * Conditions that a record states: battery support, tires, fuel and load, ride height, steering, floor, targets, light. They
 * stand behind labels, in a list of steps, among measured values, or in a sentence beneath it all. A sentence counts only
 * where it names the condition and says something of it; an instruction never does.
 */
import type { CalibrationReading, Condition, ConditionKind, DocumentFacts, MeasuredValue } from '../document.ts'
import { boxAround, placeOf, placeOfCells } from '../layout.ts'
import type { Field } from '../page/fields.ts'
import { findParagraphs } from '../page/prose.ts'
import { readVolts } from '../quantity.ts'
import type { Place, Word } from '../reading.ts'
import { callOf, figureOf, isUnitOf, recordsNothing, says, supportOf } from './condition-words.ts'
import { note, type Sheet, withUnit } from './sheet.ts'
import { readTirePressures } from './tire-pressures.ts'
import { readTireTables } from './tire-tables.ts'

interface Found {
  condition: Condition
  places: Place[]
}

/** A scan lists modules by the same words; only its supply is read here. */
const SUPPLY: ReadonlySet<ConditionKind> = new Set<ConditionKind>(['battery-support', 'supply-volts'])
/** Conditions whose figures stand among a calibration's measured values. */
const MEASURED: ReadonlySet<ConditionKind> = new Set<ConditionKind>([
  'ride-height',
  'steering-zero',
  'floor',
  'target-distance',
  'target-height',
  'target-position',
])
/** Words of a label that do not change what it names. */
const FILLING =
  /^(?:of|the|in|at|on|all|four|and|before|after|start|work|calibration|during|set|cold|measured|wheels|state|check|front|rear|left|right|axle|lf|rf|lr|rr|fl|fr|rl|kpa|psi|bar|mm|no|used|connected)$/
/** The supply at the time of a fault is not that of the work. */
const SNAPSHOT = /freeze|frame|snapshot|when set|at fault/i

const isCondition = (kind: ConditionKind | 'placard'): kind is ConditionKind => kind !== 'placard'

/** Nobody states a condition in more characters. */
const LONGEST = 300

const shorten = (text: string) => (text.length > 200 ? `${text.slice(0, 199)}…` : text)

/** The kinds that a text names, each once, the longest phrase first. */
function kindsIn(sheet: Sheet, text: string): (ConditionKind | 'placard')[] {
  const hits = sheet.vocabulary.conditions.within(sheet.vocabulary.tokens(text))
  return [...new Set(hits.flatMap(({ entries }) => entries.map(({ key }) => key)))]
}

/** The kinds that a label names; none where most of its words name something else. */
function kindsOfLabel(sheet: Sheet, label: string): (ConditionKind | 'placard')[] {
  const tokens = sheet.vocabulary.tokens(label.replace(/[([][^)\]]*[)\]]/g, ' '))
  const hits = sheet.vocabulary.conditions.within(tokens)
  const covered = hits.reduce((sum, { length }) => sum + length, 0)
  const inHits = new Set(hits.flatMap(({ from, length }) => Array.from({ length }, (_, i) => from + i)))
  const others = tokens.filter((token, i) => !inHits.has(i) && !FILLING.test(token)).length
  return covered > others ? kindsIn(sheet, label) : []
}

/** What some words say of one kind of condition; empty where they say nothing of it. */
function conditionsFrom(sheet: Sheet, kind: ConditionKind, text: string, label: string, placard: string): Condition[] {
  const style = { decimal: sheet.decimal }
  const printed = shorten(text)
  if (text.length > LONGEST) return []
  if (kind === 'battery-support') {
    const stated = supportOf(text)
    return stated === null ? [] : [{ about: kind, text: printed, stated }]
  }
  if (recordsNothing(text)) return []
  const stated = callOf(text)
  if (kind === 'tire-pressure') {
    const pressures = readTirePressures(text, label, placard, style)
    if (pressures.length > 0)
      return pressures.map((one) => ({ ...one, text: printed, ...(stated === null ? {} : { stated }) }))
  }
  if (!says(kind, text, style)) return []
  return [{ about: kind, text: printed, ...figureOf(kind, text, style), ...(stated === null ? {} : { stated }) }]
}

/** The value of a label for the placard alone: it belongs to the pressures of another label. */
function placardOf(sheet: Sheet, pairs: readonly Pair[]): string {
  const isPlacard = (label: string) => kindsOfLabel(sheet, label).join() === 'placard'
  return (
    sheet.fields.find(({ label }) => isPlacard(label))?.value ??
    pairs.find(({ label }) => isPlacard(label))?.value ??
    ''
  )
}

/** Name and value in neighbouring cells of a line that no label claimed: a list of conditions may look like a table. */
interface Pair {
  label: string
  value: string
  words: Word[]
  place: Place
}

function findPairs(sheet: Sheet): Pair[] {
  return sheet.lines.flatMap((line) =>
    line.cells.flatMap((cell, i): Pair[] => {
      const next = line.cells[i + 1]
      const label = cell.text.replace(/[\s.:…]+$/, '')
      const kinds = kindsOfLabel(sheet, label).filter(isCondition)
      // "Bed empty  PASS" says it in the first cell.
      if (next === undefined || /\d/.test(label) || kinds.some((kind) => says(kind, label, {}))) return []
      // A row of a table may set out what is wanted before what was measured.
      if (line.cells.length > 2 && kinds.some((kind) => MEASURED.has(kind) && kind !== 'ride-height')) return []
      return [{ label, value: next.text, words: next.words, place: placeOfCells([cell, next]) }]
    }),
  )
}

/** A value that was cut at a word which is a label elsewhere: "FL 240 FR 240 kPa, placard 240" goes on to the cell's end. */
function wholeValue(sheet: Sheet, field: Field): string {
  const last = field.words.at(-1)
  const cell = sheet.layout.lines[field.line]?.cells.find(({ words }) => last !== undefined && words.includes(last))
  if (cell === undefined || last === undefined) return field.value
  const more = cell.words.slice(cell.words.indexOf(last) + 1)
  const end = more.findIndex(({ text }) => /[:=]$/.test(text))
  return /^\W*placard\b/i.test(more[0]?.text ?? '')
    ? `${field.value} ${textOfWords(end < 0 ? more : more.slice(0, end))}`
    : field.value
}

/** "13.6 V (charger connected)" beside the battery, "On, 13.6 V" beside its support. */
function fromSupply(sheet: Sheet, field: Field, printed: number | undefined): Condition[] {
  if (SNAPSHOT.test(sheet.layout.lines[field.line]?.text ?? '')) return []
  const found: Condition[] = []
  const named = kindsIn(sheet, field.value).includes('battery-support') || /\bmaintained|supported\b/i.test(field.value)
  const stated = named ? supportOf(field.value.replace(/\bon[- ]board\b/gi, ' ')) : null
  if (stated !== null) found.push({ about: 'battery-support', text: shorten(field.value), stated })
  const volts = readVolts(field.value, { decimal: sheet.decimal })
  if (volts !== null && volts > 5 && volts < 60 && volts !== printed)
    found.push({ about: 'supply-volts', text: shorten(field.value), value: volts, unit: 'V' })
  return found
}

interface Clause {
  words: Word[]
  page: number
  /** What a last cell of the row calls it: "PASS". */
  stated: 'ok' | 'out' | null
}

/** Parts of a run of words between commas and full stops; what stands in brackets is not parted. */
function splitClauses(words: readonly Word[]): Word[][] {
  const clauses: Word[][] = []
  let current: Word[] = []
  let depth = 0
  for (const word of words) {
    current.push(word)
    depth += (word.text.match(/[([]/g)?.length ?? 0) - (word.text.match(/[)\]]/g)?.length ?? 0)
    if (depth > 0 || !/[.,;:]$/.test(word.text)) continue
    clauses.push(current)
    current = []
    depth = 0
  }
  return current.length > 0 ? [...clauses, current] : clauses
}

/** Every clause of the page that no label has taken. */
function findClauses(sheet: Sheet, taken: ReadonlySet<Word>): Clause[] {
  const found: Clause[] = []
  const inProse = new Set<Word>()
  for (const paragraph of findParagraphs(sheet.layout)) {
    const words = paragraph.map(({ word }) => word)
    for (const word of words) inProse.add(word)
    const page = paragraph[0]?.line.page ?? 1
    for (const clause of splitClauses(words)) found.push({ words: clause, page, stated: null })
  }
  for (const line of sheet.lines) {
    const last = line.cells.at(-1)
    const call = last ? sheet.vocabulary.valueChecks.whole(sheet.vocabulary.tokens(last.text))[0]?.key : undefined
    const badge = last && /^(?:pass|passed|ok|fail|failed|nok|[✓✔✗✘])$/i.test(last.text) ? (call ?? null) : null
    for (const cell of line.cells) {
      if (cell.words.some((word) => inProse.has(word)) || (cell === last && badge !== null)) continue
      for (const words of splitClauses(cell.words)) found.push({ words, page: line.page, stated: badge })
    }
  }
  return found.filter(({ words }) => !words.some((word) => taken.has(word)))
}

const textOfWords = (words: readonly Word[]) => words.map(({ text }) => text).join(' ')

function fromClauses(sheet: Sheet, taken: ReadonlySet<Word>, wanted: (kind: ConditionKind) => boolean): Found[] {
  const found: Found[] = []
  const clauses = findClauses(sheet, taken)
  clauses.forEach(({ words, page, stated }, i) => {
    if (words.length > 24) return
    const text = textOfWords(words)
    const kinds = kindsIn(sheet, text).filter(isCondition)
    // "Tires 40 psi cold, placard 40 psi": what is wanted stands in the next clause.
    const next = clauses[i + 1]
    const follows =
      next !== undefined && /^\W*placard\b/i.test(next.words[0]?.text ?? '') ? textOfWords(next.words) : ''
    for (const kind of kinds.filter(wanted)) {
      for (const condition of conditionsFrom(sheet, kind, text.replace(/[.,;:]$/, ''), '', follows)) {
        if (stated !== null && condition.stated === undefined) condition.stated = stated
        found.push({ condition, places: [placeOf(page, words)] })
      }
    }
  })
  return found
}

function fromValues(sheet: Sheet, values: readonly MeasuredValue[], path: string): Found[] {
  return values.flatMap((value, i): Found[] => {
    const about = kindsIn(sheet, value.name)
      .filter(isCondition)
      .find((kind) => MEASURED.has(kind))
    // What was found before an adjustment is not how the work was done.
    if (about === undefined || /\b(?:before|initial|as found|found at)\b/i.test(value.name)) return []
    const { least, most, stated, unit } = value
    const condition: Condition = {
      about,
      text: `${value.name} ${value.value}`,
      value: value.value,
    }
    if (unit !== null && isUnitOf(about, unit)) condition.unit = unit
    if (least !== undefined) condition.least = least
    if (most !== undefined) condition.most = most
    if (stated !== null) condition.stated = stated
    return [{ condition, places: sheet.evidence[`${path}.${i}`] ?? [] }]
  })
}

const measuredOf = (sheet: Sheet, calibrations: readonly CalibrationReading[]) =>
  calibrations.flatMap(({ values = [] }, i) => fromValues(sheet, values, `calibrations.${i}.values`))

/** A value without its label tells a reader little. */
function placeWithLabel({ place, labelPlace, arrangement }: Field): Place {
  if (arrangement === 'inline' || place.page !== labelPlace.page) return place
  return { page: place.page, box: boxAround([labelPlace.box, place.box]), text: `${labelPlace.text} ${place.text}` }
}

/** "Load: no cargo, tank 1/2, ride height 688 mm" speaks of more than its label. */
function besides(sheet: Sheet, field: Field, kinds: readonly ConditionKind[]): Condition[] {
  return splitClauses(field.words).flatMap((words) => {
    const text = textOfWords(words).replace(/[.,;:]$/, '')
    const others = kindsIn(sheet, text).filter(isCondition)
    return others.filter((kind) => !kinds.includes(kind)).flatMap((kind) => conditionsFrom(sheet, kind, text, '', ''))
  })
}

/**
 * The conditions that a document states, and their places under `conditions`. `supplyOnly`: a scan, whose lines name
 * modules by the same words.
 */
export function readConditions(
  sheet: Sheet,
  { calibrations = [], alignment, batteryVolts }: Pick<DocumentFacts, 'calibrations' | 'alignment' | 'batteryVolts'>,
  supplyOnly: boolean,
): Condition[] {
  const wanted = (kind: ConditionKind) => !supplyOnly || SUPPLY.has(kind)
  const pairs = findPairs(sheet)
  const placard = placardOf(sheet, pairs)
  const taken = new Set<Word>()
  const found: Found[] = [
    ...measuredOf(sheet, calibrations),
    ...fromValues(sheet, alignment?.values ?? [], 'alignment.values'),
  ].filter(({ condition }) => wanted(condition.about))
  const take = (words: readonly Word[], place: Place, conditions: readonly Condition[]) => {
    if (conditions.length === 0) return
    for (const word of words) taken.add(word)
    for (const condition of conditions) found.push({ condition, places: [place] })
  }
  for (const field of sheet.fields) {
    const kinds = kindsOfLabel(sheet, field.label).filter(isCondition)
    const supply = field.meanings.some(({ key }) => key === 'batteryVolts') || kinds.includes('battery-support')
    const own = kinds.filter(wanted)
    const printed = own.includes('tire-pressure') ? wholeValue(sheet, field) : field.value
    const value = withUnit(field.label, printed)
    take(field.words, placeWithLabel(field), [
      ...own.flatMap((kind) => conditionsFrom(sheet, kind, value, field.label, placard)),
      ...(supply ? fromSupply(sheet, field, batteryVolts) : []),
      ...(own.length > 0 && !supplyOnly ? besides(sheet, field, own) : []),
    ])
  }
  for (const { label, value, words, place } of pairs) {
    if (words.some((word) => taken.has(word))) continue
    const kinds = kindsOfLabel(sheet, label).filter(isCondition).filter(wanted)
    take(
      words,
      place,
      kinds.flatMap((kind) => conditionsFrom(sheet, kind, withUnit(label, value), label, placard)),
    )
  }
  if (wanted('tire-pressure')) found.push(...readTireTables(sheet))
  found.push(...fromClauses(sheet, taken, wanted))
  return settle(sheet, found)
}

/** Each statement once, with its places noted; a figure that a measured value gives already is not given again. */
function settle(sheet: Sheet, found: readonly Found[]): Condition[] {
  const conditions: Condition[] = []
  const seen = new Set<string>()
  for (const { condition, places } of found) {
    const { about, wheel, value, text } = condition
    const key = JSON.stringify([about, wheel, value, value === undefined ? text.toLowerCase() : ''])
    if (seen.has(key)) continue
    seen.add(key)
    note(sheet, `conditions.${conditions.length}`, ...places)
    conditions.push(condition)
  }
  return conditions
}
