/**
 * Incremental updates (ISO 32000-1, 7.5.6): what a file says stays where it is, byte for byte; changed and new objects are
 * appended with a cross-reference section that names the one before.
 *
 * ```
 * xref
 * 3 1                      first number, count
 * 0000001234 00000 n       20 bytes each: offset, generation, in use
 * trailer
 * << /Size 12 /Root 3 0 R /Prev 1000 >>
 * startxref
 * 2000
 * %%EOF
 * ```
 */
import { createHash } from 'node:crypto'
import { type PdfDictionary, readDictionary, skipSpace, writeDictionary } from './syntax.ts'

export interface PdfRevision {
  /** The whole file as Latin-1. */
  text: string
  trailer: PdfDictionary
  /** Of the last cross-reference section. */
  start: number
  /** Where each object begins, by its number; null where it is free. All are of generation 0. */
  offsets: ReadonlyMap<number, number | null>
}

/** A chain of more sections is none that a program wrote. */
const mostSections = 1000

/**
 * Reads the cross-reference tables from the last to the first. Throws RangeError for a file without, such as one that
 * has cross-reference streams, and for a damaged one.
 */
export function readRevision(bytes: Uint8Array): PdfRevision {
  const text = Buffer.from(bytes).toString('latin1')
  const ending = /startxref[\r\n ]+(\d+)[\r\n ]+%%EOF[\r\n ]*$/.exec(text.slice(-1100))
  if (ending === null) throw new RangeError('the file does not end as a PDF does')
  const start = Number(ending[1])
  const offsets = new Map<number, number | null>()
  const seen = new Set<number>()
  let newest: PdfDictionary | null = null
  for (let next: number | null = start; next !== null; ) {
    if (seen.has(next) || seen.size > mostSections) throw new RangeError('the cross-reference sections run in a circle')
    seen.add(next)
    const trailer = readSection(text, next, offsets)
    if (trailer.has('/XRefStm')) throw new RangeError('the file has cross-reference streams')
    newest ??= trailer
    const previous = trailer.get('/Prev')
    next = previous === undefined ? null : Number(previous)
  }
  if (newest?.has('/Encrypt')) throw new RangeError('the file is encrypted')
  return { text, trailer: newest as PdfDictionary, start, offsets }
}

/** Notes the objects of one section that no later one has named. */
function readSection(text: string, start: number, offsets: Map<number, number | null>): PdfDictionary {
  if (!/^xref[\r\n ]/.test(text.slice(start, start + 5)))
    throw new RangeError(`no cross-reference table at byte ${start}`)
  let position = skipSpace(text, start + 4)
  while (!text.startsWith('trailer', position)) {
    const head = matchAt(/(\d+) (\d+)[\r\n ]+/y, text, position)
    position = head.end
    const [first, count] = head.numbers as [number, number]
    for (let index = 0; index < count; index++) {
      const entry = matchAt(/(\d{10}) (\d{5}) [nf][\r\n ]{1,2}/y, text, position)
      const [offset, generation] = entry.numbers as [number, number]
      const isInUse = text[position + 17] === 'n'
      if (isInUse && generation !== 0) throw new RangeError('the file has objects of later generations')
      if (!offsets.has(first + index)) offsets.set(first + index, isInUse ? offset : null)
      position = entry.end
    }
    position = skipSpace(text, position)
  }
  return readDictionary(text, position + 'trailer'.length).dictionary
}

function matchAt(expression: RegExp, text: string, at: number): { numbers: number[]; end: number } {
  expression.lastIndex = at
  const found = expression.exec(text)
  if (found === null) throw new RangeError(`the cross-reference table is damaged at byte ${at}`)
  return { numbers: found.slice(1).map(Number), end: expression.lastIndex }
}

/** The dictionary that is object `number`. Throws RangeError where there is none. */
export function readObject({ text, offsets }: PdfRevision, number: number | null): PdfDictionary {
  const offset = number === null ? null : (offsets.get(number) ?? null)
  if (offset === null) throw new RangeError(`object ${number} is missing`)
  const head = matchAt(/(\d+)[\r\n ]+(\d+)[\r\n ]+obj/y, text, offset)
  if (head.numbers[0] !== number) throw new RangeError(`object ${number} is not where the table says`)
  return readDictionary(text, head.end).dictionary
}

/** ISO 32000-1, annex C. */
const mostObjects = 8_388_607

/** The next free object number. Throws RangeError where the trailer does not count its objects. */
export function nextNumber({ trailer, offsets }: PdfRevision): number {
  const size = trailer.get('/Size') ?? ''
  const next = offsets.keys().reduce((most, number) => Math.max(most, number + 1), Number(size))
  if (!/^\d+$/.test(size) || next >= mostObjects) throw new RangeError('the trailer does not count the objects')
  return next
}

/**
 * The file with objects (by number: the text between `obj` and `endobj`) appended. Of the file's two identifiers (14.4)
 * the second becomes another one, made from all the bytes before it.
 */
export function appendObjects(revision: PdfRevision, objects: ReadonlyMap<number, string>): Uint8Array {
  const { text, trailer, start } = revision
  const parts = [text, /[\r\n]$/.test(text) ? '' : '\n']
  let length = parts.join('').length
  const placed = [...objects].sort(([one], [other]) => one - other)
  const entries = placed.map(([number, content]) => {
    const object = `${number} 0 obj\n${content}\nendobj\n`
    const offset = length
    parts.push(object)
    length += object.length
    return `${number} 1\n${String(offset).padStart(10, '0')} 00000 n \n`
  })
  const identifier = createHash('sha256').update(parts.join(''), 'latin1').digest('hex').slice(0, 32)
  const first = /^\[\s*(<[^>]*>|\((?:[^\\()]|\\.)*\))/s.exec(trailer.get('/ID') ?? '')?.[1] ?? `<${identifier}>`
  const updated = new Map([
    ...[...trailer].filter(([key]) => ['/Root', '/Info'].includes(key)),
    ['/Size', String(objects.keys().reduce((most, number) => Math.max(most, number + 1), nextNumber(revision)))],
    ['/Prev', String(start)],
    ['/ID', `[${first} <${identifier}>]`],
  ] as [string, string][])
  parts.push(`xref\n${entries.join('')}trailer\n${writeDictionary(updated)}\nstartxref\n${length}\n%%EOF\n`)
  return new Uint8Array(Buffer.from(parts.join(''), 'latin1'))
}
