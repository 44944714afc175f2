/** A vehicle's number read several times from a picture, at several sizes: what they tell alike, and the check digit, decide what it is. */
import { checkDigitHolds, isWellFormedVin } from '../../facts/vin-number.ts'

/** Letters that no such number has (ISO 3779), by the digit that they are taken for in print. */
const digitOf: Readonly<Record<string, string>> = { I: '1', O: '0', Q: '0' }

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
 * The one number that the readings tell and whose check digit holds (49 CFR 565.15): it stands in two of them, or in one
 * while all others of its length have it with one character too many. Null for anything less: characters taken from
 * several readings fit the check digit once in eleven times, and so did TXBMESDVXRC104729 for 7XBME6DVXRC104729.
 */
export function agreeOnVin(readings: readonly string[]): string | null {
  const texts = readings.map(toVinAlphabet)
  const whole = texts.filter((text) => isWellFormedVin(text) && checkDigitHolds(text))
  const [vin] = whole
  if (vin === undefined) return withoutBorder(readings)
  if (whole.some((other) => other !== vin)) return null
  if (whole.length > 1) return vin
  const others = texts.filter((text) => text !== vin && (text.length === 17 || text.length === 18))
  return others.length > 0 && others.every((text) => isLengthened(text, vin)) ? vin : null
}

/** Whether a text is the number with a character more, as where one was read twice. */
const isLengthened = (text: string, vin: string): boolean =>
  text.length === vin.length + 1 && [...text].some((_, at) => text.slice(0, at) + text.slice(at + 1) === vin)

/**
 * What two readings tell alike but for the line of a field's border, read as a letter that no such number has, at the same
 * end of both; null where there is none, or a character that stands there twice may as well be the one too many.
 */
function withoutBorder(readings: readonly string[]): string | null {
  for (const end of [/^I/, /I$/]) {
    const texts = readings.filter((text) => end.test(text)).map(toVinAlphabet)
    const text = texts.find((one, at) => one.length === 18 && texts.indexOf(one) < at)
    if (text === undefined) continue
    const rest = end.source === '^I' ? text.slice(1) : text.slice(0, -1)
    const doubled = [...text].flatMap((character, at) =>
      character === text[at + 1] ? [text.slice(0, at) + text.slice(at + 1)] : [],
    )
    const isOther = doubled.some((other) => other !== rest && checkDigitHolds(other))
    return checkDigitHolds(rest) && !isOther ? rest : null
  }
  return null
}
