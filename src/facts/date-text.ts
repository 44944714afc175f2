/** Dates and times in text, as every instrument, office program and camera prints them. */
import { type TimeOfDay, timeAt } from './clock-text.ts'
import { type CalendarDate, type DateShape, findDateShapes } from './date-forms.ts'
import type { DateReading } from './document.ts'
import { boundsOverOffsets, enclose, formatOffset, type InstantBounds, instantBounds, isKnownZone } from './instant.ts'
import type { ZoneContext } from './zone-words.ts'

export interface DateFound {
  reading: DateReading
  start: number
  end: number
  /** For numbers that only one order of day and month allows: which; else null. */
  proves: 'day-first' | 'month-first' | null
}

export interface DateSearch {
  /** Order of day and month where both fit; null or absent leaves such a date open. An order that cannot be is not forced. */
  dayFirst?: boolean | null
  /** IANA name of the zone of clocks that print none. A RangeError when unknown. */
  zone?: string | null
  /** Continent whose zone abbreviations count where no date tells; null or absent: none. */
  context?: ZoneContext
}

/**
 * Every date or date-time of a text, in order.
 *
 * A time is taken when it stands right behind the date or right before it. A date whose time no clock shows (13:75) is left
 * out altogether, since one of its digits is wrong. Where day and month cannot be told apart, `local` is null, the
 * bounds span both and `alternatives` holds the day-first and the month-first reading, in this order.
 */
export function readDates(text: string, options: DateSearch = {}): DateFound[] {
  const found: DateFound[] = readPdfDates(text, options)
  const pdfDates = [...found]
  const shapes = findDateShapes(text)
  const context = contextOf(shapes, options)
  let free = 0
  for (const [index, shape] of shapes.entries()) {
    while (pdfDates[0] && pdfDates[0].end <= shape.start) pdfDates.shift()
    if (shape.start < free || (pdfDates[0] && pdfDates[0].start < shape.end)) continue
    const next = shapes[index + 1]?.start ?? text.length
    const timed = timeOfShape(text, shape, free, next, context)
    if (timed === 'invalid') {
      free = shape.end
      continue
    }
    const plain = { start: shape.start, end: shape.end, time: null, zone: null }
    const { start, end, time, zone } = timed ? withZoneBeside(text, timed, free) : plain
    if (isTiedBehind(text, end, timed !== null)) continue
    const reading = makeReading(text.slice(start, end), shape, time, { ...options, zone: zone ?? options.zone })
    found.push({ reading, start, end, proves: shape.proves })
    free = end
  }
  return found.sort((a, b) => a.start - b.start)
}

/** The first date of a text, null when there is none. */
export function readDate(text: string, options: DateSearch = {}): DateReading | null {
  return readDates(text, options)[0]?.reading ?? null
}

/** Digits tied on by a separator make it part of a longer number; a hyphen behind a time leads to the end of a range. */
function isTiedBehind(text: string, end: number, hasTime: boolean): boolean {
  const tie = hasTime ? /^[/.:]\d/ : /^[-/.:]\d/
  return tie.test(text.slice(end, end + 2))
}

const utcBefore = /(?<![A-Za-z0-9])\(?(?:UTC|GMT)\)?[ ]?[:=]?[ ]{0,3}$/
const namedZone = /^[ ]?[[(]?([A-Z][A-Za-z]{1,14}(?:\/[A-Z][A-Za-z_-]{1,20}){1,2})(?![A-Za-z0-9/])[\])]?/

/** A zone that stands elsewhere than right behind the time: `UTC: 2026-03-14 14:05`, `14:05 America/Denver` (RFC 9557: in brackets). */
function withZoneBeside(text: string, timed: Timed, free: number): Timed & { zone: string | null } {
  if (timed.time.offsets.length > 0) return { ...timed, zone: null }
  const behind = namedZone.exec(text.slice(timed.end, timed.end + 64))
  if (behind?.[1] && isKnownZone(behind[1])) return { ...timed, end: timed.end + behind[0].length, zone: behind[1] }
  const before = utcBefore.exec(text.slice(Math.max(free, timed.start - 12), timed.start))
  if (!before) return { ...timed, zone: null }
  const time: TimeOfDay = { ...timed.time, offset: '+00:00', offsets: [0] }
  return { ...timed, start: timed.start - before[0].length, time, zone: null }
}

