/** The time of each sample of a drive log, from its time columns and its header. */
import type { Problem, Track } from '../facts/reading.ts'
import type { DriveColumn } from './drive-columns.ts'
import { clockOfHead, type LogHeader, type StatedStart, statedClock, statedStart } from './log-header.ts'
import { readNumber } from './measured-number.ts'
import {
  type DateOrder,
  dateOrderOf,
  localText,
  offsetSeconds,
  readCompactClock,
  readElapsed,
  readStamp,
  secondsOfDay,
} from './sample-time.ts'

export interface SampleTimes {
  clock: Track['clock']
  offset: string | null
  startedLocal: string | null
  /** One entry a row: seconds, null where the cell is empty, NaN where it holds no time. */
  seconds: (number | null)[]
  problems: Problem[]
}

export interface TimeSource {
  rows: readonly (readonly string[])[]
  columns: readonly DriveColumn[]
  header: LogHeader
  decimalComma: boolean
}

type Form = 'stamp' | 'epoch' | 'day' | 'clock' | 'elapsed'

interface TimeColumn {
  column: DriveColumn
  form: Form
  /** Seconds of a row's cell in the column's own form; null if it is none. */
  read: (cell: string) => { day: number | null; seconds: number | null; offset: string | null } | null
}

const elapsedWords = new Set(['elapsed', 'runtime', 'since', 'duration', 'relative', 'rel', 't'])
const elapsedScales: readonly (readonly [string, number])[] = [
  ...['ms', 'msec', 'millis', 'milliseconds'].map((word) => [word, 0.001] as const),
  ...['us', 'µs', 'microseconds'].map((word) => [word, 1e-6] as const),
  ...['s', 'sec', 'secs', 'second', 'seconds'].map((word) => [word, 1] as const),
  ...['min', 'mins', 'minute', 'minutes'].map((word) => [word, 60] as const),
]

/** Reads the times of all rows, or null where no column holds times. Problems: see the messages. */
export function readSampleTimes(source: TimeSource): SampleTimes | null {
  const { rows, columns, header } = source
  const timeColumns = columns.filter((column) => column.role === 'time')
  const cells = timeColumns.flatMap((column) => rows.map((row) => row[column.index] ?? ''))
  const order = dateOrderOf([...cells, ...header.text.split('\n')])
  const found = timeColumns
    .map((column) => timeColumnOf(column, rows, order ?? 'dmy', source.decimalComma))
    .filter((column) => column !== null)
  const of = (form: Form) => found.find((column) => column.form === form)
  const start = statedStart(header, order)
  const [stamp, epoch, day, clock, elapsed] = [of('stamp'), of('epoch'), of('day'), of('clock'), of('elapsed')]
  if (stamp && epoch && !clockOfHead(stamp.column.head).clock) return readEpoch(epoch, rows)
  if (stamp) return readStamps(stamp, rows, header, order)
  if (epoch) return readEpoch(epoch, rows)
  if (day && clock) return readDayAndClock(day, clock, rows, header, order)
  if (clock && start.day !== null) return readClock(clock, rows, header, start.day)
  if (clock) {
    const times = readClock(clock, rows, header, 0)
    return sinceFirst(times, { code: 'no-date', message: 'The log states times of day but no date.' })
  }
  return elapsed ? readElapsedTimes(elapsed, rows, header, start) : null
}

function timeColumnOf(
  column: DriveColumn,
  rows: TimeSource['rows'],
  order: DateOrder,
  decimalComma: boolean,
): TimeColumn | null {
  const sample: string[] = []
  for (const row of rows) {
    const cell = row[column.index] ?? ''
    if (cell !== '' && sample.push(cell) >= 200) break
  }
  const most = (read: (cell: string) => unknown) =>
    sample.length > 0 && sample.filter((cell) => (read(cell) ?? null) !== null).length >= sample.length * 0.7
  const words = new Set(column.words)
  const saysElapsed = column.words.some((word) => elapsedWords.has(word))
  const compact = (cell: string) => readCompactClock(cell)
  if (
    most(compact) &&
    !saysElapsed &&
    ['utc', 'gmt', 'time', 'clock', 'hhmmss', 'uhrzeit'].some((word) => words.has(word))
  ) {
    return { column, form: 'clock', read: (cell) => ofClock(compact(cell)) }
  }
  const number = (cell: string) => readNumber(cell, decimalComma)
  if (most(number)) return numericColumn(column, sample, number)
  const elapsedReader = (cell: string) => readElapsed(cell)
  if (most(elapsedReader) && (saysElapsed || startsAtZero(sample, column))) {
    return { column, form: 'elapsed', read: (cell) => ofClock(elapsedReader(cell)) }
  }
  const stampOf = (cell: string) => readStamp(cell, order)
  const form = most((cell) => stampOf(cell)?.day)
    ? most((cell) => stampOf(cell)?.clock)
      ? 'stamp'
      : 'day'
    : most((cell) => stampOf(cell)?.clock)
      ? 'clock'
      : null
  if (!form) return null
  return {
    column,
    form,
    read: (cell) => {
      const read = stampOf(cell)
      if (!read || (form !== 'clock' && read.day === null) || (form !== 'day' && read.clock === null)) return null
      return { day: read.day, seconds: read.clock, offset: read.offset }
    },
  }
}

