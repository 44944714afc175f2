/**
 * Where the objects of a PDF stand: cross-reference tables and streams, followed from the last `startxref` back through
 * every revision (ISO 32000-1, 7.5.4 to 7.5.8).
 */
import { decodeStream } from './filters.ts'
import {
  latin,
  type PdfDictionary,
  type PdfStream,
  type PdfValue,
  readIndirect,
  readValue,
  readWord,
  type Scanner,
  SyntaxFault,
  scan,
  skipWhite,
} from './syntax.ts'

/** `packed`: at `index` of the object stream `stream`. */
export type Entry =
  | { kind: 'free' }
  | { kind: 'offset'; offset: number; generation: number }
  | { kind: 'packed'; stream: number; index: number }

export interface Section {
  offset: number
  trailer: PdfDictionary
  entries: ReadonlyMap<number, Entry>
}

/** More revisions and objects than any honest file has. */
export const crossReferenceLimits = { sections: 2000, entries: 1_000_000 } as const

/** From the newest to the oldest. Throws SyntaxFault where the chain is broken, circular or without measure. */
export function readSections(bytes: Uint8Array): Section[] {
  const sections: Section[] = []
  const visited = new Set<number>()
  const budget = { entries: crossReferenceLimits.entries }
  let next: number | null = findStart(bytes)
  while (next !== null) {
    if (visited.has(next)) throw new SyntaxFault(next, 'the cross-reference sections run in a circle')
    if (sections.length >= crossReferenceLimits.sections)
      throw new SyntaxFault(next, `there are more than ${crossReferenceLimits.sections} cross-reference sections`)
    visited.add(next)
    const section = readSection(bytes, next, budget)
    sections.push(section)
    next = offsetIn(section.trailer, 'Prev', bytes)
  }
  return sections
}

/** The offset after the last `startxref`. */
function findStart(bytes: Uint8Array): number {
  const at = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).lastIndexOf('startxref')
  if (at < 0) throw new SyntaxFault(bytes.length, 'there is no startxref')
  const found = /^startxref[\0\t\n\f\r ]+(\d{1,12})[\0\t\n\f\r ]+%%EOF/.exec(latin(bytes.subarray(at, at + 80)))
  if (!found) throw new SyntaxFault(at, 'startxref is followed by no offset and end of file')
  return Number(found[1])
}

/** An offset that a trailer gives; null where it gives none. Throws where it leads out of the file. */
function offsetIn({ entries }: PdfDictionary, key: string, bytes: Uint8Array): number | null {
  const value = entries.get(key)
  if (value === undefined || value.kind === 'null') return null
  const offset = value.kind === 'number' ? value.value : -1
  if (!Number.isInteger(offset) || offset < 0 || offset >= bytes.length)
    throw new SyntaxFault(bytes.length, `/${key} leads out of the file`)
  return offset
}

interface Budget {
  entries: number
}

function readSection(bytes: Uint8Array, offset: number, budget: Budget): Section {
  const scanner = scan(bytes, offset)
  skipWhite(scanner)
  const back = scanner.at
  if (readWord(scanner) !== 'xref') return readStreamSection(bytes, back, budget)
  const entries = readTable(scanner, budget)
  const trailer = readValue(scanner)
  if (trailer.kind !== 'dictionary') throw new SyntaxFault(scanner.at, 'a trailer is no dictionary')
  // A hybrid file: what the table calls free may stand in a stream (7.5.8.4).
  const hybrid = offsetIn(trailer, 'XRefStm', bytes)
  if (hybrid === null) return { offset, trailer, entries }
  const hidden = readStreamSection(bytes, hybrid, budget).entries
  for (const [number, entry] of hidden) if ((entries.get(number)?.kind ?? 'free') === 'free') entries.set(number, entry)
  return { offset, trailer, entries }
}

