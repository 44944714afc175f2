/** Limits of a value, as printed beside it. */
import { digitsSource, type NumberStyle, numberOf, signSource } from './number-text.ts'

export interface Limits {
  least?: number
  most?: number
  /** The unit as written behind the last number, null where none is printed. */
  unit: string | null
  text: string
  start: number
  end: number
}

const sp = '[ \\u00a0\\u2009\\u202f]{0,3}'
const unit =
  '(?:°|º|%|degrees?|deg\\.?|mrad|rad|mm|cm|km/h|km|mph|m/s|m|inch(?:es)?|in\\.?|ft|px|pixels?|mV|V|volts?|mA|A|dB|kPa|MPa|bar|psi|Nm|kg|lbs?|ms|s|min|h|″|"|′|°C)'
const unitAfter = `(?:${sp}(${unit})(?![A-Za-z0-9]))?`
const loose = '(?<![A-Za-z0-9°º]|\\d[.,:/-])'
// A third number in the same row of slashes leaves open which two are the limits.
const end = '(?![A-Za-z0-9°º′″]|[-:/–]\\d|[.,]\\d|[ \\u00a0]{0,3}/[ \\u00a0]{0,3}[+\\-−]?\\d)'
const number = `(${signSource}?${digitsSource})`
const dots = `\\.{2,3}|…|⋯|÷|~|;|\\||\\bto\\b|\\bbis\\b|(?<=[ \\u00a0\\u202f°])[àa](?=[ \\u00a0\\u202f])|\\bthrough\\b|\\bthru\\b`
const gap = '[ \\u00a0\\u2009\\u202f]{1,3}'
// A slash sets limits apart only with space or a sign behind it (1/2 is a page or a fraction); a dash only with space on
// both sides or on none (0.10 -0.50 is two numbers).
const between = `(?:${sp}(?:${dots})${sp}|${gap}[/–—-]${gap}|[–—-]|/(?=${signSource})|(?<=[+\\-−][\\d.,]{1,8}[°%]?)/)`

const range = new RegExp(
  `${loose}[[({]?${sp}${number}${unitAfter}${between}${number}${unitAfter}${end}(?:${sp}[\\])}]${unitAfter})?`,
  'gi',
)
const minutes = `(${signSource}?\\d{1,3})${sp}[°º]${sp}(\\d{1,2}(?:[.,]\\d{1,3})?)${sp}['′’]`
const sexagesimalRange = new RegExp(`(?<![A-Za-z0-9°º])${minutes}${between}${minutes}(?![0-9])`, 'gi')
const sexagesimalHalf = new RegExp(`(?<!\\d[°º′' ]{0,3})(?:±|\\+/[-−–])${sp}${minutes}(?![0-9])`, 'gi')

// A comma or "and" only where brackets or "between" say that two limits stand there.
const enclosed = new RegExp(
  `(?:[[(]${sp}${number}${unitAfter},[ \\u00a0]{1,3}${number}${unitAfter}${sp}[\\])]|\\bbetween ${number}${unitAfter} and ${number}${unitAfter}${end})${unitAfter}`,
  'gi',
)
const bracketPair = new RegExp(
  `[[(]${sp}(${signSource}?\\d{1,9}(?:\\.\\d{1,9})?),(${signSource}?\\d{1,9}(?:\\.\\d{1,9})?)${sp}[\\])]`,
  'g',
)
const plusMinus = new RegExp(
  `(?:${loose}${number}${unitAfter}${sp})?(?:±|\\+${sp}/${sp}[-−–]|\\+[-−])${sp}(${digitsSource})${unitAfter}${end}`,
  'gi',
)
const chained = new RegExp(
  `${loose}${number}${unitAfter}${sp}(<=?|≤)${sp}(?:[A-Za-zα-ωΑ-Ω|]{1,20}|${signSource}?${digitsSource}${sp}(?:${unit})?)${sp}(?:<=?|≤)${sp}${number}${unitAfter}${end}`,
  'gi',
)
const upper = new RegExp(
  `(?:<=?|≤|=<|\\bmax(?:imum)?\\b\\.?|\\bup to\\b|\\bat most\\b|\\bno(?:t)? (?:more|greater) than\\b|\\bnot over\\b|\\bnot exceeding\\b|\\bbelow\\b|\\bunder\\b|(?<!\\bnot? )\\bless than\\b|\\bupper(?: limit)?\\b)${sp}[:=]?${sp}${number}${unitAfter}${end}`,
  'gi',
)
const lower = new RegExp(
  `(?:>=?|≥|=>|\\bmin(?:imum)?\\b\\.?|\\bat least\\b|\\bno(?:t)? less than\\b|\\babove\\b|\\bover\\b|(?<!\\bnot? )\\bmore than\\b|\\blower(?: limit)?\\b)${sp}[:=]?${sp}${number}${unitAfter}${end}`,
  'gi',
)

/**
 * The first limits of a text: `-0.5 to 0.5°`, `1240 … 1260 mm`, `0.02–0.20`, `[-1; 1]`, `-0.5 / 0.5`, `±2`, `1500 ± 5 mm`,
 * `(min -1, max 1)`, `<= 10`, `at least 12.5 V`, `-1 ≤ x ≤ 1`, or inside a sentence (`permitted 1495 … 1505 mm · in range`).
 * Only one of `least` and `most` where only one is printed; null when there are none. Dates and times are no limits.
 */
