/**
 * Times as instruments write them, to seconds since 1970-01-01T00:00 of the clock they were written on.
 * No zone database, no locale: a stamp is a day, a time of day and perhaps an offset.
 */

export const secondsOfDay = 86_400

export type DateOrder = 'dmy' | 'mdy'

export interface Stamp {
  /** Days since 1970-01-01, null where no date is written. */
  day: number | null
  /** Seconds since midnight, null where no time of day is written. */
  clock: number | null
  /** `+hh:mm`, `-hh:mm`; `+00:00` for Z, UTC and GMT; null where none is written. */
  offset: string | null
}

const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
const localMonths: Record<string, number> = {
  mai: 5,
  okt: 10,
  dez: 12,
  mär: 3,
  mrz: 3,
  avr: 4,
  aoû: 8,
  fév: 2,
  déc: 12,
}

const isoDate = String.raw`(?<y>\d{4})[-/.](?<m>\d{1,2})[-/.](?<d>\d{1,2})`
const compactDate = String.raw`(?<y>(?:19|20)\d\d)(?<m>\d\d)(?<d>\d\d)`
const numericDate = String.raw`(?<a>\d{1,2})(?<sep>[-/.])(?<b>\d{1,2})\k<sep>(?<y>\d{4}|\d{2})`
const dayMonthDate = String.raw`(?<d>\d{1,2})(?:st|nd|rd|th)?[-\s./]+(?<n>[a-zäéû]{3,9})\.?[-\s.,/]+(?<y>\d{4}|\d{2})`
const monthDayDate = String.raw`(?<n>[a-zäéû]{3,9})\.?\s+(?<d>\d{1,2})(?:st|nd|rd|th)?,?\s+(?<y>\d{4})`
const time = String.raw`(?<h>\d{1,2}):(?<min>\d{2})(?::(?<s>\d{2})(?:[.,:](?<f>\d{1,9}))?)?(?:\s*(?<half>[ap])\.?m\.?)?`
const compactTime = String.raw`(?<h>\d{2})(?<min>\d{2})(?<s>\d{2})(?:\.(?<f>\d{1,9}))?`
const zone = String.raw`(?:\s*(?<z>z|utc|gmt)?(?<o>[-+−]\d{1,2}(?::?\d{2})?)?)`
const weekday = String.raw`(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?`

const shapes = [
  ...[isoDate, numericDate, dayMonthDate, monthDayDate].flatMap((date) => [
    `${date}(?:\\s*[t,_]\\s*|\\s+(?:at\\s+)?)${time}${zone}`,
    `${time}\\s+${date}`,
    date,
  ]),
  `${compactDate}[t_-]?${compactTime}${zone}`,
  `${compactDate}[t_ -]${time}${zone}`,
  compactDate,
  `${time}${zone}`,
].map((shape) => new RegExp(`^${weekday}${shape}$`, 'iu'))

/** Days from 1970-01-01 to a day of the proleptic Gregorian calendar, or null if there is no such day. */
export function dayNumber(year: number, month: number, day: number): number | null {
  const milliseconds = Date.UTC(year, month - 1, day)
  const back = new Date(milliseconds)
  if (back.getUTCFullYear() !== year || back.getUTCMonth() !== month - 1 || back.getUTCDate() !== day) return null
  return milliseconds / 1000 / secondsOfDay
}

/** Two-digit years: 80 to 99 are 1980 to 1999, the years before GPS time began (1980-01-06) are taken as 2000 to 2079. */
export function fullYear(year: number): number {
  if (year >= 100) return year
  return year >= 80 ? 1900 + year : 2000 + year
}

/** Reads a date, a time of day or both. `order` decides numeric dates such as 03/04/2026. Null if `text` is neither. */
export function readStamp(text: string, order: DateOrder): Stamp | null {
  const trimmed = text.trim()
  if (trimmed.length > 60 || !/\d/.test(trimmed)) return null
  for (const shape of shapes) {
    const groups = shape.exec(trimmed)?.groups
    if (!groups) continue
    const hasDate = groups.y !== undefined
    const day = hasDate ? dayOf(groups, order) : null
    const clock = groups.h === undefined ? null : clockOf(groups)
    if ((hasDate && day === null) || (groups.h !== undefined && clock === null)) continue
    return { day, clock, offset: offsetOf(groups) }
  }
  return null
}