/** Month-first dates and North American habits settle CST; day-first dates settle BST. */
function contextOf(shapes: readonly DateShape[], options: DateSearch): ZoneContext {
  const order = options.dayFirst ?? null
  if (order !== null) return order ? 'europe' : 'north-america'
  const proofs = new Set(shapes.map(({ proves }) => proves).filter((proof) => proof !== null))
  if (options.context) return options.context
  if (proofs.size !== 1) return null
  return proofs.has('day-first') ? 'europe' : 'north-america'
}

interface Timed {
  time: TimeOfDay
  start: number
  end: number
}

const sp = '[ \\t\\u00a0\\u202f]'
const connector = new RegExp(
  `(?:T(?=\\d)|_|:(?=\\d{2}:\\d{2}:\\d{2})|${sp}{0,4}(?:[,;|·•@–—-]|\\bat\\b)${sp}{0,4}|${sp}{1,4}/${sp}{1,4}|${sp}{1,8})(?:(?:at|@|time|um|à|a las)${sp}{0,2}:?${sp}{0,4})?\\(?`,
  'iy',
)
const weekdayBehind = new RegExp(
  `${sp}{0,2}\\(?(?:mon|tue|wed|thu|fri|sat|sun)(?:s|nes|rs|ur)?(?:day)?\\.?\\)?(?=[ ,])`,
  'iy',
)

function timeOfShape(
  text: string,
  shape: DateShape,
  free: number,
  next: number,
  context: ZoneContext,
): Timed | 'invalid' | null {
  if (shape.timeInside !== null) {
    const time = timeAt(text, shape.timeInside, { context })
    if (time === null || time === 'invalid') return 'invalid'
    return { time, start: shape.start, end: shape.end }
  }
  return timeBehind(text, shape, next, context) ?? timeBefore(text, shape, free, context)
}

function timeBehind(text: string, shape: DateShape, next: number, context: ZoneContext): Timed | 'invalid' | null {
  let at = shape.end
  if (shape.basic && /\d/.test(text.charAt(at))) return timed(timeAt(text, at, { context, basic: true }), shape.start)
  weekdayBehind.lastIndex = at
  at += weekdayBehind.exec(text)?.[0].length ?? 0
  const tied = timeTiedByHyphen(text, shape, context)
  if (tied) return tied
  connector.lastIndex = at
  const between = connector.exec(text)
  if (!between) return null
  at += between[0].length
  if (at >= next) return null
  const basic =
    /^[T_]/i.test(between[0]) ||
    (shape.basic && (between[0] === '-' || /^ \d{6}(?!\d)/.test(text.slice(at - 1, at + 7))))
  const opened = between[0].endsWith('(')
  const result = timed(timeAt(text, at, { context, basic }), shape.start)
  if (result === null || result === 'invalid') return opened ? null : result
  const closes = opened && text.charAt(result.end) === ')'
  return { ...result, end: result.end + (closes ? 1 : 0) }
}

/** File names write 2026-03-14-14-05-30 and 2026-03-14 14-05-30. */
function timeTiedByHyphen(text: string, shape: DateShape, context: ZoneContext): Timed | 'invalid' | null {
  if (!/^[-. ]\d{2}[-_]\d{2}[-_]\d{2}(?![-_]?\d)/.test(text.slice(shape.end, shape.end + 11))) return null
  return timed(timeAt(text, shape.end + 1, { context, basic: true }), shape.start)
}

function timed(time: TimeOfDay | 'invalid' | null, start: number): Timed | 'invalid' | null {
  return time === null || time === 'invalid' ? time : { time, start, end: time.end }
}

