/** Times of day in text: `14:05`, `14:05:18.250`, `2:05 PM`, `2.05pm`, `1405 hrs`, `2 PM`, with the zone behind them. */
import { formatOffset } from './instant.ts'
import { readZone, type ZoneContext, type ZonePrint } from './zone-words.ts'

export interface TimeOfDay {
  /** As written. */
  text: string
  hour: number
  /** 0 where only the hour is printed. */
  minute: number
  /** Null where none is printed. A fraction is cut off. */
  second: number | null
  /** What was printed: an hour (`2 PM`), a minute or a second. */
  precision: 'hour' | 'minute' | 'second'
  /** `+hh:mm` where a zone is printed that has one offset, else null. */
  offset: string | null
  /** Minutes east of UTC that the printed zone may mean; empty where none is printed. */
  offsets: readonly number[]
  placeUnknown: boolean
  start: number
  end: number
}

// A lone a or p only right behind the digits: "2:05p", but not "14 A".
const withM = '([ap])\\.?[ ]?m\\b\\.?'
const half = `(?:(?:[ \\u00a0\\u202f]{0,2}(?=[ap]\\.?[ ]?m\\b))?([ap])(?:\\.?[ ]?m\\b\\.?|(?![A-Za-z0-9])))`
const hours = "(?:[ \\u00a0\\u202f]{0,2}(?:hrs?|hours|uhr|o['’]clock)\\b\\.?)"
const forms = [
  // 14:05, 14:05:18, 14:05:18.250, 2:05 PM, 14:05 hrs
  new RegExp(`(\\d{1,2}):(\\d{2})(?::(\\d{2})(?:[.,]\\d{1,9}|:\\d{3})?)?(?!\\d|:\\d)(?:${half}|${hours})?`, 'iy'),
  // 2.05pm, 14.05 hrs, 14h05, 14 h 05
  new RegExp(`(\\d{1,2})\\.(\\d{2})(?:\\.(\\d{2}))?(?:${half}|${hours})`, 'iy'),
  /(\d{1,2})[ \u00a0\u202f]?[hH][ \u00a0\u202f]?(\d{2})(?![A-Za-z0-9])/y,
  // 1405 hrs, 140518h
  new RegExp(`(\\d{2})(\\d{2})(\\d{2})?(?:${hours}|h\\b)`, 'iy'),
  // 2 PM
  new RegExp(`(\\d{1,2})(?![\\d:.])[ \\u00a0\\u202f]{0,2}${withM}`, 'iy'),
]
const basic = /(\d{2})(\d{2})(?:(\d{2})(?:\d{3}|[.,]\d{1,9})?)?(?![\d:])/y
const hyphened = /(\d{2})[-_](\d{2})(?:[-_](\d{2}))?(?![-_]?\d)/y

export interface TimeSearch {
  /** Settles zone abbreviations that two continents share. */
  context?: ZoneContext
  /** Also `1405`, `140518`, `14-05-18`, as after the T of a date or in a file name. */
  basic?: boolean
}

/**
 * The time that stands exactly at `at`; null when none has its shape, `'invalid'` when one has but no clock shows it
 * (13:75, 14:05:61).
 */
export function timeAt(text: string, at: number, options: TimeSearch = {}): TimeOfDay | 'invalid' | null {
  const patterns = options.basic ? [...forms, hyphened, basic] : forms
  for (const [index, pattern] of patterns.entries()) {
    pattern.lastIndex = at
    const match = pattern.exec(text)
    if (!match) continue
    const halfDay = index < 5 && index !== 2 && index !== 3 ? match[index === 4 ? 2 : 4]?.toLowerCase() : undefined
    const minute = index === 4 ? 0 : Number(match[2])
    const second = index === 4 || match[3] === undefined ? null : Number(match[3])
    const hour = hourOfDay(Number(match[1]), halfDay)
    if (hour === null || minute > 59 || (second !== null && second > (minute === 59 ? 60 : 59))) return 'invalid'
    const zone = zoneBehind(text, match.index + match[0].length, { hour, minute, second, halfDay }, options)
    const end = match.index + match[0].length + (zone?.length ?? 0)
    const [only, ...more] = zone?.offsets ?? []
    return {
      text: text.slice(at, end),
      hour,
      minute,
      second,
      precision: index === 4 ? 'hour' : second === null ? 'minute' : 'second',
      offset: only === undefined || more.length > 0 ? null : zone?.placeUnknown ? '-00:00' : formatOffset(only),
      offsets: zone?.offsets ?? [],
      placeUnknown: zone?.placeUnknown ?? false,
      start: at,
      end,
    }
  }
  return null
}

/** Hour 0-23; 13:05 PM is printed by some and means 13:05, 14:05 AM means nothing. */
function hourOfDay(printed: number, halfDay: string | undefined): number | null {
  if (printed > 23) return null
  if (halfDay === undefined) return printed
  if (printed > 12 || printed === 0)
    return halfDay === 'p' && printed > 0 ? printed : printed === 0 ? (halfDay === 'a' ? 0 : null) : null
  return (printed % 12) + (halfDay === 'p' ? 12 : 0)
}

interface Printed {
  hour: number
  minute: number
  second: number | null
  halfDay: string | undefined
}

/** A minus after a time without seconds could be a range (09:05-10:00): an offset only where it would end before it began. */
function zoneBehind(text: string, at: number, printed: Printed, options: TimeSearch): ZonePrint | null {
  const rest = text.slice(at, at + 48)
  const range = /^[-−–](\d{2}):(\d{2})/.exec(rest.trimStart())
  const endsLater = range !== null && Number(range[1]) * 60 + Number(range[2]) > printed.hour * 60 + printed.minute
  const sure = options.basic === true || printed.second !== null
  const minus = /^[ \u00a0]?[-−–]\d{2}:?\d{2}/.test(rest) && (sure || !endsLater)
  return readZone(rest, options.context ?? null, minus)
}

const candidate = /(?<![A-Za-z0-9.,:/+-]|\d[ ]?[-–])\d{1,6}(?=[:.hH\d \u00a0\u202fAaPp])/g

/** Every time of day in a text, in order. Shapes that no clock shows are passed over. */
export function readTimesOfDay(text: string, options: TimeSearch = {}): TimeOfDay[] {
  const found: TimeOfDay[] = []
  const plainForms = { ...options, basic: false }
  for (const match of text.matchAll(candidate)) {
    if (match.index < (found.at(-1)?.end ?? 0)) continue
    const time = timeAt(text, match.index, plainForms)
    if (time !== null && time !== 'invalid') found.push(time)
  }
  return found
}

/** The first time of day in a text, null when there is none. */
export function readTimeOfDay(text: string, options: TimeSearch = {}): TimeOfDay | null {
  return readTimesOfDay(text, options)[0] ?? null
}
