/** A PDF opened at one of its ends: its objects as the revision that ends there has them. */
import { directLength, type Entry, readSections, type Section } from './cross-reference.ts'
import { type Decrypt, openEncryption } from './decryption.ts'
import { decodeStream } from './filters.ts'
import {
  latin,
  nameOf,
  type PdfDictionary,
  type PdfReference,
  type PdfValue,
  readIndirect,
  readValue,
  readWord,
  SyntaxFault,
  scan,
  skipWhite,
} from './syntax.ts'

export interface PdfFile {
  bytes: Uint8Array
  /** From the newest revision to the oldest; empty where `damage` is told. */
  sections: readonly Section[]
  /** Of every object in use, the newest. */
  entries: ReadonlyMap<number, Entry>
  trailer: PdfDictionary
  /** Why the cross-references could not be followed, so that the objects were looked for; null where all is well. */
  damage: string | null
  encrypted: boolean
  /** The object of that number; null where there is none, or where none stands. Throws SyntaxFault when too much was read. */
  get(number: number): PdfValue | null
  /** Follows references. */
  resolve(value: PdfValue | undefined): PdfValue | null
  /** Where the object stands, for comparison of two ends of one file: equal places hold equal bytes. */
  placeOf(number: number): string
}

/** Throws SyntaxFault where no object can be found at all. */
export function openPdf(bytes: Uint8Array): PdfFile {
  try {
    const sections = readSections(bytes)
    const [newest] = sections
    if (newest === undefined) throw new SyntaxFault(0, 'there is no cross-reference section')
    const file = assemble(bytes, sections, mergeEntries(sections), newest.trailer, null)
    if (catalogOf(file) === null) throw new SyntaxFault(newest.offset, 'the trailer leads to no catalog')
    return file
  } catch (error) {
    if (!(error instanceof SyntaxFault)) throw error
    return rebuild(bytes, error.message)
  }
}

function mergeEntries(sections: readonly Section[]): Map<number, Entry> {
  const entries = new Map<number, Entry>()
  for (const section of sections)
    for (const [number, entry] of section.entries) if (!entries.has(number)) entries.set(number, entry)
  return entries
}

/** Every `N G obj` in the bytes, the last one of a number speaking: what a viewer does with a damaged file. */
function rebuild(bytes: Uint8Array, damage: string): PdfFile {
  const entries = new Map<number, Entry>()
  let trailer: PdfDictionary | null = null
  for (const found of latin(bytes).matchAll(
    /(?<!\d)(\d{1,10})[\0\t\n\f\r ]{1,4}(\d{1,5})[\0\t\n\f\r ]{1,4}obj|trailer/g,
  )) {
    const [word, number, generation] = found
    if (word !== 'trailer')
      entries.set(Number(number), { kind: 'offset', offset: found.index, generation: Number(generation) })
    else trailer = tryTrailer(bytes, found.index + word.length) ?? trailer
  }
  const file = assemble(bytes, [], entries, trailer ?? emptyDictionary, damage)
  if (catalogOf(file) !== null) return file
  return assemble(bytes, [], entries, findRoot(file, entries), damage)
}

const emptyDictionary: PdfDictionary = { kind: 'dictionary', entries: new Map(), doubled: [] }

function tryTrailer(bytes: Uint8Array, at: number): PdfDictionary | null {
  try {
    const value = readValue(scan(bytes, at))
    return value.kind === 'dictionary' && value.entries.has('Root') ? value : null
  } catch (error) {
    if (error instanceof SyntaxFault) return null
    throw error
  }
}

/** A trailer for a file that has lost its own: the last catalog. */
function findRoot(file: PdfFile, entries: ReadonlyMap<number, Entry>): PdfDictionary {
  let root: PdfReference | null = null
  for (const [number] of entries) {
    const value = tryGet(file, number)
    if (value?.kind === 'dictionary' && nameIn(value, 'Type') === 'Catalog')
      root = { kind: 'reference', number, generation: 0 }
  }
  return { ...emptyDictionary, entries: new Map(root === null ? [] : [['Root', root]]) }
}

function tryGet(file: PdfFile, number: number): PdfValue | null {
  try {
    return file.get(number)
  } catch (error) {
    if (error instanceof SyntaxFault) return null
    throw error
  }
}

/** Reading may cost this many times the size of the file, and a floor for small ones: entries may overlap without end. */
const mostPasses = 8
const leastBudget = 16 * 1024 * 1024

