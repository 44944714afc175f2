/** The lines before (and after) the columns of a log: what they label, what they say of clock, zone and day. */
import { speedScale } from './drive-columns.ts'
import { type DateOrder, readOffset, readStamp } from './sample-time.ts'

export interface LogHeader {
  /** Label to value, as written. */
  entries: Record<string, string>
  /** All its text, one line a row. */
  text: string
}

export interface StatedClock {
  clock: 'utc' | 'local' | null
  offset: string | null
}

const mostEntries = 100
const plainLabel = new RegExp(
  String.raw`^((?:vin|r\.?o\.?|w\.?o\.?|job|work order|repair order|order|claim|vehicle|fahrzeug|auftrag|unit|plate|odometer|mileage|` +
    `technician|tech|driver|device|logger|serial|s/n|date|started|start|utc offset|time ?zone|zone)` +
    String.raw`(?:\s*(?:no\.?|number|id|nr\.?|#))?)\s+(\S.*)$`,
  'i',
)

/** Reads label and value out of header rows: two or more cells, `label: value`, `label = value`, `VIN …  RO …`. */
export function readLogHeader(rows: readonly (readonly string[])[]): LogHeader {
  const entries: Record<string, string> = {}
  const put = (label: string, value: string) => {
    const key = label.replace(/^[#/\s]+|[\s:=]+$/g, '')
    if (key === '' || value === '' || key.length > 60 || value.length > 500) return
    if (Object.keys(entries).length < mostEntries && !Object.hasOwn(entries, key)) entries[key] = value
  }
  for (const row of rows) {
    const cells = row.filter((cell) => cell !== '')
    const [first = '', ...rest] = cells
    if (cells.length >= 2 && !/[:=]\s*\S/.test(first)) {
      const inPairs = cells.length % 2 === 0 && cells.every((cell, index) => index % 2 === 1 || /^[^\d]+$/.test(cell))
      if (inPairs) for (let at = 0; at < cells.length; at += 2) put(cells[at] ?? '', cells[at + 1] ?? '')
      else put(first, rest.join(' '))
      continue
    }
    for (const cell of cells) readLabels(cell, put)
  }
  return { entries, text: rows.map((row) => row.join(' ')).join('\n') }
}

function readLabels(line: string, put: (label: string, value: string) => void): void {
  for (const chunk of line.replace(/^[#/%\s]+/, '').split(/\s{2,}|\t|;|,\s+|\s\|\s/)) {
    const labelled =
      /^([\p{L}][\p{L}\p{N} ./#_-]{0,40}?)\s*(?:(?<!\d)[:=]|[:=](?=\s))\s*(\S.*)$/u.exec(chunk) ??
      plainLabel.exec(chunk)
    if (labelled) put(labelled[1] ?? '', labelled[2] ?? '')
  }
}

/** What a column head or a header text says of the clock: `Timestamp UTC`, `clock is local`, `utc offset -07:00`. */
export function statedClock(text: string): StatedClock {
  const spaced = text.replace(/_/g, ' ')
  const offset =
    /\b(?:utc|gmt)\b[\s(]*(?:offset)?\s*[:;=,]?\s*([-+−]\d{1,2}(?::?\d{2})?)(?![\d:])/i.exec(spaced) ??
    /\b(?:offset|time ?zone|zone)\b\s*[:;=,]?\s*(?:utc|gmt)?\s*([-+−]\d{1,2}(?::?\d{2})?)(?![\d:])/i.exec(spaced)
  const stated = offset ? readOffset(offset[1] ?? '') : null
  if (stated) return { clock: stated === '+00:00' ? 'utc' : 'local', offset: stated }
  if (
    /\b(?:clocks?|times?|timestamps?|zone|date ?time)\b[^.\n]{0,30}\b(?:utc|gmt|zulu)\b|\b(?:utc|gmt)[ -]?(?:time|clock|date)/i.test(
      spaced,
    )
  ) {
    return { clock: 'utc', offset: null }
  }
  return { clock: /\blocal\b/i.test(spaced) ? 'local' : null, offset: null }
}

/** What a column's head says of the clock; here `utc` alone is enough. */
export function clockOfHead(head: string): StatedClock {
  const stated = statedClock(head)
  if (stated.clock) return stated
  return /(?:^|[\s_(])(?:utc|gmt|zulu)(?:$|[\s_)])/i.test(head) ? { clock: 'utc', offset: null } : stated
}

/** Metres a second for one of the speed unit that a header states for the whole log (`speeds in km/h`), else null. */
export function statedSpeedScale(header: LogHeader): number | null {
  for (const line of header.text.split('\n')) {
    if (/\bspeeds?\b/i.test(line)) {
      const scale = speedScale(line.replace(/\bms\b/gi, ''))
      if (scale !== null) return scale
    }
  }
  return null
}

export interface StatedStart {
  /** Days since 1970-01-01. */
  day: number | null
  /** Seconds since midnight. */
  clock: number | null
  offset: string | null
}

/** The day, and where stated the time, that a header gives for the start of the log. */
export function statedStart(header: LogHeader, order: DateOrder | null): StatedStart {
  const start: StatedStart = { day: null, clock: null, offset: null }
  const labelled = Object.entries(header.entries).filter(([label]) =>
    /date|day|datum|fecha|start|begin|begun|record|created|time|beginn|logged/i.test(label),
  )
  labelled.sort(([a], [b]) => Number(/start|begin|begun/i.test(b)) - Number(/start|begin|begun/i.test(a)))
  for (const [label, value] of labelled) {
    if (/\b(end|stop|finish)/i.test(label)) continue
    const stamp = order === null && isNumericDate(value) ? null : readStamp(value, order ?? 'dmy')
    if (!stamp) continue
    if (start.day === null && stamp.day !== null) {
      start.day = stamp.day
      if (stamp.clock !== null) start.clock = stamp.clock
    } else if (start.clock === null && stamp.clock !== null) start.clock = stamp.clock
    start.offset ??= stamp.offset
  }
  if (start.day === null) start.day = onlyDay(header.text, order)
  return start
}

/** The day that a text names, if it names exactly one; days of a numeric date need a known order. */
export function onlyDay(text: string, order: DateOrder | null): number | null {
  const days = new Set<number>()
  for (const [candidate] of text.matchAll(
    /(?<![\d.])(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{4}|\d{1,2}[- ][A-Za-z]{3,9}[- ]\d{4}|(?:19|20)\d{6})(?!\d)/g,
  )) {
    if (order === null && isNumericDate(candidate)) continue
    const day = readStamp(candidate, order ?? 'dmy')?.day
    if (day !== null && day !== undefined) days.add(day)
  }
  const [day] = days
  return days.size === 1 && day !== undefined ? day : null
}

function isNumericDate(text: string): boolean {
  return /(?<!\d)\d{1,2}[-/]\d{1,2}[-/]\d{2,4}/.test(text)
}
