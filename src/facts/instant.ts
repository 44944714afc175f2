/**
 * Instants: strict RFC 3339, arithmetic on it, and the bounds that a local reading sets on the true instant.
 *
 * Bounds are closed and in whole seconds: a printed minute 14:05 lies between 14:05:00 and 14:05:59, a printed day
 * between 00:00:00 and 23:59:59. Offsets in use run from -12:00 to +14:00.
 */
import { Temporal } from 'temporal-polyfill'

export interface ParsedInstant {
  /** Seconds since 1970-01-01T00:00Z, without leap seconds (second 60 is second 0 of the next minute); may be fractional. */
  seconds: number
  /** Minutes east of UTC; null for `-00:00`, which says that the offset of the place is unknown (RFC 3339, 4.3). */
  offsetMinutes: number | null
  /** As printed, without the fraction: `YYYY-MM-DDTHH:MM:SS`. */
  local: string
}

const rfc3339 = /^(\d{4})-(\d{2})-(\d{2})[Tt](\d{2}):(\d{2}):(\d{2})(?:\.(\d{1,20}))?(?:([Zz])|([+-])(\d{2}):(\d{2}))$/

/** Days since 1970-01-01 of a Gregorian date; null where the calendar has no such day. Years 0-9999. */
export function daysOfDate(year: number, month: number, day: number): number | null {
  if (![year, month, day].every(Number.isInteger) || month < 1 || month > 12 || day < 1) return null
  const lengths = [31, isLeapYear(year) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
  if (year < 0 || year > 9999 || day > (lengths[month - 1] ?? 0)) return null
  const at = new Date(0)
  at.setUTCFullYear(year, month - 1, day)
  return Math.round(at.getTime() / 86400000)
}

function isLeapYear(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
}

/**
 * Parses an RFC 3339 date-time, strictly: full form, real date, offset to 23:59. Second 60 only where UTC is at 23:59 on
 * the last day of a month, which is where leap seconds are inserted (RFC 3339, appendix D). Null for anything else.
 */
export function parseRfc3339(text: string): ParsedInstant | null {
  const match = rfc3339.exec(text)
  if (!match) return null
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  const days = daysOfDate(year, month, day)
  if (days === null || hour > 23 || minute > 59 || second > 60) return null
  const sign = match[9] === '-' ? -1 : 1
  const [offsetHours, offsetRest] = [Number(match[10] ?? 0), Number(match[11] ?? 0)]
  if (offsetHours > 23 || offsetRest > 59) return null
  const offset = sign * (offsetHours * 60 + offsetRest)
  const whole = days * 86400 + hour * 3600 + minute * 60 + second - offset * 60
  if (second === 60 && !startsMonth(whole)) return null
  const unknown = sign === -1 && offset === 0
  return {
    seconds: whole + Number(`0.${match[7] ?? '0'}`),
    offsetMinutes: unknown ? null : offset,
    local: text.slice(0, 19).toUpperCase(),
  }
}

function startsMonth(seconds: number): boolean {
  return seconds % 86400 === 0 && new Date(seconds * 1000).getUTCDate() === 1
}

/** Seconds since 1970-01-01T00:00Z of an RFC 3339 instant. Throws a RangeError that names the text when it is none. */
export function secondsOfInstant(instant: string): number {
  const parsed = parseRfc3339(instant)
  if (!parsed) {
    throw new RangeError(`"${instant.slice(0, 60)}" is not an RFC 3339 instant; write it like 2026-03-14T14:05:00Z`)
  }
  return parsed.seconds
}

/** RFC 3339, UTC, of seconds since 1970-01-01T00:00Z; milliseconds only where they are not zero. Years 0-9999, else a RangeError. */
export function formatInstant(seconds: number): string {
  const milliseconds = Math.round(seconds * 1000)
  if (!(milliseconds >= -62167219200000 && milliseconds < 253402300800000)) {
    throw new RangeError(`${seconds} seconds since 1970 lie outside the years 0000-9999 that RFC 3339 can write`)
  }
  return new Date(milliseconds).toISOString().replace('.000Z', 'Z')
}

/** The instant some seconds later (earlier for a negative number). Throws a RangeError on a bad instant. */
export function addSeconds(instant: string, seconds: number): string {
  return formatInstant(secondsOfInstant(instant) + seconds)
}

/** Seconds from `from` to `to`, negative when `to` is earlier. Throws a RangeError on a bad instant. */
export function secondsBetween(from: string, to: string): number {
  return secondsOfInstant(to) - secondsOfInstant(from)
}

/** Negative, zero or positive as `a` is before, at or after `b`, whatever offsets they are written with. */
export function compareInstants(a: string, b: string): number {
  return secondsOfInstant(a) - secondsOfInstant(b)
}

export interface InstantBounds {
  earliest: string
  latest: string
}

/** The bounds that hold all of several, all as `instantBounds` gives them; a RangeError for none. */
export function enclose(all: readonly InstantBounds[]): InstantBounds {
  const [first, ...rest] = all
  if (!first) throw new RangeError('no bounds to enclose')
  const earlier = (a: string, b: string) => (compareInstants(a, b) <= 0 ? a : b)
  const later = (a: string, b: string) => (compareInstants(a, b) >= 0 ? a : b)
  return rest.reduce(
    (sum, one) => ({ earliest: earlier(sum.earliest, one.earliest), latest: later(sum.latest, one.latest) }),
    first,
  )
}

interface LocalSpan {
  /** Seconds since 1970-01-01T00:00 on the local clock, first and last whole second of what was printed. */
  first: number
  last: number
}

const localForm = /^(\d{4})-(\d{2})-(\d{2})(?:T(\d{2}):(\d{2})(?::(\d{2}))?)?$/

/** The span of local seconds that `YYYY-MM-DD`, `…THH:MM` or `…THH:MM:SS` covers; null when it is no such reading. */
export function localSpan(local: string): LocalSpan | null {
  const match = localForm.exec(local)
  if (!match) return null
  const days = daysOfDate(Number(match[1]), Number(match[2]), Number(match[3]))
  const [hour, minute, second] = [Number(match[4] ?? 0), Number(match[5] ?? 0), Number(match[6] ?? 0)]
  if (days === null || hour > 23 || minute > 59 || second > 60) return null
  const first = days * 86400 + hour * 3600 + minute * 60 + second
  const length = match[4] === undefined ? 86400 : match[6] === undefined ? 60 : 1
  return { first, last: first + length - 1 }
}

/** Minutes east of UTC of `+hh:mm`, `-hh:mm` or `Z`; null for anything else. */
export function minutesOfOffset(offset: string): number | null {
  if (/^z$/i.test(offset)) return 0
  const match = /^([+-])(\d{2}):(\d{2})$/.exec(offset)
  if (!match || Number(match[2]) > 23 || Number(match[3]) > 59) return null
  const minutes = Number(match[2]) * 60 + Number(match[3])
  return match[1] === '-' && minutes > 0 ? -minutes : minutes
}

/** `+hh:mm` or `-hh:mm` of minutes east of UTC. */
export function formatOffset(minutes: number): string {
  const size = Math.abs(minutes)
  const pair = (value: number) => String(value).padStart(2, '0')
  return `${minutes < 0 ? '-' : '+'}${pair(Math.floor(size / 60))}:${pair(size % 60)}`
}

const westmost = -12 * 60
const eastmost = 14 * 60

/**
 * The UTC instants between which a local reading lies.
 *
 * `local`: `YYYY-MM-DD`, `YYYY-MM-DDTHH:MM` or `…:SS`. `zone`: `+hh:mm`, `-hh:mm`, `Z`, an IANA name, or null when
 * unknown, which spans every offset in use. A reading that an IANA zone has twice (clocks set back) spans both; one that
 * it never has (clocks set forward) spans what it means before and after the change.
 * Throws a RangeError when the reading or the zone is none.
 */
export function instantBounds(local: string, zone: string | null): InstantBounds {
  const span = localSpan(local)
  if (!span) throw new RangeError(`"${local.slice(0, 60)}" is not a local date; write 2026-03-14 or 2026-03-14T14:05`)
  if (zone === null) return offsetBounds(span, westmost, eastmost)
  const minutes = minutesOfOffset(zone)
  if (minutes !== null) return offsetBounds(span, minutes, minutes)
  return {
    earliest: formatInstant(zonedSeconds(span.first, zone, 'earlier')),
    latest: formatInstant(zonedSeconds(span.last, zone, 'later')),
  }
}

/** Bounds of a local reading whose offset is one of several, in minutes east of UTC. Throws as `instantBounds` does. */
export function boundsOverOffsets(local: string, offsets: readonly number[]): InstantBounds {
  const span = localSpan(local)
  if (!span || offsets.length === 0) throw new RangeError(`"${local.slice(0, 60)}" needs a local date and an offset`)
  return offsetBounds(span, Math.min(...offsets), Math.max(...offsets))
}

function offsetBounds(span: LocalSpan, west: number, east: number): InstantBounds {
  return { earliest: formatInstant(span.first - east * 60), latest: formatInstant(span.last - west * 60) }
}

function plain(localSeconds: number): Temporal.PlainDateTime {
  return Temporal.PlainDateTime.from(formatInstant(localSeconds).slice(0, 19))
}

function zonedSeconds(localSeconds: number, zone: string, disambiguation: 'earlier' | 'later'): number {
  try {
    return plain(localSeconds).toZonedDateTime(zone, { disambiguation }).epochMilliseconds / 1000
  } catch {
    throw new RangeError(`"${zone.slice(0, 60)}" is not a known time zone; write an IANA name such as America/Denver`)
  }
}

/** Whether a name is a zone of the IANA database. */
export function isKnownZone(zone: string): boolean {
  if (!/^[A-Za-z]/.test(zone)) return false
  try {
    Temporal.ZonedDateTime.from({ timeZone: zone, year: 2026, month: 1, day: 1 })
    return true
  } catch {
    return false
  }
}

/** How often a zone's clocks show a local second: `never` where they are set forward over it, `twice` where set back. */
export function localOccurrence(local: string, zone: string): 'once' | 'twice' | 'never' {
  const span = localSpan(local)
  if (!span) throw new RangeError(`"${local.slice(0, 60)}" is not a local date; write 2026-03-14 or 2026-03-14T14:05`)
  const earlier = zonedSeconds(span.first, zone, 'earlier')
  const later = zonedSeconds(span.first, zone, 'later')
  if (earlier === later) return 'once'
  const back = Temporal.Instant.fromEpochMilliseconds(earlier * 1000)
    .toZonedDateTimeISO(zone)
    .toPlainDateTime()
  return Temporal.PlainDateTime.compare(back, plain(span.first)) === 0 ? 'twice' : 'never'
}
