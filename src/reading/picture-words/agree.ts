/** Several readings of one word: what they tell alike. */
import { trimMarks } from './doubt.ts'

/** Points and quotation marks at the end are told apart by no reader, and mean nothing. */
const plain = (text: string): string => trimMarks(text).replace(/[.,:;]+$/, '')
const withoutPoints = (text: string): string => plain(text).replace(/[.,]/g, '')

/**
 * What two of the readings tell alike, as the first of them has it; null where none do. A number in which another of them
 * saw one more point is told by none: points are lost more often than made up. Nor is one in which another saw letters for
 * digits.
 */
export function agreeOn(readings: readonly string[]): string | null {
  const found = readings.findIndex(
    (text, at) => plain(text) !== '' && readings.slice(at + 1).some((other) => plain(other) === plain(text)),
  )
  const text = readings[found]
  if (text === undefined) return null
  return readings.some((other) => isRival(text, other)) ? null : trimMarks(text)
}

/** Whether another reading of a number saw one more point in it, or letters for digits: how often each is seen does not tell. */
export function isRival(text: string, other: string): boolean {
  if (!/\d/.test(text)) return false
  const isLonger = plain(other).length > plain(text).length
  return (isLonger && withoutPoints(other) === withoutPoints(text)) || isLookAlike(plain(text), plain(other))
}

/** Whether both are one number but for letters in the place of digits: what it is cannot be told by how often it was seen. */
function isLookAlike(one: string, other: string): boolean {
  if (one === other || one.length !== other.length || !/\d/.test(one)) return false
  return [...one].every((character, at) => {
    const there = other[at] ?? ''
    return character === there || (isLetter(character) && isDigit(there)) || (isDigit(character) && isLetter(there))
  })
}

const isLetter = (text: string): boolean => /^\p{L}$/u.test(text)
const isDigit = (text: string): boolean => /^\d$/.test(text)
