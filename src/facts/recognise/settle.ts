/**
 * What the documents of one packet tell about each other: a shop's papers share a job number and an order of day and month,
 * so that what one leaves open another settles. Nothing is settled against what a document says itself.
 */
import type { DocumentFacts } from '../document.ts'
import { type Layout, placeOf } from '../layout.ts'
import { settleDayMonth } from '../time.ts'
import { offsetsIn, orderByCompany, orderByPlace, settleDates } from './day-order.ts'

const bare = (text: string) => text.toLowerCase().replace(/[^a-z0-9]+/g, '')

/** The job number that most documents state, of those that state one; null when two are stated equally often. */
function commonJob(documents: readonly DocumentFacts[]): string | null {
  const votes = new Map<string, { text: string; count: number }>()
  for (const { jobNumber } of documents) {
    if (jobNumber === undefined) continue
    const have = votes.get(bare(jobNumber))
    if (have) have.count++
    else votes.set(bare(jobNumber), { text: jobNumber, count: 1 })
  }
  const [first, second] = [...votes.values()].sort((a, b) => b.count - a.count)
  return first && first.count !== second?.count ? first.text : null
}

/**
 * Whether the day or the month stands first in the documents' dates: by the dates that prove it where all prove one order,
 * else, where none proves any, by the days of the work that can be read in one way, or by the place. Null when that is not known or dates prove both.
 */
function commonOrder(
  documents: readonly DocumentFacts[],
  layouts: readonly Layout[],
  zone: string | null,
): boolean | null {
  const orders = new Set<boolean>()
  for (const { date } of documents) {
    const found = /\b(\d{1,2})[/-](\d{1,2})[/-]\d{2,4}\b/.exec(date?.text ?? '')
    if (!found || !date?.local) continue
    const [first, second] = [Number(found[1]), Number(found[2])]
    if (first !== second) orders.add(Number(date.local.slice(8, 10)) === first)
  }
  if (orders.size > 0) return orders.size === 1 ? ([...orders][0] ?? null) : null
  const company = orderByCompany(documents)
  if (company !== null) return company
  const text = layouts.flatMap(({ lines }) => lines.map((line) => line.text)).join('\n')
  // Receivers keep UTC wherever they are.
  const papers = documents.filter(({ kind }) => kind !== 'drive-log' && kind !== 'photo')
  return orderByPlace(text, papers.flatMap(offsetsIn), zone)
}

/** The place where a job number stands in a layout, as a word or words of their own. */
function findIn(layout: Layout, job: string) {
  const wanted = bare(job)
  if (wanted.length < 3 || !/\d/.test(wanted)) return null
  for (const line of layout.lines) {
    for (const cell of line.cells) {
      const words = cell.words.map((word) => bare(word.text))
      for (let from = 0; from < words.length; from++) {
        let joined = ''
        for (let to = from; to < words.length && joined.length < wanted.length; to++) {
          joined += words[to]
          if (joined === wanted) return { page: cell.page, words: cell.words.slice(from, to + 1) }
        }
      }
    }
  }
  return null
}

/**
 * Settles what the packet as a whole tells: job numbers that stand in a heading or sentence without a label of their own, and
 * dates whose day and month could not be told apart. `layouts` stand in the order of `documents`; `job` and `zone` are
 * the declared ones.
 */
export function settleDocuments(
  documents: readonly DocumentFacts[],
  layouts: readonly Layout[],
  job: string | null,
  zone: string | null = null,
): DocumentFacts[] {
  const number = job ?? commonJob(documents)
  const order = commonOrder(documents, layouts, zone)
  return documents.map((document, i) => {
    const settled = { ...document }
    const layout = layouts[i]
    if (number !== null && settled.jobNumber === undefined && layout && document.kind !== 'drive-log') {
      const found = findIn(layout, number)
      if (found) {
        settled.jobNumber = found.words
          .map((word) => word.text)
          .join(' ')
          .replace(/^[#:([]+|[)\],.:;]+$/g, '')
        settled.evidence = { ...settled.evidence, jobNumber: [placeOf(found.page, found.words)] }
      }
    }
    return order === null ? settled : settleDates(settled, (date) => settleDayMonth(date, order))
  })
}
