/**
 * The vehicle identification number: 17 characters of A-Z and 0-9 without I, O, Q (ISO 3779; 49 CFR 565.15).
 *
 * Positions count from 1: 1-3 manufacturer, 4-8 description, 9 check digit where one is required, 10 model year where
 * one is required, 11 plant, 12-17 serial, of which the last four are digits.
 */

const forbidden = /[IOQ]/
const wellFormed = /^[A-HJ-NPR-Z0-9]{17}$/

/** Upper case, without the spaces, hyphens, dots, asterisks and bullets that print it in groups or mask it. */
export function normaliseVin(text: string): string {
  return text.toUpperCase().replace(/[\s\-‐‑–—*•·.:_]/g, '')
}

/** True when every character belongs to the alphabet of a VIN, whatever the length; false for empty text. */
export function isVinAlphabet(text: string): boolean {
  return /^[A-HJ-NPR-Z0-9]+$/.test(text)
}

/** True for exactly 17 characters of the alphabet, upper case. */
export function isWellFormedVin(text: string): boolean {
  return wellFormed.test(text)
}

// 49 CFR 565.15(c)(3), table V: I, O, Q have no value.
const letterValues = new Map<string, number>(
  [
    ['AJ', 1],
    ['BKS', 2],
    ['CLT', 3],
    ['DMU', 4],
    ['ENV', 5],
    ['FW', 6],
    ['GPX', 7],
    ['HY', 8],
    ['RZ', 9],
  ].flatMap(([letters, value]) => [...String(letters)].map((letter) => [letter, Number(value)] as const)),
)
const weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]

/** The check digit (`0`-`9` or `X`) that position 9 should hold, by 49 CFR 565.15(c); null when not 17 well-formed characters. */
export function checkDigit(vin: string): string | null {
  if (!wellFormed.test(vin)) return null
  let sum = 0
  for (const [index, weight] of weights.entries()) {
    const character = vin.charAt(index)
    sum += weight * (letterValues.get(character) ?? Number(character))
  }
  const rest = sum % 11
  return rest === 10 ? 'X' : String(rest)
}

/** Whether position 9 holds the computed check digit; false for anything that is not a well-formed VIN. */
export function checkDigitHolds(vin: string): boolean {
  const expected = checkDigit(vin)
  return expected !== null && vin.charAt(8) === expected
}

/**
 * The region of manufacture whose law asks for the check digit: first character 1-5 or 7 (49 CFR 565, CMVSS 115) or
 * L (GB 16735); null elsewhere, where a vehicle may still carry one because it was built for these markets.
 */
export function checkDigitRegion(vin: string): 'north-america' | 'china' | null {
  const first = vin.charAt(0).toUpperCase()
  if (/[1-57]/.test(first)) return 'north-america'
  return first === 'L' ? 'china' : null
}

/** Whether the check digit is a legal requirement where this VIN was assigned; elsewhere a failing one proves nothing. */
export function checkDigitIsMandatory(vin: string): boolean {
  return checkDigitRegion(vin) !== null
}

const yearCodes = 'ABCDEFGHJKLMNPRSTVWXY123456789'

export interface ModelYears {
  /** Every year that the code of position 10 stands for, ascending; empty when it stands for none (I O Q U Z 0). */
  possible: number[]
  /**
   * The one year for cars, multipurpose vehicles and light trucks (to 4536 kg) of North America, by position 7: a letter
   * means 2010-2039, a digit 1980-2009 (49 CFR 565.15(d)(1)). Null where position 10 is no year code.
   */
  light: number | null
  /** Whether the region of manufacture requires a year code at all; elsewhere position 10 may mean something else. */
  required: boolean
}

/** Model years of a VIN; the model year may lead the calendar year by one. */
export function modelYears(vin: string): ModelYears {
  const required = checkDigitRegion(vin) !== null
  const index = wellFormed.test(vin) ? yearCodes.indexOf(vin.charAt(9)) : -1
  if (index < 0) return { possible: [], light: null, required }
  const light = (/[0-9]/.test(vin.charAt(6)) ? 1980 : 2010) + index
  return { possible: [1980 + index, 2010 + index, 2040 + index], light, required }
}

/** Characters that print, scan or handwriting confuse; those of the first six pairs are the usual ones. */
const lookAlikes = [
  '1I',
  '0O',
  '0Q',
  '5S',
  '8B',
  '2Z',
  '6G',
  '1L',
  '0D',
  'OQ',
  'DO',
  'UV',
  'VY',
  'MN',
  'CG',
  'EF',
  '17',
  '4A',
]

/** Whether print, scan or handwriting easily confuses the two characters, both upper case. */
export function areLookAlike(a: string, b: string): boolean {
  return lookAlikes.some((pair) => pair === a + b || pair === b + a)
}

