/**
 * Words found in a picture have boxes of their ink: "on" is half as high as "Old", "gap" hangs below its line, a rule of a
 * table that touches a word makes it taller. Layout goes by the boxes of type, which are alike for all words of a line. So
 * the size of the type and the base line are estimated from the ink of each word and what letters it is made of, doubtful
 * estimates give way to those of neighbours, and every word gets the box that its type would have.
 *
 * Proportions of letters: those of common sans-serif and serif faces, of fixed pitch those of typewriter faces; shares of
 * the type size, measured on Helvetica, Times, DejaVu and Courier.
 */
import type { Box } from '../facts/reading.ts'

/** A word as found: `line` is the same for words that its finder took for one line of text. */
export interface InkWord {
  text: string
  /** Around its ink, in any unit, y downward; the page has to be upright. */
  ink: Box
  line: number
}

/** What the type of a word would take. */
export interface TypeBox {
  box: Box
  /** Of the type, in the unit of `ink`. */
  size: number
}

const CAPITAL = 0.72
const SMALL = 0.53
const DEEP = 0.21
/** Width of a letter of fixed pitch. Its height differs by a quarter from face to face. */
const PITCH = 0.6
/** What boxes of text in PDF files are made of, as `readPdf` gives them. */
const ABOVE = 0.8
const BELOW = 0.24

const TALL = /[\p{Lu}\p{N}bdfhklßþ(){}[\]|/\\!?&%#$€£"'“”‘’*@]/u
const NEARLY_TALL = /[tij]|[^\P{Ll}a-z]/u
const HANGS = /[gjpqyþçQ(){}[\]|/\\@]/
const HANGS_A_LITTLE = /[,;]/
const HAS_SHAPE = /[\p{L}\p{N}]/u

interface Guess {
  size: number
  base: number
}

export function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b)
  return sorted[sorted.length >> 1] ?? Number.NaN
}

const widthOf = ({ ink }: InkWord): number => ink[2] - ink[0]

/** From how high the ink is; null for dashes, dots and the like. `scale`: how tall the letters are against usual ones. */
function guessByHeight({ text, ink }: InkWord, scale: number): Guess | null {
  if (!HAS_SHAPE.test(text)) return null
  const above = TALL.test(text) ? CAPITAL : NEARLY_TALL.test(text) ? 0.68 : SMALL
  const below = HANGS.test(text) ? DEEP : HANGS_A_LITTLE.test(text) ? 0.12 : 0
  const size = (ink[3] - ink[1]) / (above + below) / scale
  return { size, base: ink[3] - below * scale * size }
}

