/**
 * Labels and their values: behind a colon, in the next cell, beneath, above, or in a grid whose rows of labels and rows of
 * values take turns. The vocabulary says what a label is; the shape of the value says which neighbour belongs to it; where
 * several would do, the whole row and then the whole document decide, since people lay a page out in one manner.
 */
import { type Cell, type Layout, type Line, placeOf } from '../layout.ts'
import type { Place, Word } from '../reading.ts'
import { isWellFormedVin } from '../vin.ts'
import type { LabelKey, Vocabulary } from '../vocabulary.ts'
import { findProseFields } from './prose.ts'
import { fitOf } from './value-shapes.ts'

export type Arrangement = 'inline' | 'beside' | 'beneath' | 'above'

/** Added to the rank of a label of which only a part was known. */
export const PARTIAL_RANK = 1000

export interface LabelMeaning {
  key: LabelKey
  /** Position in the vocabulary's list; `PARTIAL_RANK` more where only a part of the printed label was known. */
  rank: number
}

export interface Field {
  /** What the label can mean, plainest first; empty for a label that the vocabulary does not know. */
  meanings: LabelMeaning[]
  label: string
  value: string
  words: Word[]
  page: number
  /** Index of the label's line. */
  line: number
  arrangement: Arrangement
  place: Place
  labelPlace: Place
}

interface Spot {
  meanings: LabelMeaning[]
  cell: Cell
  /** Words [from, to) are the label; the value behind it ends at `until`. */
  from: number
  to: number
  until: number
  colon: boolean
}

const endsLabel = (word: Word | undefined) => word !== undefined && /[:=]$/.test(word.text)
const isColon = (word: Word | undefined) => word !== undefined && /^[:=]+$/.test(word.text)
/** Behind such a word a label may start: a comma, a bar, the end of a sentence. */
const SEPARATOR =
  /[,;|·•/]$|^[|·•–—-]$|^(?!(?:no|nr|ref|reg|lic|ser|st|mr|mrs|dr|veh|cust|est|inv)\.$)[\p{L}\d()-]*[\p{L}\d)]\.$/iu

