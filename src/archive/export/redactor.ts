/**
 * Takes values out of texts: each becomes the same stand-in (`VIN-1`, `PERSON-2`) wherever it stands in one export, so that
 * records still match each other. Rather too much is taken out than too little.
 *
 * A vehicle identification number is known in any case, with spaces or dashes between, and by its last six to eight
 * characters; a plate likewise as a whole; a person by the whole name and by each part of three letters or more. A place is
 * a pair of coordinates: any number with three decimals or more that lies where the packet's tracks and pictures lie.
 */

export const redactions = ['vin', 'plate', 'people', 'places'] as const
export type Redaction = (typeof redactions)[number]

/** What is to be taken out of a packet. */
export interface Sensitive {
  values: readonly { kind: Exclude<Redaction, 'places'>; text: string }[]
  /** Latitude and longitude, degrees. */
  places: readonly (readonly [number, number])[]
}

export interface Redactor {
  kinds: ReadonlySet<Redaction>
  /** What is taken out, in words. */
  words: string
  replace(text: string): string
  /** Whether a text still holds any of it; found in another way than it is replaced. */
  isClean(text: string): boolean
  /** Which words of a page hold it: indices. */
  findWords(words: readonly string[]): Set<number>
  isPlace(value: number): boolean
}

const kindWords: Readonly<Record<Redaction, string>> = {
  vin: 'vehicle identification numbers',
  plate: 'licence plates',
  people: 'names of people',
  places: 'coordinates of places',
}

const standIns = { vin: 'VIN', plate: 'PLATE', people: 'PERSON' } as const

interface Term {
  /** What it is looked for by, folded. */
  folded: string
  pattern: string
  standIn: string
  /** Found as a whole word only. */
  whole: boolean
}

const fold = (text: string): string =>
  text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toUpperCase()
    .replaceAll(/[^\p{L}\p{N}]/gu, '')

export function makeRedactor(kinds: ReadonlySet<Redaction>, { values, places }: Sensitive): Redactor {
  const terms = kinds.size === 0 ? [] : listTerms(values.filter(({ kind }) => kinds.has(kind)))
  const expressions = terms.map(({ pattern, standIn }) => ({ expression: new RegExp(pattern, 'giu'), standIn }))
  const isPlace = kinds.has('places') ? makePlaceTest(places) : () => false
  const replace = (text: string): string => {
    let replaced = text
    for (const { expression, standIn } of expressions) replaced = replaced.replaceAll(expression, standIn)
    return kinds.has('places') ? dropPlaces(replaced, isPlace) : replaced
  }
  return {
    kinds,
    words: redactions
      .filter((kind) => kinds.has(kind))
      .map((kind) => kindWords[kind])
      .join(', '),
    replace,
    isPlace,
    isClean: (text) => holdsNone(text, terms) && !numbersOf(text).some(isPlace),
    findWords: (words) => findWords(words, terms, isPlace),
  }
}

/** Longest first, so that no part is taken out of the middle of a whole. */
function listTerms(values: Sensitive['values']): Term[] {
  const numbers = new Map<string, string>()
  const counts = new Map<string, number>()
  const terms = new Map<string, Term>()
  for (const { kind, text } of values) {
    const folded = fold(text)
    if (folded.length < 3) continue
    const key = `${kind} ${folded}`
    const count = counts.get(kind) ?? 0
    const standIn = numbers.get(key) ?? `${standIns[kind]}-${count + 1}`
    if (!numbers.has(key)) counts.set(kind, count + 1)
    numbers.set(key, standIn)
    for (const term of kind === 'people' ? termsOfName(text, standIn) : termsOfNumber(folded, standIn, kind === 'vin'))
      if (!terms.has(term.folded)) terms.set(term.folded, term)
  }
  return [...terms.values()].sort((a, b) => b.folded.length - a.folded.length)
}

/** Between the characters of a number that somebody set apart. */
const between = '[\\s\\-._·/]{0,3}'

const spread = (folded: string): string =>
  [...folded].map((letter) => letter.replace(/[\\^$.*+?()[\]{}|]/g, '\\$&')).join(between)

const bounded = (pattern: string): string => `(?<![\\p{L}\\p{N}])${pattern}(?![\\p{L}\\p{N}])`

function termsOfNumber(folded: string, standIn: string, isVin: boolean): Term[] {
  const long = folded.length >= 11
  const whole: Term = { folded, standIn, whole: !long, pattern: long ? spread(folded) : bounded(spread(folded)) }
  const tails = isVin && long ? [8, 7, 6].map((length) => folded.slice(-length)) : []
  return [whole, ...tails.map((tail) => ({ folded: tail, standIn, whole: true, pattern: bounded(spread(tail)) }))]
}

/** Titles and the like are no part of a name. */
const noName = /^(?:mr|mrs|ms|dr|jr|sr|the|and|von|van|der|den|des|del)$/i

