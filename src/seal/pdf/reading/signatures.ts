/**
 * The signatures of a PDF (ISO 32000-1, 12.8): those that fields of the form hold, and dictionaries in the bytes that no
 * field holds any more. What each covers is told by positions alone.
 */
import { arrayIn, catalogOf, dictionaryIn, nameIn, type PdfFile, textOf } from './file.ts'
import { listFields } from './form.ts'
import { latin, type PdfDictionary, type PdfString, type PdfValue, readIndirect, SyntaxFault } from './syntax.ts'

export interface FoundSignature {
  /** Full name of the field that holds it; null where none does. */
  field: string | null
  dictionary: PdfDictionary
}

/** The most that are examined: more are a file made to keep a reader busy. */
export const mostSignatures = 40

/** Signed fields in the order of the form, then what no field holds. Usage rights (12.8.2.3) are no signature of anybody's. */
export function findSignatures(file: PdfFile): FoundSignature[] {
  const held = listFields(file)
    .filter(({ type, value }) => value?.kind === 'dictionary' && (type === 'Sig' || isSignature(value)))
    .map(({ name, value }) => ({ field: name, dictionary: value as PdfDictionary }))
  const starts = new Set([...held.map(({ dictionary }) => dictionary), ...usageRights(file)].map(startOf))
  const stray = findDictionaries(file).filter((dictionary) => {
    const start = startOf(dictionary)
    return starts.has(start) ? false : starts.add(start)
  })
  return [...held, ...stray.map((dictionary) => ({ field: null, dictionary }))]
}

/** Where its /Contents stand, by which a signature is known; -1 where it has none. */
const startOf = (dictionary: PdfDictionary): number => contentsOf(dictionary)?.start ?? -1

function usageRights(file: PdfFile): PdfDictionary[] {
  const catalog = catalogOf(file)
  const granted = catalog === null ? null : dictionaryIn(file, catalog, 'Perms')
  if (granted === null) return []
  return ['UR', 'UR3'].flatMap((key) => dictionaryIn(file, granted, key) ?? [])
}

const isSignature = (value: PdfDictionary): boolean => value.entries.has('ByteRange')

/** The string of /Contents with its place; null where it is none, or stands in another object. */
export const contentsOf = ({ entries }: PdfDictionary): PdfString | null => {
  const value = entries.get('Contents')
  return value?.kind === 'string' ? value : null
}

const mostOccurrences = 500

/**
 * Objects with a byte range that any revision of the file knows or knew: alone, or as the value of a field. What stands in
 * an embedded file is none of them.
 */
function findDictionaries(file: PdfFile): PdfDictionary[] {
  const { bytes } = file
  const places = new Set(
    file.sections.flatMap(({ entries }) =>
      entries
        .values()
        .flatMap((entry) => (entry.kind === 'offset' ? [entry.offset] : []))
        .toArray(),
    ),
  )
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length)
  const found: PdfDictionary[] = []
  let at = text.indexOf('/ByteRange')
  for (let count = 0; at >= 0 && count < mostOccurrences; count++) {
    const place = placeAround(bytes, text, at)
    const dictionary = place !== null && (file.damage !== null || places.has(place)) ? signatureAt(bytes, place) : null
    if (dictionary !== null) found.push(dictionary)
    at = text.indexOf('/ByteRange', at + 1)
  }
  return found
}

/** A field's widget and a signature are hardly longer before the byte range than their /Contents. */
const longestObject = 1024 * 1024

/** Where the object begins that the position is in; null where none does. */
function placeAround(bytes: Uint8Array, text: Buffer, at: number): number | null {
  const begin = text.lastIndexOf(' obj', at)
  if (begin < 0 || at - begin > longestObject) return null
  const number = /\d{1,10}[\0\t\n\f\r ]+\d{1,5}$/.exec(latin(bytes.subarray(Math.max(0, begin - 20), begin)))
  return number ? begin - number[0].length : null
}

