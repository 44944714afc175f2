/** The words of a file's pages where a signature ends, and now: both as the ordinary reading gives them. */
import { placeOf } from '../../../facts/layout.ts'
import type { PdfChange } from '../../../facts/pdf-signature.ts'
import type { Box, Page, Reading, Word } from '../../../facts/reading.ts'
import type { LocatedChange } from './changes.ts'

/** How far a word may lie from where it was, in points. */
const movedPoints = 1
const mostCharacters = 300

/**
 * The changes with the words before and after; `earlier` is null where nothing was read.
 * A page whose words differ and of which nothing else is told is a change of
 * its own; a mark that covers no words weighs less than one that does.
 */
export function addWords(changes: readonly LocatedChange[], earlier: Reading | null, later: Reading): PdfChange[] {
  const before = earlier?.pages ?? []
  const differences = comparePages(before, later.pages)
  const told = changes.map((change): PdfChange => {
    const { rectangle, ...weighed } = weigh(change, before)
    const rest = rectangle === null ? weighed : { ...weighed, places: { before: rectangle, after: rectangle } }
    const difference = change.kind === 'page' && change.page !== null ? differences.get(change.page) : undefined
    return difference === undefined ? rest : { ...rest, ...difference }
  })
  const explained = new Set(
    changes.filter(({ kind }) => explaining.has(kind)).map(({ page, kind }) => (kind === 'form-value' ? 0 : page)),
  )
  const others = [...differences].filter(([page]) => !explained.has(page) && !explained.has(0))
  return [
    ...told,
    ...others.map(
      ([page, difference]): PdfChange => ({
        kind: 'page',
        effect: 'seen',
        page,
        text: `the words of page ${page} are others`,
        ...difference,
      }),
    ),
  ]
}

/** What is told of anyway, and brings words of its own. */
const explaining: ReadonlySet<PdfChange['kind']> = new Set(['page', 'annotation', 'form-value', 'signature'])

function weigh(change: LocatedChange, before: readonly Page[]): LocatedChange {
  const page = before.find(({ number }) => number === change.page)
  if (change.rectangle === null || page === undefined) return change
  const covered = page.words.filter(({ box }) => overlap(box, change.rectangle as Box))
  const words = joinWords(covered)
  if (change.kind === 'annotation' && change.effect === 'seen' && change.before === null)
    return covered.length === 0
      ? { ...change, effect: 'unclear' }
      : { ...change, text: `${change.text}, over words`, before: words }
  if (change.kind === 'signature' && change.effect === 'permitted' && covered.length > 0)
    return { ...change, effect: 'unclear', text: `${change.text}, over words`, before: words }
  return change
}

/** By more than a hair's breadth. */
const overlap = (one: Box, other: Box): boolean =>
  Math.min(one[2], other[2]) - Math.max(one[0], other[0]) > 0.5 &&
  Math.min(one[3], other[3]) - Math.max(one[1], other[1]) > 0.5

type Difference = Pick<PdfChange, 'before' | 'after' | 'places'>

function comparePages(before: readonly Page[], after: readonly Page[]): Map<number, Difference> {
  const found = new Map<number, Difference>()
  for (const page of after) {
    const old = before.find(({ number }) => number === page.number)
    if (old === undefined) continue
    const gone = subtract(old.words, page.words)
    const come = subtract(page.words, old.words)
    if (gone.length + come.length === 0) continue
    const [was, is] = [gone, come].map((words) => (words.length === 0 ? null : placeOf(page.number, words)))
    found.set(page.number, {
      before: joinWords(gone) || null,
      after: joinWords(come) || null,
      places: { before: was?.box ?? is?.box ?? null, after: is?.box ?? was?.box ?? null },
    })
  }
  return found
}

/** Words of `one` that stand in `other` neither there nor a hair's breadth away. */
function subtract(one: readonly Word[], other: readonly Word[]): Word[] {
  const left = Map.groupBy(other, ({ text }) => text)
  return one.filter((word) => {
    const same = left.get(word.text)
    const index =
      same?.findIndex(({ box }) => box.every((edge, side) => Math.abs(edge - (word.box[side] ?? 0)) <= movedPoints)) ??
      -1
    if (index >= 0) same?.splice(index, 1)
    return index < 0
  })
}

const joinWords = (words: readonly Word[]): string =>
  words
    .map(({ text }) => text)
    .join(' ')
    .slice(0, mostCharacters)
