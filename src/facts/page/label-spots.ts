/** Where the labels of a cell stand and what each can mean, by the vocabulary, a colon, or the shape of the value behind. */
import type { Cell, Line } from '../layout.ts'
import type { Word } from '../reading.ts'
import { isWellFormedVin } from '../vin.ts'
import type { LabelKey, Vocabulary } from '../vocabulary.ts'
import { fitOf } from './value-shapes.ts'

/** Added to the rank of a label of which only a part was known. */
export const PARTIAL_RANK = 1000

/** One thing that a label can mean. */
export interface LabelMeaning {
  key: LabelKey
  /** Position in the vocabulary's list; `PARTIAL_RANK` more where only a part of the printed label was known. */
  rank: number
}

/** A label in a cell, with the words behind it that can be its value. */
export interface Spot {
  meanings: LabelMeaning[]
  cell: Cell
  /** Words [from, to) are the label; the value behind it ends at `until`. */
  from: number
  to: number
  until: number
  colon: boolean
  /** Said in two languages as one word, "INICIO/START": hardly anything but a label is. */
  twofold?: boolean
}

const endsLabel = (word: Word | undefined) => word !== undefined && /[:=]$/.test(word.text)

const isColon = (word: Word | undefined) => word !== undefined && /^[:=]+$/.test(word.text)

/** Behind such a word a label may start: a comma, a bar, the end of a sentence. */
const SEPARATOR =
  /[,;|·•/]$|^[|·•–—-]$|^(?!(?:no|nr|ref|reg|lic|ser|st|mr|mrs|dr|veh|cust|est|inv)\.$)[\p{L}\d()-]*[\p{L}\d)]\.$|^(?=.*\d)[\p{L}\d/-]+\.$/iu

/** "Job no. K/2204. Plate: …": a number with a full stop ends the sentence, and a label does not reach over it. */
const ENDED_NUMBER = /^(?=.*\d)[\p{L}\d/-]{2,}\.$/u