function signatureAt(bytes: Uint8Array, place: number): PdfDictionary | null {
  try {
    const { value } = readIndirect(bytes, place, () => null)
    return value.kind === 'dictionary' ? signatureIn(value) : null
  } catch (error) {
    if (error instanceof SyntaxFault) return null
    throw error
  }
}

function signatureIn(dictionary: PdfDictionary): PdfDictionary | null {
  if (isSignature(dictionary)) return contentsOf(dictionary) === null ? null : dictionary
  const value = dictionary.entries.get('V')
  return value?.kind === 'dictionary' && isSignature(value) ? value : null
}

export type Coverage =
  | { sound: true; end: number; signature: Uint8Array; signed: () => Uint8Array }
  | { sound: false; code: string; text: string }

/**
 * What the byte range says that the signature covers: from the first byte to `end`, but for its own /Contents. The
 * signature is the DER value at the head of /Contents; zeros fill up what was reserved.
 */
export function measureCoverage(bytes: Uint8Array, dictionary: PdfDictionary): Coverage {
  const fault = (code: string, text: string): Coverage => ({ sound: false, code, text })
  const doubled = dictionary.doubled.find((key) => ['ByteRange', 'Contents', 'SubFilter', 'Reference'].includes(key))
  if (doubled !== undefined)
    return fault('ambiguous', `The signature states its /${doubled} twice, and readers differ in which they take`)
  const contents = contentsOf(dictionary)
  if (contents === null) return fault('no-contents', 'The signature is empty')
  const range = rangeOf(dictionary.entries.get('ByteRange'))
  if (range === null)
    return fault('range-malformed', 'The byte range, which says what the signature covers, is not four whole numbers')
  const [first, firstLength, second, secondLength] = range
  const end = second + secondLength
  if (first !== 0) return fault('range-start', `The byte range leaves out the first ${first} bytes of the file`)
  if (end > bytes.length || firstLength > bytes.length)
    return fault('range-beyond', `The byte range ends at ${end}, and the file at ${bytes.length}`)
  if (second < firstLength) return fault('range-overlaps', 'The two parts of the byte range overlap')
  if (firstLength !== contents.start || second !== contents.end)
    return fault(
      'range-gap',
      `The byte range leaves out ${second - firstLength} bytes at ${firstLength}, which are not the signature itself (${contents.end - contents.start} bytes at ${contents.start})`,
    )
  if (!contents.plainHex) return fault('contents-form', 'The signature is not written as hexadecimal digits alone')
  const length = lengthOfDer(contents.value)
  if (length === null) return fault('no-signature', 'What stands where the signature should is none')
  if (contents.value.subarray(length).some((byte) => byte !== 0))
    return fault('padding', 'Other bytes than zeros follow the signature within its place')
  const signed = () => new Uint8Array(Buffer.concat([bytes.subarray(0, firstLength), bytes.subarray(second, end)]))
  return { sound: true, end, signature: contents.value.slice(0, length), signed }
}

function rangeOf(value: PdfValue | undefined): readonly [number, number, number, number] | null {
  if (value?.kind !== 'array' || value.items.length !== 4) return null
  const numbers = value.items.map((item) => (item.kind === 'number' ? item.value : -1))
  if (!numbers.every((number) => Number.isSafeInteger(number) && number >= 0)) return null
  return numbers as unknown as readonly [number, number, number, number]
}

/** Length of the first ASN.1 value, header included; null where none begins. An indefinite length takes all but the zeros. */
function lengthOfDer(bytes: Uint8Array): number | null {
  if (bytes.length < 4 || bytes[0] !== 0x30) return null
  const first = bytes[1] as number
  if (first === 0x80) return indefiniteLength(bytes)
  const count = first < 0x80 ? 0 : first & 0x7f
  if (count > 4 || 2 + count > bytes.length) return null
  const length = count === 0 ? first : bytes.subarray(2, 2 + count).reduce((sum, byte) => sum * 256 + byte, 0)
  return 2 + count + length <= bytes.length ? 2 + count + length : null
}

