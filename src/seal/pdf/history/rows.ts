/** The words of two states of a page, row by row: which rows are others, and in which words. */
import { placeOf } from '../../../facts/layout.ts'
import type { Box, Place, Word } from '../../../facts/reading.ts'

export interface RowDifference {
  /** The words that differ, with a few that stand before them; null where the row stands in the other state alone. */
  before: Place | null
  after: Place | null
  /** Where the words stand that are in one of the two alone. */
  gone: Box[]
  come: Box[]
}

export interface PageDifference {
  /** Words that are others, were added or taken away. */
  changed: RowDifference[]
  /** Rows with the same words that stand elsewhere, and in another order. */
  isReordered: boolean
}

interface Row {
  words: Word[]
  text: string
  middle: number
}

const middle = ({ box }: Word): number => (box[1] + box[3]) / 2

/** Upright words, in rows from top to bottom; words whose middles lie near one another share a row. */
function rowsOf(words: readonly Word[]): Row[] {
  const rows: { words: Word[]; middle: number }[] = []
  for (const word of [...words].sort((a, b) => middle(a) - middle(b) || a.box[0] - b.box[0])) {
    const row = rows.at(-1)
    const height = word.box[3] - word.box[1]
    if (row !== undefined && Math.abs(middle(word) - row.middle) <= height * 0.4) row.words.push(word)
    else rows.push({ words: [word], middle: middle(word) })
  }
  return rows.map((row) => {
    const sorted = row.words.toSorted((a, b) => a.box[0] - b.box[0])
    return { words: sorted, text: sorted.map(({ text }) => text).join(' '), middle: row.middle }
  })
}

/** What differs between two states of one page. Rows that only stand elsewhere do not. */
export function compareWords(page: number, before: readonly Word[], after: readonly Word[]): PageDifference {
  const [old, now] = [rowsOf(before), rowsOf(after)]
  const gone = without(old, now)
  const come = without(now, old)
  const isReordered =
    gone.length + come.length === 0 && old.some(({ text }, index) => text !== now[index]?.text) && !sameWords(old, now)
  return { changed: pairUp(page, gone, come), isReordered }
}

/** Rows of `one` whose text does not stand in `other`, as often. */
function without(one: readonly Row[], other: readonly Row[]): Row[] {
  const counts = new Map<string, number>()
  for (const { text } of other) counts.set(text, (counts.get(text) ?? 0) + 1)
  return one.filter(({ text }) => {
    const left = counts.get(text) ?? 0
    counts.set(text, left - 1)
    return left <= 0
  })
}

/** Each word where it was, to a point. */
function sameWords(old: readonly Row[], now: readonly Row[]): boolean {
  const keys = (rows: readonly Row[]) =>
    rows
      .flatMap(({ words }) => words.map(({ text, box }) => `${text} ${Math.round(box[0])} ${Math.round(box[1])}`))
      .sort()
      .join('\n')
  return keys(old) === keys(now)
}

/** Rows that took each other's place stand side by side: those nearest in height that share the most words. */
function pairUp(page: number, gone: readonly Row[], come: readonly Row[]): RowDifference[] {
  const left = [...come]
  const pairs = gone.map((row): [Row | null, Row | null] => {
    const partner = findPartner(row, left)
    if (partner !== null) left.splice(left.indexOf(partner), 1)
    return [row, partner]
  })
  return [...pairs, ...left.map((row): [null, Row] => [null, row])].map(([one, other]) => narrow(page, one, other))
}

function findPartner(row: Row, rows: readonly Row[]): Row | null {
  const height = Math.max(...row.words.map(({ box }) => box[3] - box[1]))
  const scored = rows.map((other) => {
    const words = new Set(other.words.map(({ text }) => text))
    const shared = row.words.filter(({ text }) => words.has(text)).length / row.words.length
    const distance = Math.abs(other.middle - row.middle)
    return { other, score: (distance <= height ? 1 : 0) + shared - distance / 10_000 }
  })
  const best = scored.toSorted((a, b) => b.score - a.score)[0]
  return best !== undefined && best.score >= 0.5 ? best.other : null
}

/** How many words before a differing one are shown with it. */
const context = 3

/** The words between those that both rows begin and end with, and a few before them. */
function narrow(page: number, one: Row | null, other: Row | null): RowDifference {
  const [a, b] = [one?.words ?? [], other?.words ?? []]
  let start = 0
  while (start < Math.min(a.length, b.length) && a[start]?.text === b[start]?.text) start++
  let end = 0
  while (end < Math.min(a.length, b.length) - start && a.at(-1 - end)?.text === b.at(-1 - end)?.text) end++
  const show = (words: readonly Word[]): Place | null => {
    const shown = words.slice(Math.max(0, start - context), words.length - end)
    return shown.length === 0 ? null : placeOf(page, shown)
  }
  const [was, is] = [a.slice(start, a.length - end), b.slice(start, b.length - end)]
  const [gone, come] = [boxesOf(was, is), boxesOf(is, was)]
  const isReordered = gone.length + come.length === 0
  return {
    before: show(a),
    after: show(b),
    gone: isReordered ? was.map(({ box }) => box) : gone,
    come: isReordered ? is.map(({ box }) => box) : come,
  }
}

/** Boxes of the words of `one` that do not stand in `other`, as often. */
function boxesOf(one: readonly Word[], other: readonly Word[]): Box[] {
  const left = other.map(({ text }) => text)
  return one.flatMap(({ text, box }) => {
    const index = left.indexOf(text)
    if (index < 0) return [box]
    left.splice(index, 1)
    return []
  })
}