function ofClock(seconds: number | null) {
  return seconds === null ? null : { day: null, seconds, offset: null }
}

/** `00:00`, `00:00:00`: a log that begins at zero on a column that names neither clock nor zone counts from its start. */
function startsAtZero(sample: readonly string[], column: DriveColumn): boolean {
  const first = readElapsed(sample[0] ?? '')
  if (first === null || first > 1) return false
  return !column.words.some((word) => ['utc', 'gmt', 'clock', 'local', 'uhrzeit', 'gps'].includes(word))
}

function numericColumn(
  column: DriveColumn,
  sample: readonly string[],
  number: (cell: string) => number | null,
): TimeColumn | null {
  const first = sample.map(number).find((value) => value !== null) ?? 0
  const epochScale =
    first >= 3e8 && first < 5e9 ? 1 : first >= 3e11 && first < 5e12 ? 1e-3 : first >= 3e14 && first < 5e15 ? 1e-6 : null
  const stated = elapsedScales.find(([word]) => column.words.includes(word))?.[1] ?? null
  const read = (scale: number) => (cell: string) => {
    const value = number(cell)
    return value === null ? null : ofClock(value * scale)
  }
  const stampDigits = sample.every((cell) => /^(19|20)\d{6}$/.test(cell))
  if (stampDigits) return { column, form: 'day', read: (cell) => dayOfDigits(cell) }
  if (epochScale !== null) return { column, form: 'epoch', read: read(epochScale) }
  const scale = stated ?? (column.words.some((word) => elapsedWords.has(word) && word !== 't') ? 1 : null)
  return scale === null ? null : { column, form: 'elapsed', read: read(scale) }
}

function dayOfDigits(cell: string) {
  const day = readStamp(cell, 'dmy')?.day ?? null
  return day === null ? null : { day, seconds: null, offset: null }
}

function readEpoch(epoch: TimeColumn, rows: TimeSource['rows']): SampleTimes {
  return { clock: 'utc', offset: null, startedLocal: null, seconds: secondsOf(epoch, rows), problems: [] }
}

function secondsOf(column: TimeColumn, rows: TimeSource['rows']): (number | null)[] {
  return rows.map((row) => {
    const cell = row[column.column.index] ?? ''
    return cell === '' ? null : (column.read(cell)?.seconds ?? Number.NaN)
  })
}

function readStamps(
  stamp: TimeColumn,
  rows: TimeSource['rows'],
  header: LogHeader,
  order: DateOrder | null,
): SampleTimes {
  const read = rows.map((row) => {
    const cell = row[stamp.column.index] ?? ''
    return cell === '' ? null : (stamp.read(cell) ?? Number.NaN)
  })
  const values = read.filter((one) => one !== null && typeof one === 'object')
  const offsets = new Set(values.map((one) => one.offset))
  const [only] = offsets
  const zoned = offsets.size > 0 && !offsets.has(null)
  const toUtc = zoned && (offsets.size > 1 || only === '+00:00')
  const seconds = read.map((one) => {
    if (one === null || typeof one === 'number') return one
    const local = (one.day ?? 0) * secondsOfDay + (one.seconds ?? 0)
    return toUtc && one.offset ? local - offsetSeconds(one.offset) : local
  })
  const times: SampleTimes = { ...clockFor(stamp, header), startedLocal: null, seconds, problems: [] }
  if (toUtc) Object.assign(times, { clock: 'utc', offset: null })
  else if (zoned && only) Object.assign(times, { clock: 'local', offset: only })
  return order === null && /^\d{1,2}[-/]/.test(cellsOf(stamp, rows)) ? sinceFirst(times, ambiguousDate) : times
}

