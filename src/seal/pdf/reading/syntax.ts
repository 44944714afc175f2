/**
 * The objects of PDF (ISO 32000-1, 7.3) read from bytes, with the positions that a signature is judged by. Strict where a
 * viewer guesses: what is not written as the standard says is a SyntaxFault.
 */

export interface PdfString {
  kind: 'string'
  value: Uint8Array
  /** Position of the opening bracket, and the one after the closing bracket. */
  start: number
  end: number
  /** Written as `<…>`, with nothing but digits inside. */
  plainHex: boolean
}

export interface PdfDictionary {
  kind: 'dictionary'
  entries: ReadonlyMap<string, PdfValue>
  /** Keys that stand twice: readers differ in which one they take. */
  doubled: readonly string[]
}

export interface PdfReference {
  kind: 'reference'
  number: number
  generation: number
}

export interface PdfStream {
  kind: 'stream'
  dictionary: PdfDictionary
  /** As they stand in the file: encoded, perhaps encrypted. */
  data: Uint8Array
}

export type PdfValue =
  | { kind: 'null' }
  | { kind: 'boolean'; value: boolean }
  | { kind: 'number'; value: number }
  | { kind: 'name'; value: string }
  | { kind: 'array'; items: readonly PdfValue[] }
  | PdfString
  | PdfDictionary
  | PdfReference
  | PdfStream

export const nameOf = (value: PdfValue | undefined): string | null => (value?.kind === 'name' ? value.value : null)

/** What is not written as the standard says, and where. */
export class SyntaxFault extends Error {
  override name = 'SyntaxFault'
  constructor(position: number, what: string) {
    super(`byte ${position}: ${what}`)
  }
}

export interface Scanner {
  readonly bytes: Uint8Array
  at: number
  /** No byte from here on is looked at. */
  readonly end: number
}

export const scan = (bytes: Uint8Array, at: number, end = bytes.length): Scanner => ({ bytes, at, end })

/** Deeper than any honest file; what nests more is refused before it exhausts the stack. */
const deepest = 100

const code = (character: string): number => character.charCodeAt(0)

/** ISO 32000-1, 7.2.2. */
const isWhite = (byte: number | undefined): boolean =>
  byte === 0 || byte === 9 || byte === 10 || byte === 12 || byte === 13 || byte === 32
const delimiters: ReadonlySet<number> = new Set([...'()<>[]{}/%'].map(code))
const isRegular = (byte: number | undefined): boolean => byte !== undefined && !isWhite(byte) && !delimiters.has(byte)

const peek = ({ bytes, at, end }: Scanner, ahead = 0): number | undefined =>
  at + ahead < end ? bytes[at + ahead] : undefined

/** White space and comments. */
export function skipWhite(scanner: Scanner): void {
  for (;;) {
    const byte = peek(scanner)
    if (isWhite(byte)) scanner.at++
    else if (byte === code('%')) while (![10, 13, undefined].includes(peek(scanner))) scanner.at++
    else return
  }
}

/** A run of regular characters; empty where none stands. */
export function readWord(scanner: Scanner): string {
  const start = scanner.at
  while (isRegular(peek(scanner))) scanner.at++
  return latin(scanner.bytes.subarray(start, scanner.at))
}

export const latin = (bytes: Uint8Array): string =>
  Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString('latin1')

/** One value; a reference is told from two numbers by the R that follows. Throws SyntaxFault. */
export function readValue(scanner: Scanner, depth = 0): PdfValue {
  skipWhite(scanner)
  if (depth > deepest) throw new SyntaxFault(scanner.at, `values nest deeper than ${deepest}`)
  const first = peek(scanner)
  switch (first) {
    case undefined:
      throw new SyntaxFault(scanner.at, 'the file ends within a value')
    case code('/'):
      return { kind: 'name', value: readName(scanner) }
    case code('('):
      return readLiteral(scanner)
    case code('['):
      return readArray(scanner, depth)
    case code('<'):
      return peek(scanner, 1) === code('<') ? readDictionary(scanner, depth) : readHex(scanner)
    default:
      return readPlain(scanner)
  }
}

function readPlain(scanner: Scanner): PdfValue {
  const start = scanner.at
  const word = readWord(scanner)
  if (word === 'true' || word === 'false') return { kind: 'boolean', value: word === 'true' }
  if (word === 'null') return { kind: 'null' }
  if (!/^[+-]?(?:\d+\.?\d*|\.\d+)$/.test(word)) throw new SyntaxFault(start, `"${word.slice(0, 20)}" is no value`)
  if (!/^\d{1,10}$/.test(word)) return { kind: 'number', value: Number(word) }
  return tryReference(scanner, Number(word)) ?? { kind: 'number', value: Number(word) }
}

function tryReference(scanner: Scanner, number: number): PdfReference | null {
  const back = scanner.at
  skipWhite(scanner)
  const generation = readWord(scanner)
  skipWhite(scanner)
  if (/^\d{1,5}$/.test(generation) && readWord(scanner) === 'R')
    return { kind: 'reference', number, generation: Number(generation) }
  scanner.at = back
  return null
}

/** Without its slash; `#xx` is a byte (7.3.5). */
function readName(scanner: Scanner): string {
  scanner.at++
  return readWord(scanner).replaceAll(/#([0-9A-Fa-f]{2})/g, (_, digits: string) =>
    String.fromCharCode(Number.parseInt(digits, 16)),
  )
}