const lastTime =
  /(?<![A-Za-z0-9.,:/+-])(\d{1,2}(?::\d{2}){0,2}(?:[.,]\d{1,3})?[ ]?(?:[AaPp]\.?[Mm]\.?|hours|hrs|h)?(?:[ ]?\(?[A-Z]{1,5}\)?)?(?:[ ]?[+-]\d{2}:?\d{2})?)[ \u00a0]{0,2}(?:[,;|/–—-]|on\b|of\b)?[ \u00a0]{0,3}$/
/** The end of a range of times: which of the two belongs to the date cannot be told. */
const rangeBefore = /:\d{2}(?: ?[ap]\.?m\.?)?[ ]{0,3}(?:[-–—|/]|to\b|until\b)[ ]{0,3}$/i
const measured = /(?:duration|elapsed|took|length|run ?time|total|drive time|time taken)[^A-Za-z0-9]{0,6}$/i

/** "2:05 PM on 3/14/2026", "14:05:18, 14 Mar 2026": only what lies between the last date and this one. */
function timeBefore(text: string, shape: DateShape, free: number, context: ZoneContext): Timed | null {
  const from = Math.max(free, shape.start - 40)
  const match = lastTime.exec(text.slice(from, shape.start))
  if (!match?.[1]) return null
  const at = from + match.index
  const time = timeAt(text, at, { context })
  if (time === null || time === 'invalid' || measured.test(text.slice(Math.max(0, at - 24), at))) return null
  if (time.end < at + match[1].trimEnd().length) return null
  if (rangeBefore.test(text.slice(Math.max(0, at - 24), at))) return null
  return { time, start: at, end: shape.end }
}

function localOf(date: CalendarDate, time: { hour: number; minute: number; second: number | null } | null): string {
  const pair = (value: number) => String(value).padStart(2, '0')
  const day = `${String(date.year).padStart(4, '0')}-${pair(date.month)}-${pair(date.day)}`
  if (!time) return day
  return `${day}T${pair(time.hour)}:${pair(time.minute)}${time.second === null ? '' : `:${pair(time.second)}`}`
}

function makeReading(text: string, shape: DateShape, time: TimeOfDay | null, options: DateSearch): DateReading {
  const { dayFirst = null, zone = null } = options
  const [first, second] = shape.dates
  const settled = second === undefined || dayFirst === null ? shape.dates : [dayFirst ? first : second]
  const locals = settled.filter((date) => date !== undefined).map((date) => localOf(date, time))
  return readingOf(text, locals, time, zone)
}

/** `locals`: one local reading, or the two that day and month allow. */
function readingOf(text: string, locals: readonly string[], time: TimeOfDay | null, zone: string | null): DateReading {
  const bounds = locals.map((local) => boundsOf(local, time, zone))
  const reading: DateReading = {
    text,
    local: locals.length === 1 ? (locals[0] ?? null) : null,
    offset: time?.offset ?? null,
    ...enclose(bounds),
  }
  if (locals.length > 1) reading.alternatives = [...locals]
  if (zone !== null && (time?.offsets.length ?? 0) === 0) reading.zone = zone
  return reading
}

function boundsOf(local: string, time: TimeOfDay | null, zone: string | null): InstantBounds {
  const printed = time?.offsets ?? []
  const bounds = printed.length > 0 ? boundsOverOffsets(local, printed) : instantBounds(local, zone)
  if (time?.precision !== 'hour') return bounds
  const last = `${local.slice(0, 14)}59`
  const end = printed.length > 0 ? boundsOverOffsets(last, printed) : instantBounds(last, zone)
  return { earliest: bounds.earliest, latest: end.latest }
}

/** ISO 32000-1, 7.9.4: `D:YYYYMMDDHHmmSSOHH'mm'`, everything after the year optional; here at least the day is wanted. */
const pdfDate =
  /\bD:(\d{4})(\d{2})(\d{2})(?:(\d{2})(?:(\d{2})(\d{2})?)?)?(?:(Z)(?:00'?(?:00'?)?)?|([+-])(\d{2})'?(?:(\d{2})'?)?)?(?![0-9A-Za-z])/g

