/**
 * Trouble codes that were read out of a picture: of characters that look alike, the structure of a code (SAE J2012: one of
 * P, C, B, U, a digit 0 to 3, hexadecimal digits) allows some and not others.
 */
import { parseTroubleCode, type TroubleCode } from './trouble-code-bytes.ts'

/** The digit that a letter is taken for in print. */
const digitOf: Readonly<Record<string, string>> = {
  O: '0',
  o: '0',
  Q: '0',
  D: '0',
  I: '1',
  l: '1',
  i: '1',
  '|': '1',
  Z: '2',
  z: '2',
  S: '5',
  s: '5',
  B: '8',
}

/** What a character may be in the place of the first digit. */
const asFirst = (character: string): string[] =>
  [digitOf[character] ?? character].filter((digit) => /[0-3]/.test(digit))

/** What a character may be in the place of a hexadecimal digit; a G is as like a 6 as a C. */
function asHexadecimal(character: string): string[] {
  if (/[0-9A-F]/i.test(character)) return [character.toUpperCase()]
  if (character === 'G') return ['6', 'C']
  const digit = digitOf[character]
  return digit === undefined ? [] : [digit]
}

/** Every text that takes for each character one of what it may be. */
const choose = (options: readonly string[][]): string[] =>
  options.reduce<string[]>((made, one) => made.flatMap((text) => one.map((character) => text + character)), [''])

/** A text of one character too many, without it: readers give a digit and its look-alike side by side for one mark. */
function withoutDoubled(text: string): string[] {
  const found = [...text].flatMap((character, at) => {
    const next = text[at + 1] ?? ''
    const digit = digitOf[character] ?? character
    const isDoubled = next !== character && /\d/.test(digit) && digit === (digitOf[next] ?? next)
    return isDoubled ? [text.slice(0, at) + digit + text.slice(at + 2)] : []
  })
  return [...new Set(found)]
}

const shapesOf = (text: string, length: number): string[] =>
  text.length === length ? [text] : text.length === length + 1 ? withoutDoubled(text) : []

const parts = /^([PCBU])([0-9A-Z|]{4,7})(?:\s?[-‐‑–:/\s]\s?([0-9A-Z|]{2,3}))?$/i

/**
 * Every code that a word of a picture may show: itself where it is one, else those that it is once each character is what
 * the structure allows in its place. Empty for what cannot be a code.
 */
export function codesFromPicture(text: string): TroubleCode[] {
  const plain = parseTroubleCode(text)
  if (plain) return [plain]
  const [, letter = '', body = '', type] = parts.exec(text) ?? []
  const digits =
    type === undefined
      ? [...shapesOf(body, 4), ...shapesOf(body, 6)]
      : shapesOf(body, 4).flatMap((one) => shapesOf(type, 2).map((two) => one + two))
  const found = digits.flatMap((one) =>
    choose([...one].map((character, at) => (at === 0 ? asFirst(character) : asHexadecimal(character)))),
  )
  return [...new Set(found)].map((one) => ({
    code: letter.toUpperCase() + one.slice(0, 4),
    failureType: one.length > 4 ? one.slice(4) : null,
  }))
}

/** The one code that a word of a picture shows; null where the structure leaves more than one, or none. */
export function codeFromPicture(text: string): TroubleCode | null {
  const [only, ...others] = codesFromPicture(text)
  return only !== undefined && others.length === 0 ? only : null
}

/** Alike in print, whichever of them the structure allows. */
const folded: Readonly<Record<string, string>> = { ...digitOf, G: '6', g: '6' }
const fold = (text: string): string =>
  [...text.replace(/[^0-9A-Z|]/gi, '')].map((one) => folded[one] ?? one.toUpperCase()).join('')

/** Those of some codes that a doubtful word looks like, with their failure type or without it, as the word has one or none. */
export function codesLike(text: string, known: readonly TroubleCode[]): TroubleCode[] {
  const word = fold(text)
  const told = known.filter(({ code, failureType }) => fold(code + (failureType ?? '')) === word)
  const bare = known.filter(({ code }) => fold(code) === word).map(({ code }) => ({ code, failureType: null }))
  const all = [...told, ...bare].map((code) => [`${code.code}-${code.failureType}`, code] as const)
  return [...new Map(all).values()]
}