/** "Corvane M4 S/N CM4-118": the mark needs nothing before it. */
const SERIAL_MARK = /^(?:s\/n|sn|ser\.?|serial)[:.#]?$/i

/** Label phrases that start at a word of a cell and end at a word's end. */
function phrasesAt(cell: Cell, from: number, tokens: readonly string[][], vocabulary: Vocabulary) {
  const flat = tokens.slice(from).flat()
  const ends = new Map<number, number>()
  let at = 0
  for (let i = from; i < cell.words.length; i++) {
    at += tokens[i]?.length ?? 0
    if (!ends.has(at) || (tokens[i]?.length ?? 0) > 0) ends.set(at, i + 1)
  }
  return vocabulary.labels
    .allAt(flat, 0)
    .filter((hit) => ends.has(hit.length))
    .map((hit) => ({ to: ends.get(hit.length) ?? from, entries: hit.entries }))
}

const UNIT_NOTE = /^[([].{0,24}[)\]]:?$/

function spotAt(cell: Cell, from: number, tokens: readonly string[][], vocabulary: Vocabulary): Spot | null {
  const hits = phrasesAt(cell, from, tokens, vocabulary)
  const words = cell.words
  const make = (to: number, meanings: LabelMeaning[], colon: boolean): Spot => ({
    meanings,
    cell,
    from,
    to,
    until: words.length,
    colon,
  })
  const meaningsOf = (entries: readonly { key: LabelKey; rank: number }[], extra: number) =>
    entries.map(({ key, rank }) => ({ key, rank: rank + extra })).sort((a, b) => a.rank - b.rank)
  // Where a colon stands within a few words, all before it is the label.
  let colonAt = -1
  for (let i = from; i < Math.min(words.length, from + 7); i++) {
    if (endsLabel(words[i]) || isColon(words[i + 1])) {
      colonAt = i + 1
      break
    }
    if (i > from && SEPARATOR.test(words[i - 1]?.text ?? '') && !hits.some((hit) => hit.to > i)) break
  }
  if (colonAt > 0 && !/^\d{1,2}:$/.test(words[colonAt - 1]?.text ?? '')) {
    const exact = hits.find((hit) => hit.to === colonAt)
    if (exact) return make(colonAt, meaningsOf(exact.entries, 0), true)
    const bare = words
      .slice(from, colonAt)
      .map((word) => word.text)
      .join(' ')
      .replace(/\s*[([][^)\]]*[)\]]/g, '')
    const whole = vocabulary.labels.whole(vocabulary.tokens(bare))
    if (whole.length > 0) return make(colonAt, meaningsOf(whole, 1), true)
    // "Serial of the sensor:" is the sensor's serial.
    const turned = /^(.+?)\s+(?:of|for)(?:\s+the)?\s+(.+)$/i.exec(bare)
    const swapped = turned ? vocabulary.labels.whole(vocabulary.tokens(`${turned[2]} ${turned[1]}`)) : []
    if (swapped.length > 0) return make(colonAt, meaningsOf(swapped, 1), true)
    if (from === 0 || SEPARATOR.test(words[from - 1]?.text ?? '')) {
      const labelTokens = vocabulary.tokens(bare)
      // "Mileage recorded at intake:" — known at its head; "Customer's registration:" — known at its end.
      const head = vocabulary.labels.longestAt(labelTokens, 0)
      for (let start = 1; start < labelTokens.length; start++) {
        const tail = vocabulary.labels.whole(labelTokens.slice(start))
        if (tail.length > 0 && (!head || labelTokens.length - start >= head.length))
          return make(colonAt, meaningsOf(tail, PARTIAL_RANK), true)
      }
      if (head) return make(colonAt, meaningsOf(head.entries, PARTIAL_RANK), true)
      return make(colonAt, expires(bare), true)
    }
  }
  const longest = hits.at(-1)
  if (!longest || (longest.to < words.length && from === 0 && words.length <= 5 && expires(textOf(words)).length > 0)) {
    const whole = from === 0 && words.length <= 5 ? expires(textOf(words)) : []
    return whole.length > 0 && !/\d/.test(textOf(words)) ? make(words.length, whole, false) : null
  }
  let to = longest.to
  if (to < words.length && UNIT_NOTE.test(words[to]?.text ?? '') && !/^\(\d+\)$/.test(words[to]?.text ?? '')) to++
  return make(to, meaningsOf(longest.entries, 0), false)
}

/** Whatever it is that expires, its date is none of the document's: "Bench check valid to", "Self-test until". */
function expires(label: string): LabelMeaning[] {
  const told =
    /\b(?:until|due|valid|expir\w+|through|renew\w*)\b|\b(?:check\w*|test\w*|verified|inspect\w*|licen[cs]e\w*)\b.*\bto\b/i.test(
      label,
    )
  return told ? [{ key: 'expiry', rank: PARTIAL_RANK }] : []
}

/** The labels in a cell, from left to right. */
function spotsIn(cell: Cell, vocabulary: Vocabulary): Spot[] {
  const tokens = cell.words.map((word) => vocabulary.tokens(word.text))
  const spots: Spot[] = []
  for (let at = 0; at < cell.words.length; at++) {
    const behind = cell.words[at - 1]
    const free =
      at === 0 ||
      SEPARATOR.test(behind?.text ?? '') ||
      isWellFormedVin(behind?.text ?? '') ||
      SERIAL_MARK.test(cell.words[at]?.text ?? '')
    const spot = spotAt(cell, at, tokens, vocabulary)
    if (!spot) continue
    if (!free && !(spot.colon && spot.meanings.length > 0)) continue
    if (!free && spot.from === spots.at(-1)?.to) continue
    if (at > 0 && !spot.colon && !fitsBehind(spot)) continue
    const last = spots.at(-1)
    if (last) last.until = Math.min(last.until, at)
    spots.push(spot)
    at = spot.to - 1
  }
  return spots
}