function assemble(
  bytes: Uint8Array,
  sections: readonly Section[],
  entries: ReadonlyMap<number, Entry>,
  trailer: PdfDictionary,
  damage: string | null,
): PdfFile {
  let budget = Math.max(leastBudget, bytes.length * mostPasses)
  const known = new Map<number, PdfValue | null>()
  const packs = new Map<number, readonly PdfValue[]>()
  const spend = (cost: number) => {
    budget -= cost
    if (budget < 0) throw new SyntaxFault(bytes.length, 'its objects overlap or expand without measure')
  }
  const pending = new Set<number>()
  const lengthOf = (value: PdfValue | undefined) => {
    const found = value?.kind === 'reference' ? get(value.number) : value
    return directLength(found ?? undefined)
  }
  const encryption = trailer.entries.get('Encrypt')
  let decrypt: Decrypt | null | undefined = encryption === undefined ? null : undefined
  const openFile = (): Decrypt | null => {
    if (decrypt !== undefined) return decrypt
    // What tells how the rest is encrypted is not.
    decrypt = null
    const identifier = resolve(trailer.entries.get('ID'))
    const first = identifier?.kind === 'array' ? resolve(identifier.items[0]) : null
    const dictionary = resolve(encryption)
    if (dictionary?.kind === 'dictionary')
      decrypt = openEncryption(dictionary, first?.kind === 'string' ? first.value : new Uint8Array())
    return decrypt
  }
  const readEntry = (number: number): PdfValue | null => {
    const entry = entries.get(number)
    if (entry === undefined || entry.kind === 'free') return null
    if (entry.kind === 'packed') return unpack(entry.stream)[entry.index] ?? null
    if (entry.offset >= bytes.length) return null
    const object = readIndirect(bytes, entry.offset, lengthOf)
    spend(object.end - object.start)
    if (object.number !== number) return null
    return openFile()?.(object.value, number, object.generation) ?? object.value
  }
  const get = (number: number): PdfValue | null => {
    const found = known.get(number)
    if (found !== undefined) return found
    if (pending.has(number)) return null
    pending.add(number)
    const value = readEntry(number)
    pending.delete(number)
    known.set(number, value)
    return value
  }
  const unpack = (number: number): readonly PdfValue[] => {
    const found = packs.get(number)
    if (found !== undefined) return found
    // What cannot be read must not be taken for what is not there (7.5.7: such streams are encrypted as a whole).
    if (encryption !== undefined && openFile() === null) throw new SyntaxFault(0, 'its objects are encrypted')
    const stream = get(number)
    const objects = stream?.kind === 'stream' ? unpackObjects(stream, spend) : []
    packs.set(number, objects)
    return objects
  }
  const resolve = (value: PdfValue | undefined): PdfValue | null => {
    let current = value ?? null
    for (let steps = 0; current?.kind === 'reference'; steps++) {
      if (steps > 16) return null
      current = get(current.number)
    }
    return current
  }
  const placeOf = (number: number): string => {
    const entry = entries.get(number)
    if (entry === undefined || entry.kind === 'free') return 'none'
    return entry.kind === 'offset'
      ? `${entry.offset}`
      : `${placeOf(entry.stream === number ? -1 : entry.stream)}:${entry.index}`
  }
  return { bytes, sections, entries, trailer, damage, encrypted: encryption !== undefined, get, resolve, placeOf }
}

/** An object stream (7.5.7): pairs of number and offset, then the objects from /First on. */
function unpackObjects(stream: Extract<PdfValue, { kind: 'stream' }>, spend: (cost: number) => void): PdfValue[] {
  const count = stream.dictionary.entries.get('N')
  const first = stream.dictionary.entries.get('First')
  if (count?.kind !== 'number' || first?.kind !== 'number') throw new SyntaxFault(0, 'an object stream is malformed')
  const data = decodeStream(stream)
  spend(data.length)
  const head = scan(data, 0)
  const objects: PdfValue[] = []
  for (let index = 0; index < count.value; index++) {
    skipWhite(head)
    readWord(head)
    skipWhite(head)
    const offset = Number(readWord(head))
    if (!Number.isInteger(offset)) throw new SyntaxFault(head.at, 'an object stream is malformed')
    const body = scan(data, first.value + offset)
    objects.push(readValue(body))
    spend(body.at - first.value - offset)
  }
  return objects
}

export function catalogOf(file: PdfFile): PdfDictionary | null {
  const root = file.resolve(file.trailer.entries.get('Root'))
  return root?.kind === 'dictionary' ? root : null
}

export const nameIn = ({ entries }: PdfDictionary, key: string): string | null => nameOf(entries.get(key))

export function dictionaryIn(file: PdfFile, { entries }: PdfDictionary, key: string): PdfDictionary | null {
  const value = file.resolve(entries.get(key))
  return value?.kind === 'dictionary' ? value : null
}

export function arrayIn(file: PdfFile, { entries }: PdfDictionary, key: string): readonly PdfValue[] {
  const value = file.resolve(entries.get(key))
  return value?.kind === 'array' ? value.items : []
}

/** Text of a string or name: UTF-16 with its mark, else one byte a character (7.9.2.2, as far as Latin goes). */
export function textOf(value: PdfValue | null | undefined): string | null {
  if (value?.kind === 'name') return value.value
  if (value?.kind === 'number' || value?.kind === 'boolean') return String(value.value)
  if (value?.kind !== 'string') return null
  const bytes = value.value
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes.subarray(2))
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return new TextDecoder().decode(bytes.subarray(3))
  return latin(bytes)
}