/** How two printed VINs relate. Positions count from 1. */
export type VinComparison =
  | { kind: 'same' }
  /** They differ in one place, by two characters that are easily confused; `pair` in the order of the arguments. */
  | { kind: 'look-alike'; position: number; pair: readonly [string, string] }
  /** Two places hold each other's character. */
  | { kind: 'swapped'; positions: readonly [number, number]; adjacent: boolean }
  | { kind: 'different'; count: number; positions: number[] }
  /** One is only a part (a suffix such as the last 6 or 8, or a prefix that is masked behind): does the other hold it there? */
  | { kind: 'partial'; agrees: boolean; part: 'first' | 'last'; characters: number }
  /** Fewer than four characters, or more than 17. */
  | { kind: 'incomparable' }

/** Compares two VINs or parts of one, however they are grouped, masked or cased. */
export function compareVins(a: string, b: string): VinComparison {
  const first = withoutMask(a)
  const second = withoutMask(b)
  const lengths = [first.length, second.length]
  if (Math.min(...lengths) < 4 || Math.max(...lengths) > 17) return { kind: 'incomparable' }
  if (first === second) return { kind: 'same' }
  if (first.length !== second.length) {
    const [part, whole, written] = first.length < second.length ? [first, second, a] : [second, first, b]
    const masked = /[*•]\s*$/.test(written)
    const agrees = masked ? whole.startsWith(part) : whole.endsWith(part)
    return { kind: 'partial', agrees, part: masked ? 'first' : 'last', characters: part.length }
  }
  return compareEqualLengths(first, second)
}

/** Some reports mask with a row of X, which is also a letter of the alphabet; four in a row at the front are no manufacturer's. */
function withoutMask(text: string): string {
  return normaliseVin(text).replace(/^X{4,}/, '')
}

function compareEqualLengths(a: string, b: string): VinComparison {
  const positions: number[] = []
  for (let index = 0; index < a.length; index++) if (a[index] !== b[index]) positions.push(index + 1)
  const at = (text: string, position = 1) => text.charAt(position - 1)
  const [one, two] = positions
  if (one !== undefined && positions.length === 1 && areLookAlike(at(a, one), at(b, one))) {
    return { kind: 'look-alike', position: one, pair: [at(a, one), at(b, one)] }
  }
  if (one !== undefined && two !== undefined && positions.length === 2) {
    const swapped = at(a, one) === at(b, two) && at(a, two) === at(b, one)
    if (swapped) return { kind: 'swapped', positions: [one, two], adjacent: two === one + 1 }
  }
  return { kind: 'different', count: positions.length, positions }
}

export interface VinRepair {
  vin: string
  changes: { position: number; from: string; to: string }[]
  checkDigitHolds: boolean
}

const never: Record<string, string> = { I: '1', O: '0', Q: '0' }
const confused: Record<string, string> = { S: '5', '5': 'S', B: '8', '8': 'B', Z: '2', '2': 'Z', G: '6', '6': 'G' }

/**
 * Offers what a misread VIN may have been; the caller shows it and a person decides.
 *
 * I, O and Q never stand in a VIN, so replacing them is offered whatever the check digit says. One of S/5, B/8, Z/2, G/6
 * is replaced only where the check digit then holds. Empty when the text is a well-formed VIN whose check digit holds,
 * or when it does not have 17 letters and digits.
 */
export function lookAlikeRepairs(text: string): VinRepair[] {
  const written = normaliseVin(text)
  if (!/^[A-Z0-9]{17}$/.test(written)) return []
  const forced = [...written].flatMap((from, index) => {
    const to = never[from]
    return to === undefined ? [] : [{ position: index + 1, from, to }]
  })
  const base = [...written].map((character) => never[character] ?? character).join('')
  if (checkDigitHolds(base)) return forced.length === 0 ? [] : [{ vin: base, changes: forced, checkDigitHolds: true }]
  const repairs: VinRepair[] = []
  if (forced.length > 0) repairs.push({ vin: base, changes: forced, checkDigitHolds: false })
  for (const [index, from] of [...base].entries()) {
    const to = confused[from]
    if (to === undefined) continue
    const vin = base.slice(0, index) + to + base.slice(index + 1)
    if (!checkDigitHolds(vin)) continue
    const changes = [...forced.filter((change) => change.position !== index + 1)]
    changes.push({ position: index + 1, from: written.charAt(index), to })
    repairs.push({ vin, changes, checkDigitHolds: true })
  }
  return repairs
}

/** Whether 17 characters hold a letter that no VIN holds: a misprint or misreading rather than a VIN. */
export function hasForbiddenLetter(text: string): boolean {
  return forbidden.test(text.toUpperCase())
}