/** In the middle of a cell and without a colon, only a value of the label's own shape makes it a label. */
function fitsBehind(spot: Spot): boolean {
  const words = spot.cell.words.slice(spot.to)
  const end = words.findIndex((word) => SEPARATOR.test(word.text))
  const value = textOf(strip(end < 0 ? words : words.slice(0, end + 1)))
  return spot.meanings.some(({ key }) => !PROSE_PRONE.has(key) && fitOf(key, value) !== null)
}

const strip = (words: readonly Word[]): Word[] => {
  let from = 0
  let to = words.length
  while (from < to && /^[:=.…·•|–—_-]+$/.test(words[from]?.text ?? '')) from++
  while (to > from && /^[|·•,;–—-]+$/.test(words[to - 1]?.text ?? '')) to--
  return words.slice(from, to)
}

const textOf = (words: readonly Word[]) => words.map((word) => word.text).join(' ')
const overlaps = (a: Cell, b: Cell) => Math.min(a.box[2], b.box[2]) - Math.max(a.box[0], b.box[0])

function bestFit(meanings: readonly LabelMeaning[], text: string) {
  let best: 'strong' | 'weak' | null = null
  for (const { key } of meanings) {
    const fit = fitOf(key, text)
    if (fit === 'strong') return 'strong'
    if (fit) best = fit
  }
  return meanings.length === 0 ? 'weak' : best
}