const ambiguousDate: Problem = {
  code: 'ambiguous-date',
  message: 'Day and month of the dates cannot be told apart; only the time since the first sample was read.',
}

function cellsOf(column: TimeColumn, rows: TimeSource['rows']): string {
  return rows.map((row) => row[column.column.index] ?? '').find((cell) => cell !== '') ?? ''
}

function readDayAndClock(
  day: TimeColumn,
  clock: TimeColumn,
  rows: TimeSource['rows'],
  header: LogHeader,
  order: DateOrder | null,
): SampleTimes {
  const seconds = rows.map((row) => {
    const [dayCell, clockCell] = [row[day.column.index] ?? '', row[clock.column.index] ?? '']
    if (dayCell === '' || clockCell === '') return null
    const [date, time] = [day.read(dayCell)?.day, clock.read(clockCell)?.seconds]
    return typeof date === 'number' && typeof time === 'number' ? date * secondsOfDay + time : Number.NaN
  })
  const stated = clockOfHead(day.column.head).clock ? clockFor(day, header) : clockFor(clock, header)
  const zone = clock.read(cellsOf(clock, rows))?.offset
  const named = zone ? { clock: zone === '+00:00' ? ('utc' as const) : ('local' as const), offset: zone } : stated
  const times: SampleTimes = {
    ...named,
    offset: named.clock === 'utc' ? null : named.offset,
    startedLocal: null,
    seconds,
    problems: [],
  }
  return order === null && /^\d{1,2}[-/]/.test(cellsOf(day, rows)) ? sinceFirst(times, ambiguousDate) : times
}

/** Times of day after one date; a fall of more than half a day is midnight. */
function readClock(clock: TimeColumn, rows: TimeSource['rows'], header: LogHeader, firstDay: number): SampleTimes {
  const seconds = unrollMidnight(secondsOf(clock, rows), firstDay)
  const zone = clock.read(cellsOf(clock, rows))?.offset
  const named = zone
    ? { clock: zone === '+00:00' ? ('utc' as const) : ('local' as const), offset: zone }
    : clockFor(clock, header)
  return { ...named, offset: named.clock === 'utc' ? null : named.offset, startedLocal: null, seconds, problems: [] }
}

/** Adds a day wherever the time of day falls by more than half a day. */
export function unrollMidnight(clock: readonly (number | null)[], firstDay: number): (number | null)[] {
  let day = firstDay
  let last: number | null = null
  return clock.map((time) => {
    if (time === null || Number.isNaN(time)) return time
    if (last !== null && last - time > secondsOfDay / 2) day++
    else if (last !== null && time - last > secondsOfDay / 2) day--
    last = time
    return day * secondsOfDay + time
  })
}

function clockFor(column: TimeColumn, header: LogHeader): { clock: 'utc' | 'local'; offset: string | null } {
  const head = clockOfHead(column.column.head)
  const said = statedClock(header.text)
  if (head.clock === 'utc') return { clock: 'utc', offset: null }
  if (head.offset) return { clock: 'local', offset: head.offset }
  if (head.clock === 'local') return { clock: 'local', offset: said.offset === '+00:00' ? null : said.offset }
  return said.clock === 'utc' ? { clock: 'utc', offset: null } : { clock: 'local', offset: said.offset }
}

function readElapsedTimes(
  elapsed: TimeColumn,
  rows: TimeSource['rows'],
  header: LogHeader,
  start: StatedStart,
): SampleTimes {
  const seconds = secondsOf(elapsed, rows)
  const said = statedClock(header.text)
  const offset = start.offset ?? said.offset
  if (start.day === null || start.clock === null) {
    return { clock: 'elapsed', offset: null, startedLocal: null, seconds, problems: [] }
  }
  const began = start.day * secondsOfDay + start.clock
  if (offset === '+00:00' || (offset === null && said.clock === 'utc')) {
    const times = seconds.map((one) => (one === null ? null : one + began))
    return { clock: 'utc', offset: null, startedLocal: null, seconds: times, problems: [] }
  }
  return { clock: 'elapsed', offset, startedLocal: localText(began), seconds, problems: [] }
}

function sinceFirst(times: SampleTimes, problem: Problem): SampleTimes {
  const first = times.seconds.find((one) => one !== null && !Number.isNaN(one)) ?? 0
  return {
    clock: 'elapsed',
    offset: null,
    startedLocal: null,
    seconds: times.seconds.map((one) => (one === null ? null : one - first)),
    problems: [...times.problems, problem],
  }
}
