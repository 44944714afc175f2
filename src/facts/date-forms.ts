/**
 * The shapes in which a calendar date is printed, without its time.
 *
 * Month names in English, German, French and Spanish. Two-digit years as POSIX reads them: 69-99 are 1969-1999, 00-68 are 2000-2068. Four-digit years
 * from 1900 to 2099, so that serial numbers are not taken for dates.
 */
import { daysOfDate } from './instant.ts'

export interface CalendarDate {
  year: number
  month: number
  day: number
}

export interface DateShape {
  start: number
  end: number
  /** One date, or two where day and month cannot be told apart: the day-first reading, then the month-first one. */
  dates: readonly CalendarDate[]
  /** For numbers such as 14/03/2026 that only one order of day and month allows: which; else null. */
  proves: 'day-first' | 'month-first' | null
  /** Digits run on without separators, so that a time may follow likewise (20261020T1448). */
  basic: boolean
  /** A time that stands inside the date (`Thu Aug 20 10:52:00 2026`): where it starts. */
  timeInside: number | null
}

/** The names of the twelve months, January first: English, then German, French and Spanish (names and abbreviations of the Unicode CLDR). */
const months = [
  'jan(?:uary|uar|vier|v)?|jänner|ene(?:ro)?',
  'feb(?:ruary|ruar|rero)?|février|fevrier|f[ée]vr?',
  'mar(?:ch|s|zo)?|märz?|maerz|mrz',
  'apr(?:il)?|avr(?:il)?|abr(?:il)?',
  'may(?:o)?|mai',
  'june?|juni|juin|jun(?:io)?',
  'july?|juli|juil(?:let)?|jul(?:io)?',
  'aug(?:ust)?|ao[ûu]t|ago(?:sto)?',
  'sept?(?:ember|embre|iembre)?|setiembre',
  'oct(?:ober|obre|ubre)?|okt(?:ober)?',
  'nov(?:ember|embre|iembre)?',
  'dec(?:ember)?|dez(?:ember)?|d[ée]c(?:embre)?|dic(?:iembre)?',
]
/** Matches the name of a month, or what it is shortened to; no group in it. */
export const monthNames = `(?:${months.join('|')})(?!\\p{L})`
const monthName = `(${monthNames})`
const weekday = '(?:(mon|tue|wed|thu|fri|sat|sun)(?:s|nes|rs|ur)?(?:day)?\\.?,?[ \\u00a0]{1,2})?'
const gap = '[ \\u00a0\\u202f]{0,2}'
const year4 = '((?:19|20)\\d{2})'
const separator = `(?:[ \\u00a0\\u202f]{0,2}[-–‑./,]?[ \\u00a0\\u202f]{0,2})`

const forms = {
  yearFirst: new RegExp(`(?<![A-Za-z0-9]|\\d[./:])${year4}([-./:‑])(\\d{1,2})\\2(\\d{1,2})(?!\\d)`, 'g'),
  basic:
    /(?<![A-Za-z0-9]|\d[./:,-])((?:19|20)\d{2})(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])(?=$|[^A-Za-z0-9]|T\d|\d{4}(?:\d{2})?(?!\d))/g,
  numeric: new RegExp(
    `(?<![A-Za-z0-9]|\\d[-./:])${weekday}(\\d{1,2})(${gap}[-./‑]${gap})(\\d{1,2})\\3(\\d{4}|\\d{2})(?!\\d)`,
    'gi',
  ),
  dayMonthYear: new RegExp(
    `(?<![A-Za-z0-9]|\\d[-./:])${weekday}(?:the )?(\\d{1,2})(?:st|nd|rd|th|er)?\\.?${separator}(?:day )?(?:of |de )?${monthName}\\.?${separator}(?:del? )?(?:${year4}(?!\\d)|['’]?(\\d{2})(?!\\d|[.:]\\d))`,
    'giu',
  ),
  monthDayYear: new RegExp(
    `(?<![A-Za-z])${weekday}${monthName}\\.?[-/ \\u00a0]{0,2}(\\d{1,2})(?:st|nd|rd|th)?(?:,? ?[-/]?[ ]?${year4}|(?:, ?|[-/]|,? ?['’])(\\d{2}))(?!\\d|[.:]\\d)`,
    'giu',
  ),
  yearMonthDay: new RegExp(
    `(?<![A-Za-z0-9])${year4}${separator}${monthName}\\.?${separator}(\\d{1,2})(?!\\d|[.:]\\d)`,
    'giu',
  ),
  // The date of ctime(3) and date(1): Thu Aug 20 10:52:00 MDT 2026
  unix: new RegExp(
    `(?<![A-Za-z])${weekday}${monthName} {1,2}(\\d{1,2}) (\\d{2}:\\d{2}(?::\\d{2})?)(?: [A-Z]{1,5})? ${year4}(?!\\d)`,
    'giu',
  ),
}

function fullYear(digits: string): number {
  if (digits.length === 4) return Number(digits)
  return Number(digits) + (Number(digits) >= 69 ? 1900 : 2000)
}