/** Finds labels and their values on laid-out pages. `taken` says which lines belong to tables of several rows. */
export function findFields(layout: Layout, vocabulary: Vocabulary, taken: (line: Line) => boolean): Field[] {
  const lines = layout.lines.filter((line) => line.furniture !== 'page-number' && line.furniture !== 'repeated')
  const spotsByCell = new Map<Cell, Spot[]>()
  for (const line of lines) for (const cell of line.cells) spotsByCell.set(cell, spotsIn(cell, vocabulary))
  const isWholeLabel = (cell: Cell | undefined) => {
    const spot = cell && spotsByCell.get(cell)?.[0]
    return spot !== undefined && spot.from === 0 && spot.to === cell?.words.length
  }
  // "Verdict   Learned": a word that is also a label is a value where it says how something ended, behind a label.
  const saysOutcome = new Set<Cell>()
  for (const line of lines) {
    line.cells.forEach((cell, i) => {
      const before = line.cells[i - 1]
      if (
        !isWholeLabel(cell) ||
        spotsByCell.get(cell)?.[0]?.colon ||
        !isWholeLabel(before) ||
        (before && saysOutcome.has(before))
      )
        return
      const asked =
        before && spotsByCell.get(before)?.[0]?.meanings.some(({ key }) => key === 'outcome' || key === 'progress')
      if (asked && vocabulary.outcomes.whole(vocabulary.tokens(cell.text)).length > 0) saysOutcome.add(cell)
    })
  }
  const isLabel = (cell: Cell | undefined) => cell !== undefined && !saysOutcome.has(cell) && isWholeLabel(cell)
  const startsWithLabel = (cell: Cell | undefined) => {
    const spot = cell && spotsByCell.get(cell)?.[0]
    return spot !== undefined && spot.from === 0 && spot.colon
  }

  const verticalNeighbour = (cell: Cell, at: number, step: 1 | -1): Cell | null => {
    for (let i = at + step, seen = 0; i >= 0 && i < lines.length && seen < 2; i += step, seen++) {
      const line = lines[i]
      if (!line || line.page !== cell.page) return null
      const gap = step > 0 ? line.box[1] - cell.box[3] : cell.box[1] - line.box[3]
      if (gap > 2.4 * Math.max(cell.size, line.size)) return null
      const beneath = line.cells
        .filter((other) => overlaps(cell, other) > 0)
        .sort((a, b) => overlaps(cell, b) - overlaps(cell, a))[0]
      if (beneath) return beneath
    }
    return null
  }

  const fields: Field[] = []
  const add = (spot: Spot, words: readonly Word[], line: Line, arrangement: Arrangement, page = line.page) => {
    const value = strip(words)
    if (value.length === 0) return
    const label = spot.cell.words.slice(spot.from, spot.to)
    fields.push({
      meanings: spot.meanings,
      label: textOf(label).replace(/\s*[:=]+$/, ''),
      value: textOf(value),
      words: value,
      page,
      line: line.index,
      arrangement,
      place: placeOf(page, [...(arrangement === 'inline' ? label : []), ...value]),
      labelPlace: placeOf(line.page, label),
    })
  }
  /** The words of a neighbour cell up to the next label in it. */
  const valueWords = (cell: Cell) => {
    const next = saysOutcome.has(cell) ? undefined : spotsByCell.get(cell)?.find((spot) => spot.from > 0)
    return cell.words.slice(0, next ? next.from : cell.words.length)
  }

  // First look: how many grids of this document put the value beneath the label, how many above it?
  let beneathVotes = 0
  let aboveVotes = 0
  lines.forEach((line, at) => {
    for (const cell of line.cells) {
      const spot = spotsByCell.get(cell)?.[0]
      if (!spot || !isLabel(cell) || spot.meanings.length === 0) continue
      const below = verticalNeighbour(cell, at, 1)
      const above = verticalNeighbour(cell, at, -1)
      const fits = (other: Cell | null) =>
        other !== null && !isLabel(other) && spot.meanings.some(({ key }) => fitOf(key, other.text) === 'strong')
      if (fits(below)) beneathVotes++
      if (fits(above)) aboveVotes++
    }
  })
  const vertical: readonly (1 | -1)[] = aboveVotes > beneathVotes ? [-1] : [1]

  lines.forEach((line, at) => {
    if (taken(line)) return
    const labels = line.cells.filter((cell) => isLabel(cell)).length
    const stacked = labels > 0.55 * line.cells.length || (labels >= 3 && labels >= line.cells.length - 1)
    line.cells.forEach((cell, c) => {
      for (const spot of spotsByCell.get(cell) ?? []) {
        const inline = strip(cell.words.slice(spot.to, spot.until))
        if (inline.length > 0) {
          // Without a colon only a value of the right shape makes the words before it a label.
          const fit = bestFit(spot.meanings, textOf(inline))
          if (
            spot.colon ||
            fit === 'strong' ||
            (fit === 'weak' && spot.meanings.some(({ key }) => !PROSE_PRONE.has(key)))
          )
            add(spot, inline, line, 'inline')
          continue
        }
        if (spot.until < cell.words.length && spot.to !== cell.words.length) continue
        const right = line.cells[c + 1]
        const besideFit =
          right && !isLabel(right) && !startsWithLabel(right) && right.box[0] - cell.box[2] < 320
            ? bestFit(spot.meanings, textOf(strip(valueWords(right))))
            : null
        const column = spot.cell.words[spot.to - 1]?.cell ? null : undefined
        const verticals = vertical
          .map((step) => {
            const other = verticalNeighbour(cell, at, step)
            const usable = other && !isLabel(other) && !startsWithLabel(other)
            return usable ? { step, other, fit: bestFit(spot.meanings, textOf(valueWords(other))) } : null
          })
          .filter((candidate) => candidate !== null)
          .filter(({ fit }) => fit !== null)
        const strongVertical = verticals.find(({ fit }) => fit === 'strong')
        const takeBeside = () => right && add(spot, valueWords(right), line, 'beside')
        const takeVertical = (pick = verticals[0]) => {
          if (pick) add(spot, valueWords(pick.other), line, pick.step === 1 ? 'beneath' : 'above')
        }
        if (column === null && besideFit) takeBeside()
        else if (stacked && verticals.length > 0 && !(besideFit === 'strong' && !strongVertical)) takeVertical()
        else if (besideFit === 'strong') takeBeside()
        else if (strongVertical && besideFit === null) takeVertical(strongVertical)
        else if (besideFit !== null && (!stacked || verticals.length === 0)) takeBeside()
        else if (verticals.length > 0 && (labels === line.cells.length || besideFit === null)) takeVertical()
      }
    })
  })
  lendHeadings(fields, layout, vocabulary)
  return [...fields, ...findProseFields(layout, vocabulary)].sort((a, b) => a.line - b.line)
}

