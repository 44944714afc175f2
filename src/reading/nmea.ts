/**
 * Reads logs of NMEA 0183 sentences of any talker.
 *
 * `$TTSSS,field,…*hh` CR LF: talker TT, sentence SSS, checksum hh = XOR of the characters between `$` and `*`.
 * RMC: time, status A or V, latitude, N/S, longitude, E/W, knots, course, ddmmyy. GGA: time, latitude, N/S, longitude, E/W,
 * quality (0 none), satellites, HDOP, altitude, M. GLL: latitude, N/S, longitude, E/W, time, status. VTG: course, T, course,
 * M, knots, N, km/h, K. ZDA: time, day, month, year. Field order from memory; the standard is not public.
 */
import type { Problem, Reading, Track, TrackPoint } from '../facts/reading.ts'
import { gridPage, gridProblems, placeText, startGrid } from './character-grid.ts'
import { decodeText, splitLines } from './decode-text.ts'
import { readLogHeader } from './log-header.ts'
import { readDegreesMinutes, readNumber } from './measured-number.ts'
import type { ReadingHint } from './read.ts'
import { dayNumber, fullYear, readCompactClock, secondsOfDay } from './sample-time.ts'

const knot = 1852 / 3600
const mostSpeed = 150
/** Sentences set on the page at either end of the log, to point at. */
const sentencesShown = 4
const longestLine = 400

/** True where a text is a log of position sentences and not one that merely quotes some. */
export function holdsPositionSentences(text: string): boolean {
  const lines = text
    .slice(0, 20_000)
    .split(/\r\n|\n|\r/)
    .filter((line) => line.trim() !== '')
  const sentences = lines.filter((line) => /\$[A-Z]{2}(?:RMC|GGA|GLL|VTG|ZDA|GSA|GSV|GNS),/.test(line)).length
  return sentences >= 2 && sentences * 2 >= lines.length
}

/**
 * Reads a log of NMEA 0183 sentences as a track in UTC. Sentences of one epoch make one point; void ones and those with a
 * bad checksum count as rejected. Never throws. Problems: those of `decodeText`, `no-date`, `bad-checksum`,
 * `no-checksum`, `no-fix`, `empty`.
 */