/**
 * Which way round the numeric dates of a file stand: decided by the first one that only fits one way; dots mean day
 * first. Null where all fit both ways; `dmy` if there is no numeric date at all.
 */
export function dateOrderOf(texts: Iterable<string>): DateOrder | null {
  let ambiguous = false
  for (const text of texts) {
    const found = /(?<![\d.])(\d{1,2})([-/.])(\d{1,2})\2(?:\d{4}|\d{2})(?!\d)/.exec(text)
    if (!found) continue
    const [, first, separator, second] = found
    if (separator === '.' || Number(first) > 12) return 'dmy'
    if (Number(second) > 12) return 'mdy'
    if (first !== second) ambiguous = true
  }
  return ambiguous ? null : 'dmy'
}

/** `+hh:mm` of an offset such as `-7`, `-0700`, `+05:30`; null if it is none. */
export function readOffset(text: string): string | null {
  const found = /^([-+−])(\d{1,2})(?::?(\d{2}))?$/.exec(text.trim())
  if (!found) return null
  const hours = Number(found[2])
  const minutes = Number(found[3] ?? '0')
  if (hours > 14 || minutes > 59) return null
  return `${found[1] === '+' ? '+' : '-'}${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`
}

/** Seconds that a clock with this offset is ahead of UTC. */
export function offsetSeconds(offset: string): number {
  const minutes = Number(offset.slice(1, 3)) * 60 + Number(offset.slice(4, 6))
  return (offset.startsWith('-') ? -60 : 60) * minutes
}

/** `YYYY-MM-DDTHH:MM:SS` of seconds since 1970-01-01T00:00 on the same clock; fractions are cut off. */
export function localText(seconds: number): string {
  return new Date(Math.floor(seconds) * 1000).toISOString().slice(0, 19)
}

/** Seconds of `mm:ss`, `h:mm:ss`, with fractions; minutes of the first form may pass 59. Null if `text` is neither. */
export function readElapsed(text: string): number | null {
  const found = /^(?:(\d{1,3}):)?(\d{1,4}):(\d{2})(?:[.,](\d{1,9}))?$/.exec(text.trim())
  if (!found || Number(found[3]) > 59 || (found[1] !== undefined && Number(found[2]) > 59)) return null
  return Number(found[1] ?? 0) * 3600 + Number(found[2]) * 60 + Number(`${found[3]}.${found[4] ?? '0'}`)
}

/** Seconds since midnight of `hhmmss` or `hhmmss.sss` (NMEA 0183), second 60 allowed; null if `text` is not that. */
export function readCompactClock(text: string): number | null {
  const groups = new RegExp(`^${compactTime}$`).exec(text.trim())?.groups
  return groups ? clockOf(groups) : null
}

type Groups = Record<string, string | undefined>

function dayOf(groups: Groups, order: DateOrder): number | null {
  const year = fullYear(Number(groups.y))
  if (year < 1970 || year > 2199) return null
  if (groups.a !== undefined) {
    const [first, second] = [Number(groups.a), Number(groups.b)]
    return order === 'dmy' ? dayNumber(year, second, first) : dayNumber(year, first, second)
  }
  return dayNumber(year, groups.n === undefined ? Number(groups.m) : monthNumber(groups.n), Number(groups.d))
}

function monthNumber(name: string): number {
  const start = name.slice(0, 3).toLowerCase()
  return localMonths[start] ?? months.indexOf(start) + 1
}

function clockOf(groups: Groups): number | null {
  let hours = Number(groups.h)
  const minutes = Number(groups.min)
  const seconds = Number(`${groups.s ?? '0'}.${groups.f ?? '0'}`)
  if (groups.half !== undefined) {
    if (hours < 1 || hours > 12) return null
    hours = (hours % 12) + (groups.half.toLowerCase() === 'p' ? 12 : 0)
  }
  if (hours > 23 || minutes > 59 || seconds >= 61) return null
  return hours * 3600 + minutes * 60 + seconds
}

function offsetOf(groups: Groups): string | null {
  if (groups.o !== undefined) return readOffset(groups.o)
  return groups.z === undefined ? null : '+00:00'
}