/** Subsections up to the word `trailer`. */
function readTable(scanner: Scanner, budget: Budget): Map<number, Entry> {
  const entries = new Map<number, Entry>()
  for (;;) {
    skipWhite(scanner)
    const word = readWord(scanner)
    if (word === 'trailer') return entries
    const first = whole(scanner, word)
    const count = whole(scanner, nextWord(scanner))
    for (let index = 0; index < count; index++) {
      spend(scanner, budget)
      const offset = whole(scanner, nextWord(scanner))
      const generation = whole(scanner, nextWord(scanner))
      const kind = nextWord(scanner)
      if (kind !== 'n' && kind !== 'f') throw new SyntaxFault(scanner.at, 'an entry is neither in use nor free')
      entries.set(first + index, kind === 'n' ? { kind: 'offset', offset, generation } : { kind: 'free' })
    }
  }
}

function nextWord(scanner: Scanner): string {
  skipWhite(scanner)
  return readWord(scanner)
}

function whole(scanner: Scanner, word: string): number {
  if (!/^\d{1,12}$/.test(word)) throw new SyntaxFault(scanner.at, 'a number is missing in a cross-reference table')
  return Number(word)
}

function spend(scanner: Scanner, budget: Budget): void {
  if (budget.entries-- <= 0)
    throw new SyntaxFault(scanner.at, `there are more than ${crossReferenceLimits.entries} objects`)
}

const numbersOf = (value: PdfValue | undefined): number[] | null =>
  value?.kind === 'array' && value.items.every((item) => item.kind === 'number')
    ? value.items.map((item) => (item as { value: number }).value)
    : null

/** A cross-reference stream (7.5.8): fields of the widths /W, in rows for the subsections of /Index. */
function readStreamSection(bytes: Uint8Array, offset: number, budget: Budget): Section {
  const { value } = readIndirect(bytes, offset, directLength)
  if (value.kind !== 'stream') throw new SyntaxFault(offset, 'no cross-reference section begins here')
  const { entries: keys } = value.dictionary
  const type = keys.get('Type')
  const widths = numbersOf(keys.get('W'))
  const size = keys.get('Size')
  if (type?.kind !== 'name' || type.value !== 'XRef' || widths?.length !== 3 || size?.kind !== 'number')
    throw new SyntaxFault(offset, 'a cross-reference stream is malformed')
  if (widths.some((width) => !Number.isInteger(width) || width < 0 || width > 8))
    throw new SyntaxFault(offset, 'a cross-reference stream has fields without measure')
  const data = decodeStream(value as PdfStream)
  const ranges = numbersOf(keys.get('Index')) ?? [0, size.value]
  return { offset, trailer: value.dictionary, entries: readRows(data, widths, ranges, scan(bytes, offset), budget) }
}

export const directLength = (value: PdfValue | undefined): number | null =>
  value?.kind === 'number' ? value.value : null

function readRows(
  data: Uint8Array,
  widths: readonly number[],
  ranges: readonly number[],
  scanner: Scanner,
  budget: Budget,
): Map<number, Entry> {
  const entries = new Map<number, Entry>()
  const [typeWidth = 0, secondWidth = 0, thirdWidth = 0] = widths
  let at = 0
  const field = (width: number): number => {
    let value = 0
    for (let index = 0; index < width; index++) value = value * 256 + (data[at++] as number)
    return value
  }
  for (let range = 0; range + 1 < ranges.length; range += 2) {
    const [first = 0, count = 0] = ranges.slice(range)
    for (let index = 0; index < count; index++) {
      spend(scanner, budget)
      if (at + typeWidth + secondWidth + thirdWidth > data.length)
        throw new SyntaxFault(scanner.at, 'a cross-reference stream ends early')
      const type = typeWidth === 0 ? 1 : field(typeWidth)
      const second = field(secondWidth)
      const third = field(thirdWidth)
      if (type === 0) entries.set(first + index, { kind: 'free' })
      if (type === 1) entries.set(first + index, { kind: 'offset', offset: second, generation: third })
      if (type === 2) entries.set(first + index, { kind: 'packed', stream: second, index: third })
    }
  }
  return entries
}
