/** Puts together what a file says itself and what was seen in its pictures. */

import { illegible } from '../facts/illegible.ts'
import { isLook, type Look, type Looked, type PageWords } from '../facts/look.ts'
import { type Choice, tellChoices } from '../facts/look-alikes.ts'
import type { Page, Problem, Reading, Word } from '../facts/reading.ts'
import { compareLayer } from './layer-against-picture.ts'
import { listPages } from './pdf-problems.ts'
import { judgeWords } from './picture-words/doubt.ts'

/** What became of one page that was looked at. */
export interface SeenPage {
  page: number
  looked: Looked
  /** Null where words were not asked for. */
  words: PageWords | { fault: string } | null
}

/** Numbers of the pages whose words may stand in a picture. */
export const listPictured = ({ pages }: Reading): number[] =>
  pages.filter(({ pictured }) => pictured === true).map(({ number }) => number)

/** Numbers of the other pages whose words were laid with a picture, against which they can be held. */
export const listLayered = ({ pages }: Reading): number[] =>
  pages
    .filter(({ pictured, words }) => pictured !== true && words.some(({ layer }) => layer === true))
    .map(({ number }) => number)

/** Of a file: letterheads have pictures too, and looking takes about a second a page. */
const mostBarred = 12

/** Numbers of the pages that are to be looked at, each once, those without words first. */
export const listLookedAt = (reading: Reading): number[] => {
  const barred = reading.pages.filter((page) => page.barred === true).slice(0, mostBarred)
  return [...new Set([...listPictured(reading), ...barred.map(({ number }) => number), ...listLayered(reading)])]
}

/** A picture whose words are mostly doubtful shows no text, or none that can be read. */
const leastConfidence = 60
const leastShare = 0.4

/**
 * A reading with what was seen. A page that could not be looked at has no words and no bar codes, which is not the same
 * as nothing: the problem that it was not read stays.
 */
export function addSeen(reading: Reading, seen: readonly SeenPage[]): Reading {
  const looks = seen.map(({ looked }) => looked).filter(isLook)
  const sifted = new Map(seen.flatMap(({ page, words }) => (words === null ? [] : [[page, sift(words)] as const])))
  const layered = new Set(listLayered(reading))
  const used = new Map([...sifted].filter(([page]) => !layered.has(page)))
  const pages = reading.pages.map((page) => {
    const { words = [] } = sifted.get(page.number) ?? {}
    return layered.has(page.number) ? addComparison(page, words) : addWords(page, words)
  })
  const [first] = looks
  return {
    ...reading,
    pages,
    ...(looks.length > 0 ? { barcodes: looks.flatMap(({ barcodes }) => barcodes) } : {}),
    ...(reading.picture && first ? { picture: { ...reading.picture, ...pictureFacts(first) } } : {}),
    problems: tellProblems(reading, used),
  }
}

/** Of its first page, where a picture has several. */
const pictureFacts = ({ likeness, thumbnail }: Look) => ({ likeness, ...(thumbnail ? { thumbnail } : {}) })

interface Sifted {
  /** As they are used: those too doubtful as `illegible`. */
  words: Word[]
  /** Of these, sure ones. */
  sure: number
}

const none: Sifted = { words: [], sure: 0 }

function sift(seen: PageWords | { fault: string }): Sifted {
  if ('fault' in seen || seen.confidence < leastConfidence) return none
  const words = judgeWords(seen.words)
  const sure = words.filter(({ text }) => text !== illegible).length
  return sure >= leastShare * words.length ? { words, sure } : none
}

const addWords = (page: Page, words: Page['words']): Page =>
  words.length > 0 ? { ...page, words: [...page.words, ...words] } : page

/** Facts rest on the words that the file gives: what is read in its picture bears them out, or contradicts them. */
const addComparison = (page: Page, words: Page['words']): Page =>
  words.length > 0 ? { ...page, compared: compareLayer(page, words) } : page

const unread: ReadonlySet<string> = new Set(['no-text-layer', 'page-without-text'])

/** Says anew which pages were read and which were not. A photo need not show words at all. */
function tellProblems(reading: Reading, used: ReadonlyMap<number, Sifted>): Problem[] {
  const read = [...used].filter(([, { words }]) => words.length > 0)
  if (read.length === 0) return reading.problems
  const numbers = read.map(([page]) => page)
  const sure = read.reduce((sum, [, page]) => sum + page.sure, 0)
  const doubtful = read.reduce((sum, [, page]) => sum + page.words.length - page.sure, 0)
  const told: Problem = {
    code: 'read-from-picture',
    message: `${listPages(numbers)}: a picture without text. ${sure} words were read from it, ${doubtful} more were too doubtful to use.`,
  }
  const chosen = tellChoices(
    read.flatMap(([page, { words }]) => words.flatMap((word) => choiceOf(page, word))),
    'reading them again, and by the check digit of a VIN',
  )
  const dark = listPictured(reading).filter((page) => !numbers.includes(page))
  const before = reading.problems.find(({ code }) => unread.has(code))
  const rest = reading.problems.filter(({ code }) => !unread.has(code))
  if (before === undefined || dark.length === 0) return [...rest, told, ...chosen]
  const message = `${listPages(dark)}: a picture without text, such as a scan. Nothing on it was read.`
  return [...rest, told, ...chosen, { code: 'page-without-text', message }]
}

/** Of a number whose first reading had other characters but for case and marks at its ends; one that was given up is no choice. */
function choiceOf(page: number, { text, readAs }: Word): Choice[] {
  if (readAs === undefined || text === illegible || !/\d/.test(text)) return []
  const bare = (written: string) => written.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}]+$/gu, '').toLowerCase()
  return bare(readAs) === bare(text) ? [] : [{ page, read: readAs, taken: text }]
}
