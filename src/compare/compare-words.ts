/** What changed in the words of a file, page by page. */
import type { PageChange, WordChange, WordsChange } from './comparison.ts'
import { type DiffBudget, diffWords, runOf } from './diff-words.ts'
import { listPages, type PagePairing, type PageWords, pairPages } from './page-words.ts'
import type { Part } from './part.ts'

/** More changes of one page are counted. */
const mostChanges = 100

/** Pages in the order of their numbers. Takes from `budget` what it costs. */
export function compareWords(before: Part, after: Part, budget: DiffBudget): WordsChange {
  const [one, other] = [listPages(before.lines), listPages(after.lines)]
  if (one.length === 0 && other.length === 0) return { state: 'none', pages: [] }
  const { pairs, removed, added } = pairPages(one, other)
  const pages = [
    ...pairs
      // Backwards the budget is spent in the same order.
      .toSorted((a, b) => sumOf(a) - sumOf(b) || lowest(a) - lowest(b))
      .flatMap((pair) => comparePage(before.file, after.file, pair, budget)),
    ...removed.map((page) => wholePage('removed', before.file, page)),
    ...added.map((page) => wholePage('added', after.file, page)),
  ]
  pages.sort((a, b) => order(a) - order(b) || (a.after ?? 0) - (b.after ?? 0))
  return { state: pages.length === 0 ? 'same' : 'different', pages }
}

type PagePair = PagePairing['pairs'][number]

const sumOf = ({ before, after }: PagePair): number => before.number + after.number
const lowest = ({ before, after }: PagePair): number => Math.min(before.number, after.number)
const order = ({ before, after }: PageChange): number => Math.min(before ?? Infinity, after ?? Infinity)

function comparePage(file: string, otherFile: string, pair: PagePair, budget: DiffBudget): PageChange[] {
  const { before, after, moved } = pair
  const numbers = { before: before.number, after: after.number, moved }
  if (before.text === after.text) return moved ? [{ ...numbers, state: 'moved', changes: [], left: 0 }] : []
  const changes = diffWords({ file, page: before }, { file: otherFile, page: after }, budget)
  if (changes === null) return [{ ...numbers, state: 'too-different', changes: [], left: 0 }]
  return [{ ...numbers, state: 'changed', ...limit(changes) }]
}

const limit = (changes: WordChange[]) => ({
  changes: changes.slice(0, mostChanges),
  left: Math.max(0, changes.length - mostChanges),
})

/** A page that is only in one of the two, with how it begins. */
function wholePage(state: 'added' | 'removed', file: string, page: PageWords): PageChange {
  const run = runOf({ file, page }, page.words)
  const isNew = state === 'added'
  return {
    before: isNew ? null : page.number,
    after: isNew ? page.number : null,
    state,
    moved: false,
    changes: [{ before: isNew ? null : run, after: isNew ? run : null }],
    left: 0,
  }
}