/** "Corvane M4 S/N CM4-118": the mark needs nothing before it. */
const SERIAL_MARK = /^(?:s\/n|sn|ser\.?|serial)[:.#]?$/i

/** No label is longer: a line of thousands of words is not looked through to its end from each of them. */
const LABEL_WORDS = 24

/** Label phrases that start at a word of a cell and end at a word's end. */
function phrasesAt(cell: Cell, from: number, tokens: readonly string[][], vocabulary: Vocabulary) {
  const until = Math.min(cell.words.length, from + LABEL_WORDS)
  const flat = tokens.slice(from, until).flat()
  const ends = new Map<number, number>()
  let at = 0
  for (let i = from; i < until; i++) {
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
  const inTwo = from === 0 ? labelInTwoParts(words, meaningsOf, vocabulary) : null
  if (inTwo) return make(inTwo.to, inTwo.meanings, inTwo.colon)
  // Where a colon stands within a few words, all before it is the label.
  const free = from === 0 || SEPARATOR.test(words[from - 1]?.text ?? '')
  let colonAt = -1
  for (let i = from; i < Math.min(words.length, from + 7); i++) {
    if (i > from && ENDED_NUMBER.test(words[i - 1]?.text ?? '')) break
    if (endsLabel(words[i]) || isColon(words[i + 1])) {
      colonAt = i + 1
      break
    }
    const parted = SEPARATOR.test(words[i - 1]?.text ?? '') && !(free && words[i - 1]?.text === '/')
    if (i > from && parted && !hits.some((hit) => hit.to > i)) break
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
    const halves =
      !free || /\d/.test(bare)
        ? []
        : bare.split(/\s*\/\s*/).map((half) => vocabulary.labels.whole(vocabulary.tokens(half)))
    if (halves.length === 2 && halves.flat().length > 0) return make(colonAt, meaningsOf(halves.flat(), 1), true)
    // "Serial of the sensor:" is the sensor's serial.
    const turned = /^(.+?)\s+(?:of|for)(?:\s+the)?\s+(.+)$/i.exec(bare)
    const swapped = turned ? vocabulary.labels.whole(vocabulary.tokens(`${turned[2]} ${turned[1]}`)) : []
    if (swapped.length > 0) return make(colonAt, meaningsOf(swapped, 1), true)
    if (free) {
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
  const twofold = hits.length === 0 ? phraseBehindSlash(cell, from, tokens, vocabulary) : null
  if (twofold) return { ...make(twofold.to, meaningsOf(twofold.entries, 1), false), twofold: true }
  const longest = hits.at(-1)
  if (!longest || (longest.to < words.length && from === 0 && words.length <= 5 && expires(textOf(words)).length > 0)) {
    const whole = from === 0 && words.length <= 5 ? expires(textOf(words)) : []
    return whole.length > 0 && !/\d/.test(textOf(words)) ? make(words.length, whole, false) : null
  }
  let to = longest.to
  if (to < words.length && UNIT_NOTE.test(words[to]?.text ?? '') && !/^\(\d+\)$/.test(words[to]?.text ?? '')) to++
  return make(to, meaningsOf(longest.entries, 0), false)
}

type Entry = { key: LabelKey; rank: number }

/** A label of two parts that a slash sets apart, up to a colon or the cell's end: two labels, or one in two languages. */
function labelInTwoParts(
  words: readonly Word[],
  meaningsOf: (entries: readonly Entry[], extra: number) => LabelMeaning[],
  vocabulary: Vocabulary,
): { to: number; meanings: LabelMeaning[]; colon: boolean } | null {
  const slash = words.findIndex((word) => word.text === '/')
  const colonAt = words.findIndex((word) => endsLabel(word))
  const to = colonAt < 0 ? words.length : colonAt + 1
  if (slash < 1 || slash >= to - 1 || to > LONGEST_TWOFOLD) return null
  const half = (part: readonly Word[]) => vocabulary.labels.whole(vocabulary.tokens(textOf(part)))
  const [first, second] = [half(words.slice(0, slash)), half(words.slice(slash + 1, to))]
  const colon = colonAt >= 0
  // "RO / claim": two labels that share a cell, as their values do.
  if (first.length > 0 && second.length > 0) return { to, meanings: meaningsOf([...first, ...second], 0), colon }
  // "Datum / Date": one label in two languages, of which one is known.
  const known = [...first, ...second]
  if (known.length === 0 || words.slice(0, to).some((word) => /\d/.test(word.text))) return null
  return { to, meanings: meaningsOf(known, 1), colon }
}

const LONGEST_TWOFOLD = 11

/** "INICIO/START 16:05": a word whose second half, with the words behind it, is a known label. */
function phraseBehindSlash(cell: Cell, from: number, tokens: readonly string[][], vocabulary: Vocabulary) {
  const half = /^[\p{L}.°º]{2,}\/(\p{L}{2,})$/u.exec(cell.words[from]?.text ?? '')?.[1]
  if (half === undefined) return null
  const shortened = tokens.map((own, i) => (i === from ? vocabulary.tokens(half) : own))
  return phrasesAt(cell, from, shortened, vocabulary).at(-1) ?? null
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
export function spotsIn(cell: Cell, vocabulary: Vocabulary): Spot[] {
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

/** Words without the leaders, bars and commas around them. */
export const strip = (words: readonly Word[]): Word[] => {
  let from = 0
  let to = words.length
  while (from < to && /^[:=.…·•|–—_-]+$/.test(words[from]?.text ?? '')) from++
  while (to > from && /^[|·•,;–—-]+$/.test(words[to - 1]?.text ?? '')) to--
  return words.slice(from, to)
}

/** Words set apart by single spaces. */
export const textOf = (words: readonly Word[]) => words.map((word) => word.text).join(' ')

/** Labels that are also everyday words: without a colon or a gap they must not make a label out of prose. */
export const PROSE_PRONE: ReadonlySet<LabelKey> = new Set<LabelKey>([
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
    if (spot?.from !== 0) continue
    if (spot.colon && at === 0) return true
    const whole = spot.to === cell.words.length
    if (whole) labels++
    const value = whole ? (line.cells[at + 1]?.text ?? '') : textOf(cell.words.slice(spot.to, spot.until))
    if (spot.meanings.some(({ key }) => TELLING.has(key) && fitOf(key, value) === 'strong')) return true
  }
  return labels > 1 && labels > 0.55 * line.cells.length
}
