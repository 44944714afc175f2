/** A vehicle's number read twice from a picture, at two sizes: what both tell, and the check digit, decide what it is. */
import { checkDigitHolds, isWellFormedVin } from '../../facts/vin-number.ts'

/** Letters that no such number has (ISO 3779), by the digit that they are taken for in print. */
const digitOf: Readonly<Record<string, string>> = { I: '1', O: '0', Q: '0' }
/** More places that were read in two ways are no agreement. */
const mostDifferences = 3

/** As read, of the alphabet of such a number: upper case, without marks. */
export const toVinAlphabet = (text: string): string =>
  text
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '')
    .replace(/[IOQ]/g, (letter) => digitOf[letter] ?? letter)

/** Whether a word may be such a number, also where a character too many or too few was read. */
export function mayBeVin(text: string): boolean {
  const bare = text.replace(/[^A-Za-z0-9]/g, '')
  return bare.length >= 15 && bare.length <= 20 && /^[A-Z0-9]/.test(bare) && (bare.match(/\d/g)?.length ?? 0) >= 4
}

/**
 * The one number that both readings allow and whose check digit holds (49 CFR 565.15); null where there is none or more
 * than one. A reading of 18 characters allows each number that is left when one of them is taken out, since a character
 * read twice is the usual fault.
 */
export function agreeOnVin(first: string, second: string): string | null {
  const [a, b] = [toVinAlphabet(first), toVinAlphabet(second)]
  const found = new Set<string>()
  const bare = withoutBorder(first, second)
  if (bare !== null && checkDigitHolds(bare)) found.add(bare)
  for (const one of shapes(a)) {
    for (const other of shapes(b)) {
      // What was taken out of both is said by neither.
      if (one !== a && other !== b) continue
      // With a character to take out and others to choose, some number always fits.
      const whole = one === a && other === b
      if (!whole && one !== other) continue
      for (const vin of mix(one, other)) if (isWellFormedVin(vin) && checkDigitHolds(vin)) found.add(vin)
    }
  }
  const [only] = found
  return found.size === 1 && only !== undefined ? only : null
}

/**
 * Both without the line of a field's border, where it was read as a letter that no such number has, at the same end of
 * both; null where there is none, or a character that stands there twice may as well be the one too many.
 */
function withoutBorder(first: string, second: string): string | null {
  const [a, b] = [toVinAlphabet(first), toVinAlphabet(second)]
  if (a !== b || a.length !== 18) return null
  const doubled = [...a].flatMap((character, at) => (character === a[at + 1] ? [a.slice(0, at) + a.slice(at + 1)] : []))
  const isAt = (end: RegExp) => end.test(first) && end.test(second)
  const rest = isAt(/^I/) ? a.slice(1) : isAt(/I$/) ? a.slice(0, -1) : null
  return doubled.some((other) => other !== rest && checkDigitHolds(other)) ? null : rest
}

function shapes(text: string): string[] {
  if (text.length === 17) return [text]
  if (text.length !== 18) return []
  return [...new Set([...text].map((_, at) => text.slice(0, at) + text.slice(at + 1)))]
}

/** Every number that takes each character from the one or the other. */
function mix(one: string, other: string): string[] {
  const places = [...one].flatMap((character, at) => (character === other[at] ? [] : [at]))
  if (places.length > mostDifferences) return []
  return places.reduce<string[]>(
    (made, at) => made.flatMap((text) => [text, text.slice(0, at) + (other[at] ?? '') + text.slice(at + 1)]),
    [one],
  )
}