function readArray(scanner: Scanner, depth: number): PdfValue {
  scanner.at++
  const items: PdfValue[] = []
  for (;;) {
    skipWhite(scanner)
    if (peek(scanner) === code(']')) break
    items.push(readValue(scanner, depth + 1))
  }
  scanner.at++
  return { kind: 'array', items }
}

function readDictionary(scanner: Scanner, depth: number): PdfDictionary {
  scanner.at += 2
  const entries = new Map<string, PdfValue>()
  const doubled: string[] = []
  for (;;) {
    skipWhite(scanner)
    if (peek(scanner) === code('>') && peek(scanner, 1) === code('>')) break
    if (peek(scanner) !== code('/')) throw new SyntaxFault(scanner.at, 'a key of a dictionary is no name')
    const key = readName(scanner)
    if (entries.has(key)) doubled.push(key)
    entries.set(key, readValue(scanner, depth + 1))
  }
  scanner.at += 2
  return { kind: 'dictionary', entries, doubled }
}

const hexDigit = /^[0-9A-Fa-f]*$/

function readHex(scanner: Scanner): PdfString {
  const start = scanner.at
  const close = scanner.bytes.indexOf(code('>'), start)
  if (close < 0 || close >= scanner.end) throw new SyntaxFault(start, 'a string does not end')
  const text = latin(scanner.bytes.subarray(start + 1, close))
  const digits = text.replaceAll(/[\0\t\n\f\r ]/g, '')
  if (!hexDigit.test(digits)) throw new SyntaxFault(start, 'a hexadecimal string holds other characters')
  scanner.at = close + 1
  const value = new Uint8Array(Buffer.from(digits.length % 2 === 0 ? digits : `${digits}0`, 'hex'))
  return { kind: 'string', value, start, end: close + 1, plainHex: digits.length === text.length }
}

const escapes: Readonly<Record<string, number>> = { n: 10, r: 13, t: 9, b: 8, f: 12 }

/** A literal string (7.3.4.2). */
function readLiteral(scanner: Scanner): PdfString {
  const start = scanner.at
  const value: number[] = []
  let open = 1
  scanner.at++
  for (;;) {
    const byte = peek(scanner)
    if (byte === undefined) throw new SyntaxFault(start, 'a string does not end')
    scanner.at++
    if (byte === code('(')) open++
    if (byte === code(')')) open--
    if (open === 0) break
    if (byte === code('\\')) readEscape(scanner, value)
    else value.push(byte)
  }
  return { kind: 'string', value: Uint8Array.from(value), start, end: scanner.at, plainHex: false }
}

function readEscape(scanner: Scanner, value: number[]): void {
  const rest = latin(scanner.bytes.subarray(scanner.at, Math.min(scanner.at + 3, scanner.end)))
  const octal = /^[0-7]{1,3}/.exec(rest)?.[0]
  if (octal !== undefined) {
    scanner.at += octal.length
    value.push(Number.parseInt(octal, 8) & 255)
    return
  }
  const lineEnd = /^(?:\r\n|\r|\n)/.exec(rest)?.[0]
  scanner.at += lineEnd?.length ?? 1
  if (lineEnd === undefined && rest !== '') value.push(escapes[rest[0] as string] ?? rest.charCodeAt(0))
}

export interface IndirectObject {
  number: number
  generation: number
  value: PdfValue
  /** From its number to behind its last byte that was looked at. */
  start: number
  end: number
}

/** `N G obj …` at `position`. `lengthOf` resolves the length of a stream where it is a reference. Throws SyntaxFault. */
export function readIndirect(
  bytes: Uint8Array,
  position: number,
  lengthOf: (value: PdfValue | undefined) => number | null,
): IndirectObject {
  const scanner = scan(bytes, position)
  skipWhite(scanner)
  const start = scanner.at
  const number = readWord(scanner)
  skipWhite(scanner)
  const generation = readWord(scanner)
  skipWhite(scanner)
  if (!/^\d{1,10}$/.test(number) || !/^\d{1,5}$/.test(generation) || readWord(scanner) !== 'obj')
    throw new SyntaxFault(start, 'no object begins here')
  const value = readValue(scanner)
  const whole = value.kind === 'dictionary' ? readStream(scanner, value, lengthOf) : value
  return { number: Number(number), generation: Number(generation), value: whole, start, end: scanner.at }
}

const streamEnd = Buffer.from('endstream')

function readStream(
  scanner: Scanner,
  dictionary: PdfDictionary,
  lengthOf: (value: PdfValue | undefined) => number | null,
): PdfDictionary | PdfStream {
  const back = scanner.at
  skipWhite(scanner)
  if (readWord(scanner) !== 'stream') {
    scanner.at = back
    return dictionary
  }
  if (peek(scanner) === 13) scanner.at++
  if (peek(scanner) === 10) scanner.at++
  const start = scanner.at
  const length = lengthOf(dictionary.entries.get('Length'))
  if (length !== null && Number.isInteger(length) && length >= 0 && start + length <= scanner.end) {
    scanner.at = start + length
    skipWhite(scanner)
    if (readWord(scanner) === 'endstream')
      return { kind: 'stream', dictionary, data: scanner.bytes.subarray(start, start + length) }
  }
  const end = Buffer.from(scanner.bytes.buffer, scanner.bytes.byteOffset, scanner.end).indexOf(streamEnd, start)
  if (end < 0) throw new SyntaxFault(start, 'a stream does not end')
  scanner.at = end + streamEnd.length
  return { kind: 'stream', dictionary, data: scanner.bytes.subarray(start, end) }
}
