/**
 * "Page n of m" as printed, counted. Reports that are printed to one form and put together in one file start again at 1, and
 * one report may be saved in several files; so pages are counted by the form of their number and its total, whatever their
 * order: complete copies hold each number equally often.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'

/** More pages than that no report has: the number is of something else. */
const mostPages = 500

/** A page number stands in a line of a few words, not in a sentence that speaks of a page. */
const mostWords = 10

/** "page # of #", "#/#", "page #", without what else stands in the line. */
const PAGE_FORM = /(?:(?<!\p{L})\p{L}{1,12}\.? ?)?# ?(?:\p{L}{1,12}|[/-]) ?#|(?<!\p{L})\p{L}{1,12}\.? ?#/u

interface PrintedNumber {
  document: DocumentFacts
  /** Of the file, from 1. */
  page: number
  number: number
  of: number | null
  /** How it is printed, with a sign for every number ("sheet #/#"): what all pages of a report share. */
  form: string
  place: FilePlace
}

/** Pages that belong to one report, or to several printed to one form with one total. */
export interface PageCount {
  documents: DocumentFacts[]
  /** Pages that the numbers say there are; null where they do not say. */
  of: number | null
  /** Each number that was seen, in order. */
  seen: number[]
  missing: number[]
  /** Numbers that stand more often than others. */
  repeated: number[]
  /** Pages of these files that carry no number, and may be what is missing. */
  unnumbered: number
  places: FilePlace[]
}

/** The counts of a packet; a file that is complete by itself is not put together with others. */
export function countPages(packet: Packet): PageCount[] {
  const numbers = packet.documents.flatMap((document) => withoutForms(printedNumbers(packet, document)))
  const forms = Map.groupBy(numbers, ({ form, of }) => `${form} ${of}`)
  return [...forms.values()].flatMap((ofForm) => {
    const files = [...Map.groupBy(ofForm, ({ document }) => document).values()]
    const whole = files.filter((own) => isWhole(count(own)))
    const rest = files.filter((own) => !whole.includes(own))
    const joined = rest.length > 1 && mayBeOne(rest.flat()) ? [rest.flat()] : rest
    return [...whole, ...joined].map(count)
  })
}

/** Where the pages of one total are whole whatever their forms, the forms set nothing apart: head and foot may differ. */
function withoutForms(numbers: readonly PrintedNumber[]): PrintedNumber[] {
  return [...Map.groupBy(numbers, ({ of }) => of).values()].flatMap((own) =>
    isWhole(count(own)) ? own.map((one) => ({ ...one, form: '' })) : own,
  )
}

/** A page without the heading of its report may be told as any scan, or not at all; two headings make two reports. */
function mayBeOne(numbers: readonly PrintedNumber[]): boolean {
  const kinds = new Set(
    numbers.map(({ document }) => document.kind).filter((kind) => kind !== 'other' && kind !== 'scan'),
  )
  return kinds.size < 2 && numbers.every(({ of }) => of !== null)
}

function isWhole({ missing, repeated }: PageCount): boolean {
  return missing.length === 0 && repeated.length === 0
}

function printedNumbers(packet: Packet, document: DocumentFacts): PrintedNumber[] {
  if (document.kind === 'photo') return []
  const printed = (packet.content[document.file]?.pageNumbers ?? []).filter(({ number, of, place }) => {
    return (
      number >= 1 &&
      number <= (of ?? mostPages) &&
      (of ?? 0) <= mostPages &&
      place.text.split(/\s+/).length <= mostWords
    )
  })
  // Where pages are numbered with their total, "page 2" alone is a mention of a page.
  const counted = printed.some(({ of }) => of !== null)
  const own = printed
    .filter(({ of }) => !counted || of !== null)
    .map(({ page, number, of, place }): PrintedNumber => {
      const masked = place.text.toLowerCase().replace(/\d+/g, '#').replace(/\s+/g, ' ')
      const form = PAGE_FORM.exec(masked)?.[0] ?? masked
      return { document, page, number, of, form, place: { file: document.file, ...place } }
    })
  // Head and foot of one page may both carry its number.
  const once = new Map(own.map((one) => [`${one.page} ${one.number} ${one.of} ${one.form}`, one]))
  return [...once.values()]
}

function count(numbers: readonly PrintedNumber[]): PageCount {
  const documents = [...new Set(numbers.map(({ document }) => document))]
  const of = numbers[0]?.of ?? null
  const times = new Map<number, number>()
  for (const { number } of numbers) times.set(number, (times.get(number) ?? 0) + 1)
  const seen = [...times.keys()].toSorted((a, b) => a - b)
  const first = of === null ? (seen[0] ?? 1) : 1
  const wanted = Array.from({ length: (of ?? seen.at(-1) ?? 0) - first + 1 }, (_, at) => first + at)
  const least = Math.min(...wanted.map((number) => times.get(number) ?? 0))
  const missing = wanted.filter((number) => !times.has(number))
  const pages = documents.map((document) => {
    const carrying = new Set(numbers.filter((one) => one.document === document).map(({ page }) => page))
    return Math.max(0, (document.pages ?? carrying.size) - carrying.size)
  })
  return {
    documents,
    of,
    seen,
    missing,
    repeated: missing.length > 0 ? [] : wanted.filter((number) => (times.get(number) ?? 0) > least),
    unnumbered: pages.reduce((sum, own) => sum + own, 0),
    places: numbers.map(({ place }) => place),
  }
}