const monthForms = months.map((form) => new RegExp(`^(?:${form})$`, 'iu'))

function monthOfName(name: string | undefined): number {
  return monthForms.findIndex((form) => form.test(name ?? '')) + 1
}

function isReal(date: CalendarDate): boolean {
  return date.year >= 1900 && date.year < 2100 && daysOfDate(date.year, date.month, date.day) !== null
}

function shape(match: RegExpExecArray, dates: CalendarDate[], more: Partial<DateShape> = {}): DateShape | null {
  const real = dates.filter(isReal)
  if (real.length === 0) return null
  const end = match.index + match[0].length
  return { start: match.index, end, dates: real, proves: null, basic: false, timeInside: null, ...more }
}

/** Labels of numbers that have the shape of a short date (software 04.12.21) or of a run of digits (serial 20240815). */
const otherLabel =
  /(?:\b(?:version|ver|v|rev(?:ision)?|release|build|sw|software|firmware|fw|hw|hardware|serial|ser|s\/n|sn|part|p\/n|pn|job|ro|order|claim|policy|invoice|ref|ip|id|no|number|nr)|#)[.:#= ]{0,4}$/i

function isLabelledOther(match: RegExpExecArray): boolean {
  return otherLabel.test(match.input.slice(Math.max(0, match.index - 24), match.index))
}

/** Both readings of two numbers and a year; a printed weekday settles them where it fits one only. */
function numericShape(match: RegExpExecArray): DateShape | null {
  const [first, second] = [Number(match[2]), Number(match[4])]
  const printed = match[5] ?? ''
  const loose = match[2]?.length === 1 || match[4]?.length === 1 || match[3]?.length !== 1
  if (printed.length === 2 && match[3] !== '/' && loose) return null
  if (printed.length === 2 && isLabelledOther(match)) return null
  const year = fullYear(printed)
  const dayFirst = { year, month: second, day: first }
  const monthFirst = { year, month: first, day: second }
  const fits = [isReal(dayFirst), isReal(monthFirst)]
  if (fits[0] !== fits[1]) {
    const dates = [fits[0] ? dayFirst : monthFirst]
    return shape(match, dates, { proves: fits[0] ? 'day-first' : 'month-first' })
  }
  if (first === second) return shape(match, [dayFirst])
  const onDay = match[1] ? [dayFirst, monthFirst].filter((date) => isWeekday(date, match[1] ?? '')) : []
  if (onDay.length === 1) return shape(match, onDay, { proves: onDay[0] === dayFirst ? 'day-first' : 'month-first' })
  return shape(match, [dayFirst, monthFirst])
}

function isWeekday(date: CalendarDate, name: string): boolean {
  const days = daysOfDate(date.year, date.month, date.day)
  const names = ['thu', 'fri', 'sat', 'sun', 'mon', 'tue', 'wed']
  return days !== null && names[((days % 7) + 7) % 7] === name.slice(0, 3).toLowerCase()
}

const shapers: Record<keyof typeof forms, (match: RegExpExecArray) => DateShape | null> = {
  yearFirst(match) {
    // EXIF writes 2026:03:14 with two digits throughout.
    if (match[2] === ':' && match[0].length !== 10) return null
    return shape(match, [{ year: Number(match[1]), month: Number(match[3]), day: Number(match[4]) }])
  },
  basic(match) {
    if (isLabelledOther(match)) return null
    const date = { year: Number(match[1]), month: Number(match[2]), day: Number(match[3]) }
    return shape(match, [date], { basic: true })
  },
  numeric: numericShape,
  dayMonthYear(match) {
    const year = fullYear(match[4] ?? match[5] ?? '')
    return shape(match, [{ year, month: monthOfName(match[3]), day: Number(match[2]) }])
  },
  monthDayYear(match) {
    const year = fullYear(match[4] ?? match[5] ?? '')
    return shape(match, [{ year, month: monthOfName(match[2]), day: Number(match[3]) }])
  },
  yearMonthDay(match) {
    return shape(match, [{ year: Number(match[1]), month: monthOfName(match[2]), day: Number(match[3]) }])
  },
  unix(match) {
    const date = { year: Number(match[5]), month: monthOfName(match[2]), day: Number(match[3]) }
    return shape(match, [date], { timeInside: match.index + match[0].indexOf(match[4] ?? '') })
  },
}

/** Every calendar date of a text in order, the longest where shapes overlap. Impossible dates (31.02.) are none. */
export function findDateShapes(text: string): DateShape[] {
  const all: DateShape[] = []
  for (const [name, pattern] of Object.entries(forms)) {
    const make = shapers[name as keyof typeof forms]
    for (const match of text.matchAll(pattern)) {
      const made = make(match)
      if (made) all.push(made)
    }
  }
  all.sort((a, b) => a.start - b.start || b.end - a.end)
  const kept: DateShape[] = []
  for (const one of all) if (one.start >= (kept.at(-1)?.end ?? 0)) kept.push(one)
  return kept
}
