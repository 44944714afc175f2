/**
 * Incremental updates (ISO 32000-1, 7.5.6): what a file says stays where it is, byte for byte; changed and new objects are
 * appended with a cross-reference table that names the one before.
 *
 * ```
 * 3 0 obj … endobj
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
import { openPdf, type PdfFile } from './reading/file.ts'
import { latin, type PdfReference, type PdfValue } from './reading/syntax.ts'

/** Entries of a dictionary by their names; text is taken as it is, in PDF's own syntax. */
export type Entries = ReadonlyMap<string, PdfValue | string>

/**
 * Opens a file that can be updated so: undamaged, not encrypted, its last cross-reference section a table. Throws
 * RangeError for any other; SyntaxFault, also later, for one that is not written as the standard says.
 */
export function openForUpdate(bytes: Uint8Array): PdfFile {
  const file = openPdf(bytes)
  if (file.damage !== null) throw new RangeError(`the file is damaged (${file.damage})`)
  if (file.encrypted) throw new RangeError('the file is encrypted')
  if (file.trailer.entries.has('Type')) throw new RangeError('the file has cross-reference streams')
  if (!/%%EOF\s*$/.test(latin(bytes.subarray(-20)))) throw new RangeError('more follows the end of the file')
  return file
}

/** ISO 32000-1, annex C. */
const mostObjects = 8_388_607

/** The next free object number. */
export function nextNumber({ trailer, entries }: PdfFile): number {
  const size = trailer.entries.get('Size')
  const stated = size?.kind === 'number' ? size.value : Number.NaN
  const next = entries.keys().reduce((most, number) => Math.max(most, number + 1), stated)
  if (Number.isInteger(next) && next > 0 && next < mostObjects) return next
  throw new RangeError('the trailer does not count the objects')
}

export interface Addition {
  reference: PdfReference
  entries: Entries
}

/**
 * The file with dictionaries appended as objects. Of its two identifiers (14.4) the second becomes another one, made from
 * all the bytes before it.
 */
export function appendObjects(file: PdfFile, additions: readonly Addition[]): Buffer {
  const { bytes, trailer, sections } = file
  const parts: string[] = [/[\r\n]$/.test(latin(bytes.subarray(-1))) ? '' : '\n']
  let offset = bytes.length + (parts[0] as string).length
  const rows = additions.toSorted(byNumber).map(({ reference: { number, generation }, entries }) => {
    const object = `${number} ${generation} obj\n${writeDictionary(entries)}\nendobj\n`
    const row = `${number} 1\n${pad(offset, 10)} ${pad(generation, 5)} n \n`
    parts.push(object)
    offset += object.length
    return row
  })
  const digest = createHash('sha256').update(bytes).update(parts.join(''), 'latin1').digest('hex').slice(0, 32)
  const kept = ['Root', 'Info'].flatMap((key): [string, PdfValue][] => {
    const value = trailer.entries.get(key)
    return value === undefined ? [] : [[key, value]]
  })
  const numbers = additions.map(({ reference }) => reference.number + 1)
  const updated: Entries = new Map([
    ...kept,
    ['Size', `${Math.max(nextNumber(file), ...numbers)}`],
    ['Prev', `${sections[0]?.offset}`],
    ['ID', `[${firstIdentifier(file) ?? `<${digest}>`} <${digest}>]`],
  ] as [string, PdfValue | string][])
  parts.push(`xref\n${rows.join('')}trailer\n${writeDictionary(updated)}\nstartxref\n${offset}\n%%EOF\n`)
  return Buffer.concat([bytes, Buffer.from(parts.join(''), 'latin1')])
}

const byNumber = (one: Addition, other: Addition): number => one.reference.number - other.reference.number
const pad = (value: number, length: number): string => String(value).padStart(length, '0')

function firstIdentifier({ trailer }: PdfFile): string | null {
  const identifiers = trailer.entries.get('ID')
  const [first] = identifiers?.kind === 'array' ? identifiers.items : []
  return first?.kind === 'string' ? writeValue(first) : null
}

const writeDictionary = (entries: Entries): string =>
  `<<\n${[...entries].map(([key, value]) => `${writeName(key)} ${typeof value === 'string' ? value : writeValue(value)}\n`).join('')}>>`

/** The value in Latin-1, strings as hexadecimal. */
export function writeValue(value: PdfValue): string {
  switch (value.kind) {
    case 'null':
      return 'null'
    case 'boolean':
      return String(value.value)
    case 'number':
      // PDF knows no exponents (7.3.3).
      return Number.isInteger(value.value) ? String(value.value) : value.value.toFixed(10)
    case 'name':
      return writeName(value.value)
    case 'string':
      return `<${Buffer.from(value.value).toString('hex')}>`
    case 'reference':
      return `${value.number} ${value.generation} R`
    case 'array':
      return `[${value.items.map(writeValue).join(' ')}]`
    case 'dictionary':
      return writeDictionary(value.entries)
    case 'stream':
      throw new RangeError('a stream stands where none can')
  }
}

/** 7.3.5: all but regular characters as `#xx`. */
const writeName = (name: string): string =>
  `/${name.replaceAll(/[^!-~]|[#()<>[\]{}/%]/g, (character) => `#${character.charCodeAt(0).toString(16).padStart(2, '0')}`)}`

/** A text string (7.9.2.2) of any letters, in UTF-16 with its mark. */
export const writeText = (text: string): string => `<feff${Buffer.from(text, 'utf16le').swap16().toString('hex')}>`

/** A date (7.9.4) in UTC. */
export const writeDate = (time: Date): string => `(D:${time.toISOString().slice(0, 19).replaceAll(/[-:T]/g, '')}Z)`
