/** Which page of one state of a file is which of another: by their words, where pages were added, taken out or moved. */
import type { Page } from '../../../facts/reading.ts'

export type PagePair = readonly [before: Page | null, after: Page | null]

const wordsOf = ({ words }: Page): string => words.map(({ text }) => text).join(' ')

/** Pages with the same words are one page; of the others, those with one number where the counts agree, else those in one place between. */
export function matchPages(before: readonly Page[], after: readonly Page[]): PagePair[] {
  if (before.length === after.length) return before.map((page, index): PagePair => [page, after[index] ?? null])
  const left = [...after]
  const take = (isIt: (page: Page) => boolean): Page | null => {
    const index = left.findIndex(isIt)
    return index < 0 ? null : (left.splice(index, 1)[0] ?? null)
  }
  const found = new Map<Page, Page | null>()
  for (const page of before)
    found.set(
      page,
      take((other) => wordsOf(other) === wordsOf(page)),
    )
  for (const page of before)
    if (found.get(page) === null)
      found.set(
        page,
        take((other) => shares(page, other)),
      )
  return [
    ...before.map((page): PagePair => [page, found.get(page) ?? null]),
    ...left.map((page): PagePair => [null, page]),
  ]
}

/** So much of the words of a page stand on another that it is the same, changed. */
const leastShared = 0.6

function shares(page: Page, other: Page): boolean {
  const there = new Set(other.words.map(({ text }) => text))
  const shared = page.words.filter(({ text }) => there.has(text)).length
  return page.words.length > 0 && shared / page.words.length >= leastShared
}