/** Labels that say nothing without the heading above them: "Odometer", beneath it "reading: 58120". */
const GENERIC =
  /^(?:no|number|id|name|value|reading|type|serial|version|model|ref|reference|code|date|time|at|by|unit|text|state|status|level|percent|total|count|voltage|mileage|software|release|part)$/

/**
 * A label that is unknown or general takes the heading that it stands under with it: structured files and forms name the
 * thing once and then list what belongs to it.
 */
function lendHeadings(fields: Field[], layout: Layout, vocabulary: Vocabulary): void {
  for (const field of fields) {
    const tokens = vocabulary.tokens(field.label)
    const general = tokens.length > 0 && tokens.every((token) => GENERIC.test(token))
    if (field.meanings.some(({ rank }) => rank < PARTIAL_RANK) && !general) continue
    const at = layout.lines[field.line]
    if (!at) continue
    const x = field.labelPlace.box[0]
    let heading: Cell | undefined
    for (let i = field.line - 1; i >= Math.max(0, field.line - 12); i--) {
      const line = layout.lines[i]
      const cell = line?.cells.find((other) => Math.abs(other.box[0] - x) < 80)
      if (!line || !cell || line.page !== at.page || line.furniture !== null) break
      if (/[:=]$|:\s/.test(cell.text) || !(cell.bold || cell.box[0] < x - 4)) continue
      heading = cell
      break
    }
    if (!heading || heading.words.length > 4) continue
    const above = vocabulary.tokens(heading.text)
    const known =
      [vocabulary.labels.whole([...above, ...tokens]), vocabulary.labels.whole([...tokens, ...above])].find(
        (entries) => entries.length > 0,
      ) ?? (general ? vocabulary.labels.whole(above) : [])
    const own = tokens.join(' ') === 'unit' ? [] : field.meanings
    const lent = known
      .map(({ key, rank }) => ({ key, rank: rank + 5 }))
      .filter(({ key }) => fitOf(key, field.value) !== null)
    if (lent.length > 0)
      field.meanings = [...lent, ...own.filter(({ key }) => !lent.some((other) => other.key === key))]
  }
}

/** Labels that are also everyday words: without a colon or a gap they must not make a label out of prose. */
const PROSE_PRONE: ReadonlySet<LabelKey> = new Set<LabelKey>([
  'date',
  'started',
  'ended',
  'outcome',
  'sensor',
  'method',
  'position',
  'procedure',
  'notes',
  'preconditions',
  'vehicle',
  'model',
  'instrumentName',
  'customer',
  'shop',
  'otherDate',
  'insurer',
  'money',
  'equipmentOther',
  'calibrationData',
  'documentNumber',
  'distance',
  'progress',
])

/** Labels whose values have a shape of their own: where one stands with such a value, no table row can be. */
const TELLING: ReadonlySet<LabelKey> = new Set<LabelKey>([
  'vin',
  'date',
  'odometer',
  'batteryVolts',
  'codeCount',
  'moduleCount',
  'started',
  'ended',
  'progress',
  'duration',
])

/** Whether a line is made of labels and their values, or of labels alone: a table ends there. */
export function isFieldLine(line: Line, vocabulary: Vocabulary): boolean {
  let labels = 0
  for (const [at, cell] of line.cells.entries()) {
    const spot = spotsIn(cell, vocabulary)[0]
    if (!spot || spot.from !== 0) continue
    if (spot.colon && at === 0) return true
    const whole = spot.to === cell.words.length
    if (whole) labels++
    const value = whole ? (line.cells[at + 1]?.text ?? '') : textOf(cell.words.slice(spot.to, spot.until))
    if (spot.meanings.some(({ key }) => TELLING.has(key) && fitOf(key, value) === 'strong')) return true
  }
  return labels > 1 && labels > 0.55 * line.cells.length
}
