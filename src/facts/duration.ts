/** Durations in text. */

export interface DurationFound {
  seconds: number
  /** As written. */
  text: string
  start: number
  end: number
}

export interface DurationSearch {
  /** What two numbers with a colon and no unit mean; absent or null: no duration is read from them. */
  colon?: 'mm:ss' | 'h:mm' | null
}

const day = '(?:days?|d)'
const hour = '(?:hours?|hrs?|h)'
const minute = "(?:minutes?|mins?|m(?=\\d|\\b)|['′’])"
const second = "(?:seconds?|secs?|s|\"|″|”|'')"
const number = '(\\d{1,7}(?:[.,]\\d{1,6})?)'
const sp = '[ \\u00a0\\u202f]{0,2}'
const stop = '(?![A-Za-z0-9])'
const joint = `(?:${sp}(?:,|and|&)?${sp})`

/** 1 d 2 h 03 min 04 s, every part optional; behind hours a bare two-digit number is minutes (1h02). */
const units = new RegExp(
  `(?<![A-Za-z0-9.,:/-])(?:${number}${sp}${day}${joint}(?=\\d|[^A-Za-z0-9]|$))?(?:${number}${sp}${hour}\\.?${joint}(?=\\d|[^A-Za-z0-9]|$))?(?:${number}${sp}${minute}\\.?${joint}(?=\\d|[^A-Za-z0-9]|$))?(?:${number}${sp}${second}${stop})?`,
  'iy',
)
const hoursAndBare = new RegExp(`(?<![A-Za-z0-9.,:/-])(\\d{1,4})${sp}${hour}${sp}(\\d{2})(?![A-Za-z0-9:.,])`, 'iy')
const clock = new RegExp(
  `(?<![A-Za-z0-9.,:/-])(\\d{1,4}):(\\d{2})(?::(\\d{2})(?:[.,](\\d{1,6}))?)?(?![\\d:])(?:${sp}(${hour}|${minute}|mm:ss|h:mm|hh:mm(?::ss)?)${stop})?`,
  'iy',
)
const iso =
  /(?<![A-Za-z0-9])P(?:(\d{1,5})D)?(?:T(?:(\d{1,5})H)?(?:(\d{1,6})M)?(?:(\d{1,7}(?:[.,]\d{1,6})?)S)?)?(?![A-Za-z0-9])/y
const candidate = /\d{1,7}|(?<![A-Za-z0-9])P(?=T?\d)/g

/**
 * The first duration of a text, null when there is none: `11 min 46 s`, `1 h 02 min`, `1h02`, `00:11:46`, `706 s`,
 * `12.5 min`, `8 minutes 50 seconds`, `11′46″`, `PT11M46S`, `15:55 min`. A bare `15:55` only where the option says
 * what it means. A time of day has the same shape as `h:mm:ss`: give only text that states a duration.
 */
export function readDuration(text: string, options: DurationSearch = {}): DurationFound | null {
  for (const match of text.matchAll(candidate)) {
    const at = match.index
    const found =
      isoAt(text, at) ?? clockAt(text, at, options.colon ?? null) ?? bareMinutesAt(text, at) ?? unitsAt(text, at)
    if (found) return { ...found, text: text.slice(found.start, found.end) }
  }
  return null
}

type Span = Omit<DurationFound, 'text'>

function toNumber(digits: string | undefined): number {
  return Number((digits ?? '0').replace(',', '.'))
}

function runAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at
  return pattern.exec(text)
}

function isoAt(text: string, at: number): Span | null {
  const match = runAt(iso, text, at)
  if (!match || match.slice(1).every((part) => part === undefined)) return null
  const [days, hours, minutes, seconds] = match.slice(1).map(toNumber) as [number, number, number, number]
  return { seconds: days * 86400 + hours * 3600 + minutes * 60 + seconds, start: at, end: at + match[0].length }
}

function clockAt(text: string, at: number, colon: 'mm:ss' | 'h:mm' | null): Span | null {
  const match = runAt(clock, text, at)
  if (!match) return null
  const [first, second] = [Number(match[1]), Number(match[2])]
  const end = at + match[0].trimEnd().length
  if (second > 59) return null
  if (match[3] !== undefined) {
    if (Number(match[3]) > 59) return null
    return { seconds: first * 3600 + second * 60 + Number(match[3]) + toNumber(`0.${match[4] ?? '0'}`), start: at, end }
  }
  const unit = match[5]?.toLowerCase()
  const meaning = unit === undefined ? colon : unit.startsWith('h') ? 'h:mm' : 'mm:ss'
  if (meaning === null) return null
  return { seconds: meaning === 'h:mm' ? first * 3600 + second * 60 : first * 60 + second, start: at, end }
}

function bareMinutesAt(text: string, at: number): Span | null {
  const match = runAt(hoursAndBare, text, at)
  if (!match || Number(match[2]) > 59) return null
  const rest = text.slice(at + match[0].length)
  if (new RegExp(`^${sp}(?:${minute}|${second})`, 'i').test(rest)) return null
  return { seconds: Number(match[1]) * 3600 + Number(match[2]) * 60, start: at, end: at + match[0].length }
}

function unitsAt(text: string, at: number): Span | null {
  const match = runAt(units, text, at)
  if (!match || match[0] === '') return null
  const [days, hours, minutes, seconds] = match.slice(1).map(toNumber) as [number, number, number, number]
  const written = match[0].replace(/[\s,&\u00a0\u202f]+$|[\s,]+and\s*$/i, '')
  return { seconds: days * 86400 + hours * 3600 + minutes * 60 + seconds, start: at, end: at + written.length }
}
