/**
 * Just enough of PDF's syntax (ISO 32000-1, 7.2 and 7.3) to take a dictionary apart and put it together again with every
 * entry's bytes as they were. Text here is Latin-1: one character a byte.
 */

/** White space and delimiters, 7.2.2. */
const space = /[\0\t\n\f\r ]/
const delimiter = /[()<>[\]{}/%]/

/** Keys with their slash, and values as written. */
export type PdfDictionary = ReadonlyMap<string, string>

/** No deeper nesting is met in an honest file. */
const deepest = 100

/** Reads the dictionary that begins at `at` (or after white space there). Throws RangeError where there is none. */
export function readDictionary(text: string, at: number): { dictionary: PdfDictionary; end: number } {
  let position = skipSpace(text, at)
  if (!text.startsWith('<<', position)) throw new RangeError(`no dictionary at byte ${position}`)
  position += 2
  const dictionary = new Map<string, string>()
  for (;;) {
    position = skipSpace(text, position)
    if (text.startsWith('>>', position)) return { dictionary, end: position + 2 }
    if (text[position] !== '/') throw new RangeError(`no name at byte ${position}`)
    const keyEnd = skipValue(text, position, 0)
    const start = skipSpace(text, keyEnd)
    const end = skipReference(text, start) ?? skipValue(text, start, 0)
    dictionary.set(text.slice(position, keyEnd), text.slice(start, end))
    position = end
  }
}

export const writeDictionary = (dictionary: PdfDictionary): string =>
  `<<\n${[...dictionary].map(([key, value]) => `${key} ${value}\n`).join('')}>>`

/** The object number of a value that is a reference, `12 0 R`; null for any other. */
export function referenceOf(value: string | undefined): number | null {
  const number = /^(\d+)[\0\t\n\f\r ]+\d+[\0\t\n\f\r ]+R$/.exec(value ?? '')?.[1]
  return number === undefined ? null : Number(number)
}

/** White space and comments. */
export function skipSpace(text: string, at: number): number {
  let position = at
  for (;;) {
    const character = text[position]
    if (character === '%') while (position < text.length && !/[\r\n]/.test(text[position] as string)) position++
    else if (character !== undefined && space.test(character)) position++
    else return position
  }
}

function skipReference(text: string, at: number): number | null {
  const reference = /\d+[\0\t\n\f\r ]+\d+[\0\t\n\f\r ]+R(?![^\0\t\n\f\r ()<>[\]{}/%])/y
  reference.lastIndex = at
  return reference.test(text) ? reference.lastIndex : null
}

/** Behind the value at `at`: name, number, keyword, string, array or dictionary. */
function skipValue(text: string, at: number, depth: number): number {
  if (depth > deepest) throw new RangeError('nested too deeply')
  if (at >= text.length) throw new RangeError('the file ends within a value')
  if (text[at] === '(') return skipString(text, at)
  if (text[at] === '[') return skipMembers(text, at + 1, ']', depth)
  if (text.startsWith('<<', at)) return skipMembers(text, at + 2, '>>', depth)
  if (text[at] === '<') return text.indexOf('>', at) + 1 || missing('>')
  let end = text[at] === '/' ? at + 1 : at
  while (end < text.length && !space.test(text[end] as string) && !delimiter.test(text[end] as string)) end++
  if (end === at) throw new RangeError(`no value at byte ${at}`)
  return end
}

function skipMembers(text: string, at: number, close: string, depth: number): number {
  let position = skipSpace(text, at)
  while (!text.startsWith(close, position)) position = skipSpace(text, skipValue(text, position, depth + 1))
  return position + close.length
}

/** A literal string: parentheses are balanced or escaped. */
function skipString(text: string, at: number): number {
  let open = 0
  for (let position = at; position < text.length; position++) {
    const character = text[position]
    if (character === '\\') position++
    else if (character === '(') open++
    else if (character === ')' && --open === 0) return position + 1
  }
  return missing(')')
}

function missing(what: string): never {
  throw new RangeError(`a value lacks its ${what}`)
}

/** A text string (7.9.2.2) of any letters, in UTF-16 with its mark, as a hexadecimal string. */
export const writeText = (text: string): string => `<feff${Buffer.from(text, 'utf16le').swap16().toString('hex')}>`

/** A date (7.9.4) in UTC. */
export const writeDate = (time: Date): string => `(D:${time.toISOString().slice(0, 19).replaceAll(/[-:T]/g, '')}Z)`