/** BER: two zeros end each open value, so that of the zeros at the end no more than the nesting are part of it. */
function indefiniteLength(bytes: Uint8Array): number | null {
  let end = 2
  let depth = 1
  while (depth > 0) {
    if (end + 2 > bytes.length) return null
    if (bytes[end] === 0 && bytes[end + 1] === 0) {
      depth--
      end += 2
      continue
    }
    const length = bytes[end + 1] as number
    if (length === 0x80) {
      depth++
      end += 2
      continue
    }
    const count = length < 0x80 ? 0 : length & 0x7f
    if (count > 4) return null
    const size =
      count === 0 ? length : bytes.subarray(end + 2, end + 2 + count).reduce((sum, byte) => sum * 256 + byte, 0)
    end += 2 + count + size
  }
  return end <= bytes.length ? end : null
}

export const kindOf = (file: PdfFile, dictionary: PdfDictionary) =>
  nameIn(dictionary, 'SubFilter') === 'ETSI.RFC3161' || nameIn(dictionary, 'Type') === 'DocTimeStamp'
    ? ('time-stamp' as const)
    : permissionOf(file, dictionary) !== null
      ? ('certification' as const)
      : ('approval' as const)

const permissions = { 1: 'nothing', 2: 'filling-in', 3: 'comments' } as const

/** The author's rule for later changes (DocMDP, 12.8.2.2); 2 where it states none. */
export function permissionOf(file: PdfFile, dictionary: PdfDictionary) {
  const [parameters] = transformsOf(file, dictionary, 'DocMDP')
  if (parameters === undefined) return null
  const level = parameters?.entries.get('P')
  return permissions[(level?.kind === 'number' ? level.value : 2) as 1 | 2 | 3] ?? 'filling-in'
}

/** The parameters of the signature's references of one method (12.8.1, table 253); null for one that has none. */
function transformsOf(file: PdfFile, dictionary: PdfDictionary, method: string): (PdfDictionary | null)[] {
  return arrayIn(file, dictionary, 'Reference').flatMap((item) => {
    const reference = file.resolve(item)
    if (reference?.kind !== 'dictionary' || nameIn(reference, 'TransformMethod') !== method) return []
    return [dictionaryIn(file, reference, 'TransformParams')]
  })
}

/**
 * Which fields of the form the signature locks (FieldMDP, 12.8.2.4), by their full names: a field that is named, and those
 * beneath it. A rule that is none locks all.
 */
export function findLocks(file: PdfFile, dictionary: PdfDictionary): (name: string) => boolean {
  const locks = transformsOf(file, dictionary, 'FieldMDP').map((parameters) => {
    const action = parameters === null ? null : nameIn(parameters, 'Action')
    const named =
      parameters === null ? [] : arrayIn(file, parameters, 'Fields').map((item) => textOf(file.resolve(item)))
    const isNamed = (name: string) => named.some((one) => one !== null && (name === one || name.startsWith(`${one}.`)))
    if (action === 'Include') return isNamed
    return action === 'Exclude' ? (name: string) => !isNamed(name) : () => true
  })
  return (name) => locks.some((isLocked) => isLocked(name))
}

/** Does the file say that it was signed, though it holds no signature? The text says what says so. */
export function findTraceOfSignature(file: PdfFile): string | null {
  const catalog = catalogOf(file)
  if (catalog === null) return null
  const form = dictionaryIn(file, catalog, 'AcroForm')
  const flags = form === null ? null : file.resolve(form.entries.get('SigFlags'))
  // Bit 2, AppendOnly: set when a file is signed (12.7.2, table 219).
  if (flags?.kind === 'number' && (flags.value & 2) !== 0) return 'its form is marked as signed'
  if (catalog.entries.has('DSS')) return 'it carries what signatures are verified with'
  const granted = dictionaryIn(file, catalog, 'Perms')
  return granted?.entries.has('DocMDP') ? 'it names the signature of its author' : null
}

export const claimedName = (dictionary: PdfDictionary): string | null => textOf(dictionary.entries.get('Name') ?? null)
