/** Which words of a page changed: the shortest edit (Myers, 1986), by the package `diff`. */
import { diffArrays } from 'diff'
import type { Box } from '../facts/reading.ts'
import type { WordChange, WordRun } from './comparison.ts'
import type { PageWord, PageWords } from './page-words.ts'

/**
 * How much work is left for all pages together, in squared edits, of which time and memory grow. No clock: the same
 * files give the same comparison on every machine.
 */
export interface DiffBudget {
  left: number
}

export const startBudget = (): DiffBudget => ({ left: 20_000_000 })

/** Beyond it a list tells nobody anything: a printed page holds some 500 words. */
const mostEdits = 1000

/** Of one page, without those that are the same at its start and end. */
const mostWords = 40_000

/** Changes in the order of the page; null where too many words differ, or too much was compared already. */
export function diffWords(before: FilePage, after: FilePage, budget: DiffBudget): WordChange[] | null {
  // The edit may be another one backwards: always the same way round, so that both directions tell the same.
  if (before.page.text > after.page.text) return turn(diffWords(after, before, budget))
  const [one, other] = [before.page.words, after.page.words]
  const start = countSame(one, other, (words, at) => words[at])
  const rest = Math.min(one.length, other.length) - start
  const end = countSame(one, other, (words, at) => (at < rest ? words[words.length - 1 - at] : undefined))
  const [inner, otherInner] = [one, other].map((words) => words.slice(start, words.length - end).map(textOf))
  if (!inner || !otherInner || Math.max(inner.length, otherInner.length) > mostWords) return null
  const maxEditLength = Math.min(mostEdits, Math.floor(Math.sqrt(Math.max(0, budget.left))))
  const found = diffArrays(inner, otherInner, { maxEditLength })
  const edits = found?.reduce((sum, { added, removed, count }) => sum + (added || removed ? count : 0), 0)
  budget.left -= (edits ?? maxEditLength) ** 2
  return found === undefined
    ? null
    : listEdits(found, start).map((edit) => tell(slide(edit, one, other), before, after))
}

/** A page and the file that it is of. */
export interface FilePage {
  file: string
  page: PageWords
}

const textOf = ({ text }: PageWord): string => text

const turn = (changes: WordChange[] | null): WordChange[] | null =>
  changes?.map(({ before, after }) => ({ before: after, after: before })) ?? null

type Pick = (words: readonly PageWord[], at: number) => PageWord | undefined

function countSame(one: readonly PageWord[], other: readonly PageWord[], pick: Pick): number {
  let at = 0
  for (; ; at++) {
    const word = pick(one, at)
    if (word === undefined || word.text !== pick(other, at)?.text) return at
  }
}

type Stretch = { added: boolean; removed: boolean; count: number }

/** Words `from` up to `to` of the one page stand where those of the other do; `free`: same words right before both. */
interface Edit {
  from: number
  to: number
  otherFrom: number
  otherTo: number
  free: number
}

/** Words taken out and words put in at one spot are one edit. `start`: how many words are the same before all of them. */
function listEdits(stretches: readonly Stretch[], start: number): Edit[] {
  const edits: Edit[] = []
  let [at, otherAt, free] = [start, start, start]
  for (const { added, removed, count } of stretches) {
    if (!added && !removed) free = count + (edits.length === 0 ? start : 0)
    else if (free > 0 || edits.length === 0)
      edits.push({ from: at, to: at, otherFrom: otherAt, otherTo: otherAt, free })
    const edit = edits.at(-1)
    if (added || removed) free = 0
    if (!added) at += count
    if (!removed) otherAt += count
    if (edit && removed) edit.to = at
    if (edit && added) edit.otherTo = otherAt
  }
  return edits
}

/**
 * Where the same words stand before a run and at its end, the run could as well begin earlier. It is put where a line
 * begins, else as early as can be, for people to read.
 */
function slide(edit: Edit, one: readonly PageWord[], other: readonly PageWord[]): Edit {
  const isRemoval = edit.otherFrom === edit.otherTo
  if (!isRemoval && edit.from !== edit.to) return edit
  const [words, from, to] = isRemoval ? [one, edit.from, edit.to] : [other, edit.otherFrom, edit.otherTo]
  const beginsLine = (at: number) => words[at]?.box[1] !== words[at - 1]?.box[1]
  let best = 0
  for (let by = 0; by <= edit.free; by++) {
    if (by > 0 && words[from - by]?.text !== words[to - by]?.text) break
    best = by
    if (beginsLine(from - by)) break
  }
  return {
    from: edit.from - best,
    to: edit.to - best,
    otherFrom: edit.otherFrom - best,
    otherTo: edit.otherTo - best,
    free: edit.free - best,
  }
}

function tell({ from, to, otherFrom, otherTo }: Edit, before: FilePage, after: FilePage): WordChange {
  const run = (side: FilePage, first: number, last: number) =>
    first === last ? null : runOf(side, side.page.words.slice(first, last))
  return { before: run(before, from, to), after: run(after, otherFrom, otherTo) }
}

/** Longer runs are cut, and `words` still counts all. */
const mostShown = 60

/** A run of words that stand one after the other on a page, not empty. */
export function runOf({ file, page }: FilePage, words: readonly PageWord[]): WordRun {
  const text = words.slice(0, mostShown).map(textOf).join(' ')
  return {
    file,
    page: page.number,
    box: words.map(({ box }) => box).reduce(unite),
    text: words.length > mostShown ? `${text} …` : text,
    words: words.length,
  }
}

const unite = (a: Box, b: Box): Box => [
  Math.min(a[0], b[0]),
  Math.min(a[1], b[1]),
  Math.max(a[2], b[2]),
  Math.max(a[3], b[3]),
]