function termsOfName(text: string, standIn: string): Term[] {
  const parts = text.split(/[^\p{L}\p{M}'’-]+/u).filter((part) => part !== '')
  const whole = parts.map(escapeName).join('[\\s.,]{1,3}')
  const single = parts
    .filter((part) => fold(part).length >= 3 && !noName.test(part))
    .map((part) => ({ folded: fold(part), standIn, whole: true, pattern: bounded(escapeName(part)) }))
  return parts.length === 0
    ? []
    : [{ folded: fold(text), standIn, whole: parts.length < 2, pattern: bounded(whole) }, ...single]
}

/** With its accents in one character or in two. */
const escapeName = (part: string): string =>
  [...part.normalize('NFC')]
    .map((letter) => {
      const [base = letter] = letter.normalize('NFD')
      return base === letter ? `${letter}\\p{M}*` : `(?:${letter}|${base}\\p{M}*)`
    })
    .join('')

/** Digests are no text. */
const digests = /\b[0-9a-f]{32,}\b/gi

/** Letters and digits of a text, folded, and where each stands in it. */
interface Scan {
  letters: string
  at: number[]
  isInside(index: number): boolean
}

function scan(text: string): Scan {
  const [letters, at]: [string[], number[]] = [[], []]
  let index = 0
  for (const letter of text) {
    for (const one of fold(letter)) {
      letters.push(one)
      at.push(index)
    }
    index += letter.length
  }
  return { letters: letters.join(''), at, isInside: (place) => isLetter.test(text[place] ?? '') }
}

const isLetter = /[\p{L}\p{N}]/u

/** Where a term stands, whatever stands between its characters: first and last index in the text. */
function* placesOf({ folded, whole }: Term, { letters, at, isInside }: Scan): Generator<[number, number]> {
  for (let found = letters.indexOf(folded); found >= 0; found = letters.indexOf(folded, found + 1)) {
    const [first = 0, last = 0] = [at[found], at[found + folded.length - 1]]
    if (!whole || !(isInside(first - 1) || isInside(last + 1))) yield [first, last]
  }
}

function holdsNone(text: string, terms: readonly Term[]): boolean {
  const scanned = scan(text.replaceAll(digests, ' '))
  return terms.every((term) => placesOf(term, scanned).next().done === true)
}

function findWords(words: readonly string[], terms: readonly Term[], isPlace: (value: number) => boolean): Set<number> {
  const found = new Set<number>()
  const owner: number[] = []
  for (const [index, word] of words.entries()) {
    for (let at = 0; at <= word.length; at++) owner.push(index)
    if (numbersOf(word).some(isPlace)) found.add(index)
  }
  const scanned = scan(words.join(' '))
  for (const term of terms)
    for (const [first, last] of placesOf(term, scanned))
      for (let index = owner[first] ?? 0; index <= (owner[last] ?? -1); index++) found.add(index)
  return found
}

/** Fractions of a second are no places. */
const times = /\d{1,2}:\d{2}:\d{2}[.,]\d+/g

const numbersOf = (text: string): number[] =>
  (text.replaceAll(times, ' ').match(/\d{1,5}[.,]\d{3,}/g) ?? []).map(readNumber)

const readNumber = (text: string): number => Number(text.replace(',', '.'))

/** About a kilometre. */
const nearby = 0.01

/** Degrees as they are, and as degrees and minutes run together (NMEA 0183: ddmm.mmmm); signs do not count. */
function makePlaceTest(places: Sensitive['places']): (value: number) => boolean {
  if (places.length === 0) return () => false
  const ranges = [0, 1].map((axis) => {
    let [least, most] = [Number.POSITIVE_INFINITY, 0]
    for (const place of places) {
      const size = Math.abs(place[axis as 0 | 1])
      least = Math.min(least, size)
      most = Math.max(most, size)
    }
    return { least: least - nearby, most: most + nearby }
  })
  const inRange = (size: number) => ranges.some(({ least, most }) => size >= least && size <= most)
  return (value) => {
    const size = Math.abs(value)
    return inRange(size) || (size >= 100 && inRange(Math.floor(size / 100) + (size % 100) / 60))
  }
}

/** A number that is a place becomes `null`; so does whatever a key that tells places has. */
function dropPlaces(text: string, isPlace: (value: number) => boolean): string {
  return text
    .replaceAll(placeKey, (_, key: string) => `${key}null`)
    .replaceAll(/(?<!\d:\d{2}:)(?<![\d.])-?\d{1,5}[.,]\d{3,}(?![\d.])/g, (number) =>
      isPlace(readNumber(number)) ? 'null' : number,
    )
}

const placeKey =
  /(["']?\b(?:lat|latitude|lon|lng|longitude|location|coordinates)["']?[ \t]*:\s*)(?:\[[^\]]*\]|-?\d+(?:\.\d+)?|-[ \t]+-?\d+(?:\.\d+)?\s+-[ \t]+-?\d+(?:\.\d+)?)/gi