/** Shares of the size that letters are wide, roughly: enough to tell twice the size. */
function widthInEms(text: string): number {
  let ems = 0
  for (const letter of text)
    ems += /[ijlI.,:;|!'’()[\]/ftr-]/.test(letter)
      ? 0.33
      : /[mwMW@%]/.test(letter)
        ? 0.88
        : /\p{Lu}/u.test(letter)
          ? 0.68
          : 0.55
  return ems
}

/**
 * How tall the letters are against those of usual faces. Known for fixed pitch alone, where width over number of letters
 * is hardly different from word to word and gives the size of the type; else 1.
 */
function scaleOf(words: readonly InkWord[]): number {
  const long = words.filter(({ text }) => [...text].length >= 4)
  const pitches = long.map((word) => widthOf(word) / ([...word.text].length - 0.2)).sort((a, b) => a - b)
  const at = (share: number) => pitches[Math.floor(share * pitches.length)] ?? 0
  if (pitches.length < 8 || at(0.8) - at(0.2) > 0.07 * at(0.5)) return 1
  const byHeight = median(long.flatMap((word) => guessByHeight(word, 1)?.size ?? []))
  return Math.min(1.1, Math.max(0.7, byHeight / (at(0.5) / PITCH)))
}

/** Sizes that differ by less than a tenth are one size: the middle of those that stand together. */
function snapSizes(sizes: readonly number[]): number[] {
  const order = sizes.map((size, index) => ({ size, index })).sort((a, b) => a.size - b.size)
  const snapped = [...sizes]
  let group: typeof order = []
  const close = () => {
    const middle = median(group.map(({ size }) => size))
    for (const { index } of group) snapped[index] = middle
    group = []
  }
  for (const entry of order) {
    if (group.length > 0 && entry.size > 1.12 * (group[0]?.size ?? 0)) close()
    group.push(entry)
  }
  close()
  return snapped
}

/** A guess that its width or the rest of its line gainsays has something else's ink in it. */
function settleLine(words: readonly InkWord[], guesses: readonly (Guess | null)[]): (Guess | null)[] {
  const sound = guesses.map((guess, index) => {
    const word = words[index]
    if (!guess || !word) return null
    const byWidth = widthOf(word) / widthInEms(word.text)
    return guess.size < 1.6 * byWidth && guess.size > 0.5 * byWidth ? guess : null
  })
  const sure = sound.filter((guess) => guess !== null)
  if (sure.length === 0) return words.map(() => null)
  const size = median(sure.map((guess) => guess.size))
  const base = median(sure.map((guess) => guess.base))
  return sound.map((guess) => {
    if (!guess) return { size, base }
    const sameSize = Math.abs(guess.size - size) <= 0.2 * size
    const sameBase = Math.abs(guess.base - base) <= 0.25 * size
    if (!sameSize && sameBase && guess.size > 0.6 * size && guess.size < 1.7 * size) return { size: guess.size, base }
    return { size, base: sameBase ? base : guess.base }
  })
}

/** Where nothing is known of a word's own line, the words beside it tell; else its ink is taken for small letters. */
function borrow(word: InkWord, words: readonly InkWord[], guesses: readonly (Guess | null)[], size: number): Guess {
  const [, top, , bottom] = word.ink
  const middle = (top + bottom) / 2
  let nearest: { guess: Guess; apart: number } | undefined
  for (const [index, guess] of guesses.entries()) {
    if (!guess || Math.abs(guess.base - 0.3 * guess.size - middle) > 0.5 * guess.size) continue
    const other = (words[index] as InkWord).ink
    const apart = Math.max(other[0] - word.ink[2], word.ink[0] - other[2])
    if (!nearest || apart < nearest.apart) nearest = { guess, apart }
  }
  return nearest?.guess ?? { size, base: bottom }
}

/** Base lines that differ by less than a seventh of the size are one. */
function snapBases(guesses: readonly Guess[]): number[] {
  const order = guesses.map((guess, index) => ({ ...guess, index })).sort((a, b) => a.base - b.base)
  const snapped = guesses.map(({ base }) => base)
  let group: typeof order = []
  const close = () => {
    const middle = median(group.map(({ base }) => base))
    for (const { index } of group) snapped[index] = middle
    group = []
  }
  for (const entry of order) {
    const first = group[0]
    if (first && entry.base - first.base > 0.15 * Math.min(entry.size, first.size)) close()
    group.push(entry)
  }
  close()
  return snapped
}

/** The boxes that the type of a page's words takes, in the order of the words. */
export function findTypeBoxes(words: readonly InkWord[]): TypeBox[] {
  const scale = scaleOf(words)
  const lines = Map.groupBy(words.keys(), (index) => (words[index] as InkWord).line)
  const settled: (Guess | null)[] = words.map(() => null)
  for (const indexes of lines.values()) {
    const line = indexes.map((index) => words[index] as InkWord)
    const guesses = settleLine(
      line,
      line.map((word) => guessByHeight(word, scale)),
    )
    for (const [place, index] of indexes.entries()) settled[index] = guesses[place] ?? null
  }
  const usual = median(settled.flatMap((guess) => guess?.size ?? []))
  const size = Number.isNaN(usual) ? median(words.map(({ ink }) => ink[3] - ink[1])) : usual
  const guesses = words.map((word, index) => settled[index] ?? borrow(word, words, settled, size))
  const bases = snapBases(guesses)
  return snapSizes(guesses.map((guess) => guess.size)).map((snapped, index) => {
    const [x0, , x1] = (words[index] as InkWord).ink
    const base = bases[index] as number
    return { box: [x0, base - ABOVE * snapped, x1, base + BELOW * snapped], size: snapped }
  })
}
