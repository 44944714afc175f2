/** The words of a file by page, and which page of one file is which of the other. */
import type { Box, Place } from '../facts/reading.ts'
import { countEntries, type Pair, pairByKey, pairByScore, shareOf, startPairing } from './pairing.ts'

export interface PageWord {
  text: string
  /** Of its line. */
  box: Box
}

export interface PageWords {
  number: number
  words: PageWord[]
  /** All of them in one line. */
  text: string
}

/** In the order of the lines; only pages that hold words. */
export function listPages(lines: readonly Place[]): PageWords[] {
  const pages = new Map<number, PageWord[]>()
  for (const { page, box, text } of lines) {
    const words = pages.get(page) ?? []
    // One form for one letter: Unicode Standard Annex 15.
    for (const word of text.normalize('NFC').split(/\s+/)) if (word !== '') words.push({ text: word, box })
    pages.set(page, words)
  }
  return [...pages]
    .filter(([, words]) => words.length > 0)
    .sort(([a], [b]) => a - b)
    .map(([number, words]) => ({ number, words, text: words.map(({ text }) => text).join(' ') }))
}

export interface PagePairing {
  pairs: { before: PageWords; after: PageWords; moved: boolean }[]
  removed: PageWords[]
  added: PageWords[]
}

/** Half of the words are shared. */
const leastShare = 0.5

/** By the same words, else by the most words in common, else by the same number. */
export function pairPages(before: readonly PageWords[], after: readonly PageWords[]): PagePairing {
  const same = pairByKey(startPairing(before.length, after.length), before, after, ({ text }) => text)
  const bagOf = ({ words }: PageWords) => countEntries(words.map(({ text }) => text))
  const [first, second] = [before.map(bagOf), after.map(bagOf)]
  const alike = pairByScore(
    same,
    (one, other) => shareOf(first[one] ?? new Map(), second[other] ?? new Map()),
    leastShare,
  )
  const all = pairByKey(alike, before, after, ({ number }) => String(number))
  const pick = (pages: readonly PageWords[], left: readonly number[]) => left.flatMap((index) => pages[index] ?? [])
  const pairs = all.pairs.map((pair) => ({
    before: before[pair[0]] as PageWords,
    after: after[pair[1]] as PageWords,
    moved: crosses(pair, all.pairs),
  }))
  return { pairs, removed: pick(before, all.first), added: pick(after, all.second) }
}

/** Does it stand before a page now that it stood behind, or the other way round? */
function crosses([one, other]: Pair, pairs: readonly Pair[]): boolean {
  return one !== other && pairs.some(([a, b]) => (a - one) * (b - other) < 0)
}
