/** The letter O and the digit 0, which readers of words take for one another in numbers that hold letters. */
import type { Grey } from './grey.ts'
import { findMarks } from './marks.ts'

/** By how much wider than the digits beside it the letter is, and how much the digit may be (Liberation Sans: 1.4). */
const letterWidth = 1.2
const digitWidth = 1.08
/** Width of the letter in heights, where no other digit stands beside it (Liberation Sans: 1.0, its digit 0.7). */
const letterShare = 0.9

/** Whether a text has a 0 right before a letter or an O beside a digit, other than a trouble code (SAE J2012). */
export function hasUnclearO(text: string): boolean {
  if (/^[PCBU][0-3][0-9A-F]{3}/.test(text)) return false
  return /(?:^|[^\p{L}\p{N}]|[A-Z])0(?=[A-Z])|O\d|\dO/u.test(text)
}

/**
 * The text with each of these as the width of its mark tells; null where the marks are not as many as the characters, or
 * one of them is as wide as neither. `size`: height of a common letter in the picture.
 */
export function tellOs(word: Grey, size: number, text: string): string | null {
  const characters = [...text].filter((character) => /[\p{L}\p{N}]/u.test(character))
  const marks = findMarks(word, Math.round(size), 14)
  const tallest = Math.max(0, ...marks.map(({ y0, y1 }) => y1 - y0))
  const tall = marks.filter(({ y0, y1 }) => y1 - y0 >= 0.75 * tallest).sort((a, b) => a.x0 - b.x0)
  if (tall.length !== characters.length) return null
  const widths = tall.map(({ x0, x1 }) => x1 - x0)
  const digits = widths.filter((_, at) => /[2-9]/.test(characters[at] ?? '')).sort((a, b) => a - b)
  const usual = digits[digits.length >> 1]
  const told = characters.map((character, at) => {
    if (!/[0O]/.test(character)) return character
    const width = widths[at] ?? 0
    if (usual === undefined) return width >= letterShare * tallest ? 'O' : null
    return width >= letterWidth * usual ? 'O' : width <= digitWidth * usual ? '0' : null
  })
  if (told.includes(null)) return null
  let at = 0
  return text.replace(/[\p{L}\p{N}]/gu, () => told[at++] ?? '')
}