export function readLimits(text: string, style: NumberStyle = {}): Limits | null {
  return (
    readSexagesimal(text) ??
    readPlusMinus(text, style) ??
    readChained(text, style) ??
    readBothWords(text, style) ??
    readRange(text, style) ??
    readOneSided(text, style)
  )
}

function ordered(a: number | null, b: number | null): Pick<Limits, 'least' | 'most'> | null {
  if (a === null || b === null) return null
  return { least: Math.min(a, b), most: Math.max(a, b) }
}

function spanOf(match: RegExpMatchArray): Pick<Limits, 'text' | 'start' | 'end'> {
  const start = match.index ?? 0
  return {
    text: match[0].trim(),
    start: start + match[0].length - match[0].trimStart().length,
    end: start + match[0].trimEnd().length,
  }
}

/** Degrees and minutes, `0°05′ to 0°15′` and `±0°10′`: in degrees. */
function readSexagesimal(text: string): Limits | null {
  for (const match of text.matchAll(sexagesimalRange)) {
    const both = ordered(degreesOf(match[1], match[2]), degreesOf(match[3], match[4]))
    if (both) return { ...both, unit: '°', ...spanOf(match) }
  }
  for (const match of text.matchAll(sexagesimalHalf)) {
    const half = degreesOf(match[1], match[2])
    if (half !== null && half >= 0) return { least: half === 0 ? 0 : -half, most: half, unit: '°', ...spanOf(match) }
  }
  return null
}

function degreesOf(degrees = '', arcMinutes = ''): number | null {
  const part = Number(arcMinutes.replace(',', '.'))
  const size = Number(degrees.replace(/^[^0-9]/, '')) + part / 60
  if (part >= 60) return null
  const value = Number(size.toPrecision(12))
  return /^[-−–‑]/.test(degrees) && value !== 0 ? -value : value
}

/** Two numbers with two different units are not put together here. */
function disagree(one: string | undefined, other: string | undefined): boolean {
  return one !== undefined && other !== undefined && one.toLowerCase() !== other.toLowerCase()
}

function readPlusMinus(text: string, style: NumberStyle): Limits | null {
  for (const match of text.matchAll(plusMinus)) {
    const centre = match[1] === undefined ? 0 : numberOf(match[1], style)
    const half = numberOf(match[3] ?? '', style)
    if (centre === null || half === null || disagree(match[2], match[4])) continue
    const tidy = (value: number) => Number(value.toPrecision(12))
    return {
      least: tidy(centre - half),
      most: tidy(centre + half),
      unit: match[4] ?? match[2] ?? null,
      ...spanOf(match),
    }
  }
  return null
}

function readChained(text: string, style: NumberStyle): Limits | null {
  for (const match of text.matchAll(chained)) {
    const both = ordered(numberOf(match[1] ?? '', style), numberOf(match[4] ?? '', style))
    if (both) return { ...both, unit: match[5] ?? match[2] ?? null, ...spanOf(match) }
  }
  return null
}

function readRange(text: string, style: NumberStyle): Limits | null {
  for (const match of text.matchAll(bracketPair)) {
    const both = ordered(numberOf(match[1] ?? '', style), numberOf(match[2] ?? '', style))
    if (both) return { ...both, unit: null, ...spanOf(match) }
  }
  for (const match of text.matchAll(enclosed)) {
    const both = ordered(numberOf(match[1] ?? match[5] ?? '', style), numberOf(match[3] ?? match[7] ?? '', style))
    const printed = [9, 4, 2, 8, 6].map((group) => match[group]).find((one) => one !== undefined)
    if (both) return { ...both, unit: printed ?? null, ...spanOf(match) }
  }
  for (const match of text.matchAll(range)) {
    const both = ordered(numberOf(match[1] ?? '', style), numberOf(match[3] ?? '', style))
    if (disagree(match[2], match[4])) continue
    if (both) return { ...both, unit: match[5] ?? match[4] ?? match[2] ?? null, ...spanOf(match) }
  }
  return null
}

function sided(
  pattern: RegExp,
  text: string,
  style: NumberStyle,
): (Pick<Limits, 'text' | 'start' | 'end' | 'unit'> & { value: number }) | null {
  for (const match of text.matchAll(pattern)) {
    const value = numberOf(match[1] ?? '', style)
    if (value !== null) return { value, unit: match[2] ?? null, ...spanOf(match) }
  }
  return null
}

/** "min -1, max 1" in either order: both must be there. */
function readBothWords(text: string, style: NumberStyle): Limits | null {
  const least = sided(lower, text, style)
  const most = sided(upper, text, style)
  if (!least || !most || least.value > most.value) return null
  const [start, stop] = [Math.min(least.start, most.start), Math.max(least.end, most.end)]
  return {
    least: least.value,
    most: most.value,
    unit: most.unit ?? least.unit,
    text: text.slice(start, stop),
    start,
    end: stop,
  }
}

function readOneSided(text: string, style: NumberStyle): Limits | null {
  const most = sided(upper, text, style)
  if (most) return { most: most.value, unit: most.unit, text: most.text, start: most.start, end: most.end }
  const least = sided(lower, text, style)
  return least ? { least: least.value, unit: least.unit, text: least.text, start: least.start, end: least.end } : null
}