export function readNmea(bytes: Uint8Array, hint: ReadingHint): Reading {
  const { text, problems } = decodeText(bytes)
  const lines = splitLines(text)
  const log = startLog(lines.some(endsInChecksum))
  lines.forEach((line, index) => {
    takeLine(log, line, index)
  })
  closeEpoch(log)
  const track = trackOf(log, problems)
  const grid = startGrid()
  const shown = [...log.sentenceLines.slice(0, sentencesShown), ...log.sentenceLines.slice(-sentencesShown)]
  const printed = new Set([...log.headerLines, ...shown])
  let row = 0
  for (const [index, line] of lines.entries()) {
    if (printed.has(index)) placeText(grid, row++, 0, line.replace(/^\s*(?:#|\/\/)+/, ''))
  }
  problems.push(...gridProblems(grid))
  if (text.trim() === '' && problems.length === 0) problems.push({ code: 'empty', message: 'The file holds no text.' })
  const reading: Reading = { media: hint.media, pages: text.trim() === '' ? [] : [gridPage(grid)], problems }
  if (track.points.length > 0) {
    track.header = readLogHeader(log.headerLines.map((index) => [lines[index] ?? ''])).entries
    reading.track = track
  } else if (text.trim() !== '')
    problems.push({ code: 'no-fix', message: 'No sentence of the log holds a position or speed.' })
  return reading
}

interface Epoch {
  clock: number | null
  day: number | null
  values: Omit<TrackPoint, 'time'>
  void: number
}

interface Log {
  epochs: Epoch[]
  open: Epoch
  rejected: number
  badChecksums: number
  withoutChecksum: number
  /** A log whose logger writes checksums has lost something where one is missing. */
  checksumDue: boolean
  headerLines: number[]
  sentenceLines: number[]
}

function startLog(checksumDue: boolean): Log {
  return {
    epochs: [],
    open: emptyEpoch(),
    rejected: 0,
    badChecksums: 0,
    withoutChecksum: 0,
    checksumDue,
    headerLines: [],
    sentenceLines: [],
  }
}

function emptyEpoch(): Epoch {
  return { clock: null, day: null, values: {}, void: 0 }
}

function takeLine(log: Log, line: string, index: number): void {
  if (line.trim() === '') return
  // A sentence has 82 characters at most; a logger may put its own stamp before it.
  const sentence = line.length > longestLine ? null : /[$!]([A-Z][A-Z0-9]{2,}),([^$!]*)$/.exec(line.trimEnd())
  if (!sentence) {
    if (/^\s*[$!]/.test(line)) log.rejected++
    else if (log.headerLines.length < 200) log.headerLines.push(index)
    return
  }
  const [body, checksum] = `${sentence[1]},${sentence[2]}`.split('*', 2)
  if (body === undefined) return
  if (checksum === undefined) {
    log.withoutChecksum++
    if (log.checksumDue) {
      log.rejected++
      return
    }
  } else if (checksum.toUpperCase() !== checksumOf(body)) {
    log.badChecksums++
    log.rejected++
    return
  }
  log.sentenceLines.push(index)
  const fields = body.split(',')
  const reader = readers[(fields[0] ?? '').slice(-3)]
  if (reader && (fields[0] ?? '').length === 5 && !reader(log, fields.slice(1))) log.rejected++
}

function endsInChecksum(line: string): boolean {
  return line.includes('$') && /^\*[0-9A-F]{2}$/i.test(line.trimEnd().slice(-3))
}

/** Two upper-case hexadecimal digits: XOR of the characters between `$` and `*`. */
export function checksumOf(body: string): string {
  let sum = 0
  for (let at = 0; at < body.length; at++) sum ^= body.charCodeAt(at)
  return (sum & 0xff).toString(16).toUpperCase().padStart(2, '0')
}

/** A reader takes a sentence's fields into the open epoch; false where they cannot be used. */
type SentenceReader = (log: Log, fields: string[]) => boolean

const readers: Record<string, SentenceReader | undefined> = {
  RMC: (log, fields) => {
    const [time = '', status, latitude, north, longitude, east, knots, , date = ''] = fields
    if (!openEpoch(log, time)) return false
    const day = dayOfDigits(date)
    if (day !== null) log.open.day = day
    if (status !== 'A') return markVoid(log)
    return takePosition(log, latitude, north, longitude, east) && takeSpeed(log, knots, knot, true)
  },
  GGA: (log, fields) => {
    const [time = '', latitude, north, longitude, east, quality, satellites, hdop, altitude, unit] = fields
    if (!openEpoch(log, time)) return false
    if (quality === '0' || quality === '' || quality === undefined) return markVoid(log)
    if (!takePosition(log, latitude, north, longitude, east)) return false
    const values = log.open.values
    const [count, dilution, height] = [satellites, hdop, altitude].map((field) => readNumber(field ?? '', false))
    if (typeof count === 'number') values.satellites ??= count
    if (typeof dilution === 'number') values.hdop ??= dilution
    if (typeof height === 'number' && unit === 'M') values.elevationMetres ??= height
    return true
  },
  GLL: (log, fields) => {
    const [latitude, north, longitude, east, time = '', status] = fields
    if (!openEpoch(log, time)) return false
    return status === 'V' ? markVoid(log) : takePosition(log, latitude, north, longitude, east)
  },
  VTG: (log, fields) => {
    const [, , , , knots, , kilometres] = fields
    return takeSpeed(log, kilometres, 1 / 3.6, false) && takeSpeed(log, knots, knot, false)
  },
  ZDA: (log, fields) => {
    const [time = '', date, month, year] = fields
    if (!openEpoch(log, time)) return false
    const day = /^\d{4}$/.test(year ?? '') ? dayNumber(Number(year), Number(month), Number(date)) : null
    if (day !== null) log.open.day = day
    return true
  },
}

/** Sentences with the time of the open epoch belong to it, another time opens the next one. */
function openEpoch(log: Log, time: string): boolean {
  const clock = readCompactClock(time)
  if (clock === null) return time === ''
  if (log.open.clock !== null && log.open.clock !== clock) closeEpoch(log)
  log.open.clock = clock
  return true
}

function closeEpoch(log: Log): void {
  if (log.open.clock !== null || log.open.values.latitude !== undefined) log.epochs.push(log.open)
  log.open = emptyEpoch()
}

function markVoid(log: Log): boolean {
  log.open.void++
  return false
}

function takePosition(log: Log, latitude = '', north = '', longitude = '', east = ''): boolean {
  const [degreesNorth, degreesEast] = [
    readDegreesMinutes(latitude, north, 90),
    readDegreesMinutes(longitude, east, 180),
  ]
  if (degreesNorth === null || degreesEast === null) return false
  log.open.values.latitude ??= degreesNorth
  log.open.values.longitude ??= degreesEast
  return true
}

function takeSpeed(log: Log, field: string | undefined, scale: number, replaces: boolean): boolean {
  if (field === undefined || field === '') return true
  const value = readNumber(field, false)
  if (value === null || value < 0 || value * scale > mostSpeed) return false
  if (replaces || log.open.values.speed === undefined) log.open.values.speed = value * scale
  return true
}

function dayOfDigits(text: string): number | null {
  const found = /^(\d\d)(\d\d)(\d\d)$/.exec(text)
  return found ? dayNumber(fullYear(Number(found[3])), Number(found[2]), Number(found[1])) : null
}

function trackOf(log: Log, problems: Problem[]): Track {
  const datedDays = daysOf(log.epochs)
  const dated = datedDays !== null
  const days = datedDays ?? undatedDays(log.epochs)
  const points: TrackPoint[] = []
  let first: number | null = null
  log.epochs.forEach(({ clock, values }, index) => {
    if (values.latitude === undefined && values.speed === undefined) return
    const day = days[index] ?? 0
    let time = clock === null ? null : day * secondsOfDay + clock
    if (time !== null && !dated) {
      first ??= time
      time -= first
    }
    points.push({ time, ...values })
  })
  const told = (code: string, message: string) => problems.push({ code, message })
  if (!dated && points.length > 0) told('no-date', 'No sentence of the log states a date.')
  if (log.badChecksums > 0)
    told('bad-checksum', `${log.badChecksums} sentences have a wrong checksum and were left out.`)
  if (log.withoutChecksum > 0)
    told(
      'no-checksum',
      `${log.withoutChecksum} sentences carry no checksum${log.checksumDue ? ' and were left out' : ''}.`,
    )
  return {
    clock: dated ? 'utc' : 'elapsed',
    offset: null,
    startedLocal: null,
    points,
    rejected: log.rejected,
    header: {},
  }
}

/** A day for every epoch: as stated, else carried on from the one before (midnight adds one), else back from the first stated. */
function daysOf(epochs: readonly Epoch[]): number[] | null {
  const anchor = epochs.findIndex((epoch) => epoch.day !== null)
  if (anchor === -1) return null
  const days: number[] = []
  for (let at = anchor; at < epochs.length; at++) {
    days[at] = epochs[at]?.day ?? (days[at - 1] ?? 0) + daysBetween(epochs[at - 1], epochs[at])
  }
  for (let at = anchor - 1; at >= 0; at--) days[at] = (days[at + 1] ?? 0) - daysBetween(epochs[at], epochs[at + 1])
  return days
}

function undatedDays(epochs: readonly Epoch[]): number[] {
  const days = [0]
  for (let at = 1; at < epochs.length; at++) days[at] = (days[at - 1] ?? 0) + daysBetween(epochs[at - 1], epochs[at])
  return days
}

function daysBetween(before: Epoch | undefined, after: Epoch | undefined): number {
  if (before?.clock === null || after?.clock === null || !before || !after) return 0
  return (before.clock ?? 0) - (after.clock ?? 0) > secondsOfDay / 2 ? 1 : 0
}