function readPdfDates(text: string, options: DateSearch): DateFound[] {
  const found: DateFound[] = []
  for (const match of text.matchAll(pdfDate)) {
    const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])]
    const second = match[6] === undefined ? null : Number(match[6])
    const clock = match[4] === undefined ? null : { hour: Number(match[4]), minute: Number(match[5] ?? 0), second }
    const minutes = Number(match[9] ?? 0) * 60 + Number(match[10] ?? 0)
    const offset = match[7] ? 0 : match[8] ? (match[8] === '-' ? -minutes : minutes) : null
    if (Math.abs(offset ?? 0) > 14 * 60) continue
    const local = localOf({ year, month, day }, clock)
    try {
      const bounds = offset === null ? instantBounds(local, options.zone ?? null) : boundsOverOffsets(local, [offset])
      const reading: DateReading = {
        text: match[0],
        local,
        offset: offset === null ? null : formatOffset(offset),
        ...bounds,
      }
      if (offset === null && options.zone) reading.zone = options.zone
      found.push({ reading, start: match.index, end: match.index + match[0].length, proves: null })
    } catch {}
  }
  return found
}

/** Which order of day and month the unambiguous dates of a text prove; null when none does or when they disagree. */
export function dayMonthEvidence(text: string): 'day-first' | 'month-first' | null {
  const proofs = new Set(
    findDateShapes(text)
      .map(({ proves }) => proves)
      .filter((proof) => proof !== null),
  )
  const [only, other] = [...proofs]
  return only !== undefined && other === undefined ? only : null
}

/** Settles a reading that is open between day and month, and sets its bounds anew; other readings come back as they are. */
export function settleDayMonth(reading: DateReading, dayFirst: boolean, zone: string | null = null): DateReading {
  const local = reading.alternatives?.[dayFirst ? 0 : 1]
  if (local === undefined) return reading
  const { alternatives: _, ...rest } = reading
  const known = reading.offset ?? reading.zone ?? zone
  const settled: DateReading = { ...rest, local, ...instantBounds(local, known) }
  if (reading.offset === null && zone !== null) settled.zone = zone
  return settled
}

/** Sets the bounds of a reading whose zone was not printed by a zone that the packet declares. Throws a RangeError on an unknown zone. */
export function placeInZone(reading: DateReading, zone: string): DateReading {
  if (reading.offset !== null) return reading
  const locals = reading.local === null ? (reading.alternatives ?? []) : [reading.local]
  if (locals.length === 0) return reading
  const bounds = locals.map((local) => instantBounds(local, zone))
  return {
    ...reading,
    ...enclose(bounds),
    zone,
  }
}

/**
 * A date printed in one place and a time of day in another (a column, a later field). The zone printed with the time counts,
 * then the date's own. A reading that already has a time keeps its day only.
 */
export function combine(date: DateReading, time: TimeOfDay): DateReading {
  const days = date.local === null ? (date.alternatives ?? []) : [date.local]
  const locals = days.map((day) => day.slice(0, 10)).map((day) => localOf(dateOf(day), time))
  if (locals.length === 0) return date
  const inherited = time.offsets.length > 0 ? null : (date.offset ?? date.zone ?? null)
  // A date that came with another time lends its day alone.
  const dayText = date.local !== null && date.local.length > 10 ? date.local.slice(0, 10) : date.text
  const reading = readingOf(`${dayText} ${time.text}`, locals, time, inherited)
  if (inherited !== null && date.offset !== null) {
    const { zone: _, ...rest } = reading
    return { ...rest, offset: date.offset }
  }
  return reading
}

function dateOf(day: string): CalendarDate {
  return { year: Number(day.slice(0, 4)), month: Number(day.slice(5, 7)), day: Number(day.slice(8, 10)) }
}
