/** Vehicle identification numbers in running text. */
import { checkDigitHolds, hasForbiddenLetter, isWellFormedVin, normaliseVin } from './vin-number.ts'

export interface VinFound {
  /** 17 characters, upper case, without separators. */
  vin: string
  /** As written. */
  text: string
  start: number
  end: number
  /** Whether a label (VIN, chassis number, …) stands right before it. */
  labelled: boolean
  /** False only for misprints that hold I, O or Q. */
  wellFormed: boolean
}

export interface VinSearch {
  /** Also gives 17 characters that hold I, O or Q, where a label says that a VIN is meant. */
  misprints?: boolean
  /** The whole text is the value of a field that holds a VIN: a label is taken to stand before it. */
  isValue?: boolean
}

const label =
  /(?:\bV\.?I\.?N\.?|\bFIN|vehicle id(?:entification)?(?: number| no\.?)?|\bchassis(?: number| no\.?)?|\bframe(?: number| no\.?))(?:\s?\((?:VIN|17)\))?[\s:#=.*|>-]{0,6}$/i
const solid = /(?<![A-Za-z0-9])(?:[A-Z0-9]{17}|[a-z0-9]{17}|I[A-HJ-NPR-Z0-9]{17})(?![A-Za-z0-9])/g
const group = /[A-Z0-9]{1,14}/g

function isLabelled(text: string, start: number, options: VinSearch): boolean {
  return options.isValue === true || label.test(text.slice(Math.max(0, start - 48), start))
}

/**
 * Words, decimal numbers, part numbers and hashes are plainly not VINs: ISO 3779 ends a VIN in four digits, and no
 * manufacturer's three characters with five of description are all digits. One of the last four may be misread.
 */
function looksLikeVin(vin: string): boolean {
  const tail = vin.slice(-4).replace(/[^0-9]/g, '').length
  const letters = vin.replace(/[0-9]/g, '').length
  return tail >= 3 && letters >= 2 && !/^(.)\1{5}/.test(vin)
}

/**
 * Every full VIN in a text, in order: solid, between asterisks, or in groups set apart by single spaces or hyphens.
 *
 * Groups are joined only where a label stands before them or where the check digit of the 17 characters holds, since any
 * row of words and numbers could add up to 17. A letter I before 17 characters is the import mark of a bar code.
 */
export function findVins(text: string, options: VinSearch = {}): VinFound[] {
  const found = [...findSolid(text, options), ...findGrouped(text, options)]
  return found.sort((a, b) => a.start - b.start)
}

function findSolid(text: string, options: VinSearch): VinFound[] {
  const found: VinFound[] = []
  for (const match of text.matchAll(solid)) {
    const written = match[0].length === 18 ? match[0].slice(1) : match[0]
    const start = match.index + match[0].length - 17
    const vin = normaliseVin(written)
    const labelled = isLabelled(text, match.index, options)
    const misprint = hasForbiddenLetter(vin)
    if (!looksLikeVin(vin) || (misprint && !(options.misprints && labelled))) continue
    found.push({ vin, text: written, start, end: start + 17, labelled, wellFormed: !misprint })
  }
  return found
}

function findGrouped(text: string, options: VinSearch): VinFound[] {
  const groups = [...text.matchAll(group)].map((match) => ({ start: match.index, end: match.index + match[0].length }))
  const found: VinFound[] = []
  let free = 0
  for (let first = 0; first < groups.length; first++) {
    const begin = groups[first]
    if (!begin || begin.start < free || isAlphanumeric(text, begin.start - 1)) continue
    const end = endOfSeventeen(text, groups, first)
    if (end === null) continue
    const written = text.slice(begin.start, end)
    const vin = normaliseVin(written)
    if (!looksLikeVin(vin) || hasForbiddenLetter(vin)) continue
    const labelled = isLabelled(text, begin.start, options)
    const few = written.length - 17 <= 5
    if (!labelled && !(few && checkDigitHolds(vin))) continue
    found.push({ vin, text: written, start: begin.start, end, labelled, wellFormed: true })
    free = end
  }
  return found
}

/** Where groups from `first` on, set apart by one space or hyphen each, add up to 17 characters; null when they do not. */
function endOfSeventeen(text: string, groups: { start: number; end: number }[], first: number): number | null {
  let count = 0
  for (let index = first; index < groups.length && index < first + 17; index++) {
    const here = groups[index]
    const before = groups[index - 1]
    if (!here) return null
    if (index > first && before && !/^[ \u00a0-]$/.test(text.slice(before.end, here.start))) return null
    count += here.end - here.start
    if (count > 17) return null
    if (count === 17) return index > first && !isAlphanumeric(text, here.end) ? here.end : null
  }
  return null
}

function isAlphanumeric(text: string, index: number): boolean {
  return /[A-Za-z0-9]/.test(text.charAt(index))
}

/** The VIN that a bar code holds by itself, also behind the I that some labels begin with (common practice, no source). */
export function vinIn(text: string): string | null {
  const [, vin] = /^\s*I?([A-Z0-9]{17})\s*$/i.exec(text) ?? []
  // Letters and digits alone: a label of a part has as many of them between its hyphens.
  return vin !== undefined && isWellFormedVin(vin.toUpperCase()) ? vin.toUpperCase() : null
}

const lookAlikes: Readonly<Record<string, string>> = { I: '1', O: '0', Q: '0' }

/**
 * A VIN that was read out of a picture, with digits for the letters that no VIN holds, which look like them; null unless
 * its check digit bears it out (49 CFR 565.15). One that has none, as outside North America, cannot be told from a misread
 * one.
 */
export function vinFromPicture(text: string): string | null {
  const vin = withDigits(text)
  return checkDigitHolds(vin) ? vin : null
}

const withDigits = (text: string): string =>
  normaliseVin(text).replace(/[IOQ]/g, (letter) => lookAlikes[letter] ?? letter)

/** Whether a text holds the VIN only once digits are put for the letters that look like them. */
export function holdsByLookAlikes(text: string, vin: string): boolean {
  return !normaliseVin(text).includes(vin) && withDigits(text).includes(vin)
}
