/**
 * Reads GPX 1.0 and 1.1: `trk/trkseg/trkpt@lat@lon` with `ele` (m), `time` (UTC), `sat`, `hdop`; `speed` (m/s) of 1.0, or of
 * an extension of 1.1. Element names from memory of the schemas at topografix.com/GPX/1/1 and /1/0.
 */
import type { Problem, Reading, TrackPoint } from '../facts/reading.ts'
import { gridPage, gridProblems, placeText, startGrid } from './character-grid.ts'
import { decodeText, wholeText } from './decode-text.ts'
import { headWords, speedScale } from './drive-columns.ts'
import { readLogHeader } from './log-header.ts'
import { readNumber } from './measured-number.ts'
import type { ReadingHint } from './read.ts'
import { offsetSeconds, readStamp, secondsOfDay } from './sample-time.ts'
import { parseXmlEvents } from './xml-events.ts'

const mostSpeed = 150
const mostLines = 500
/** Text that stands as it is; any other leaf outside the points is set as `label: value`. */
const proseElements = new Set(['name', 'desc', 'cmt', 'keywords', 'src'])
/** What they hold is about the file, not about the drive. */
const foreignElements = new Set(['link', 'copyright', 'email', 'url', 'urlname'])
const pointElements = new Set(['trkpt', 'rtept', 'wpt'])

interface GpxState {
  path: string[]
  text: string
  hasChild: boolean
  attributes: [string, string][]
  point: { latitude: string; longitude: string; values: Map<string, string>; speedScale: number } | null
  points: TrackPoint[]
  rejected: number
  badTimes: number
  zonelessTimes: number
  firstTime: string | null
  lastTime: string | null
  lines: { label: string | null; text: string }[]
}

/**
 * Reads all tracks and segments as one track in UTC, points in file order. Never throws. Problems: those of `decodeText`
 * and `parseXmlEvents`, `bad-time`, `time-without-zone`, `no-points`, `empty`.
 */
export function readGpx(bytes: Uint8Array, hint: ReadingHint): Reading {
  const { text, problems } = decodeText(bytes, wholeText)
  const reading: Reading = { media: hint.media, pages: [], problems }
  if (text.trim() === '') {
    if (problems.length === 0) problems.push({ code: 'empty', message: 'The file holds no text.' })
    return reading
  }
  const state = startState()
  problems.push(
    ...parseXmlEvents(text, {
      open: (name, attributes) => openElement(state, name, attributes),
      text: (run) => {
        if (state.text.length < 10_000) state.text += run
      },
      close: () => closeElement(state),
    }),
    ...timeProblems(state),
  )
  if (state.points.length > 0) {
    const header = readLogHeader(state.lines.map(({ label, text: line }) => (label ? [label, line] : [line])))
    reading.track = {
      clock: state.points.some((point) => point.time !== null) ? 'utc' : 'elapsed',
      offset: null,
      startedLocal: null,
      points: state.points,
      rejected: state.rejected,
      header: header.entries,
    }
  } else
    problems.push({ code: 'no-points', message: `The file holds no usable track point (${state.rejected} unusable).` })
  setPage(state, reading)
  return reading
}

function startState(): GpxState {
  return {
    path: [],
    text: '',
    hasChild: false,
    attributes: [],
    point: null,
    points: [],
    rejected: 0,
    badTimes: 0,
    zonelessTimes: 0,
    firstTime: null,
    lastTime: null,
    lines: [],
  }
}

function openElement(state: GpxState, name: string, attributes: [string, string][]): void {
  const attribute = (wanted: string) => attributes.find(([key]) => key === wanted)?.[1] ?? ''
  state.path.push(name)
  state.text = ''
  state.hasChild = false
  state.attributes = attributes
  if (name === 'trkpt') {
    state.point = { latitude: attribute('lat'), longitude: attribute('lon'), values: new Map(), speedScale: 1 }
  }
  if (name === 'gpx' && attribute('creator') !== '') state.lines.push({ label: 'creator', text: attribute('creator') })
}

function closeElement(state: GpxState): void {
  const name = state.path.at(-1) ?? ''
  const text = state.text.trim()
  const isLeaf = !state.hasChild
  if (name === 'trkpt' && state.point) {
    closePoint(state)
  } else if (state.point && isLeaf) takeValue(state, name, text)
  else if (isLeaf && text !== '') takeLine(state, name, text)
  state.path.pop()
  state.text = ''
  state.hasChild = true
}

/** Direct children of the point; speeds also from below `extensions`. */
function takeValue(state: GpxState, name: string, text: string): void {
  const { point, path } = state
  if (!point) return
  const words = headWords(name).split(' ')
  const inExtensions = path.includes('extensions')
  if (
    words.includes('speed') &&
    words.every((word) => !['max', 'min', 'avg', 'average', 'limit', 'accuracy'].includes(word))
  ) {
    const unit = state.attributes.find(([key]) => /^(units?|uom)$/i.test(key))?.[1] ?? ''
    if (!point.values.has('speed')) {
      point.values.set('speed', text)
      point.speedScale = speedScale(unit) ?? speedScale(name) ?? 1
    }
  } else if (!inExtensions && path.at(-2) === 'trkpt') point.values.set(name, text)
}

function closePoint(state: GpxState): void {
  const { point } = state
  state.point = null
  if (!point) return
  const latitude = readNumber(point.latitude, false)
  const longitude = readNumber(point.longitude, false)
  if (latitude === null || longitude === null || Math.abs(latitude) > 90 || Math.abs(longitude) > 180) {
    state.rejected++
    return
  }
  const read: TrackPoint = { time: readTime(state, point.values.get('time') ?? ''), latitude, longitude }
  const number = (name: string) => readNumber(point.values.get(name) ?? '', false)
  const [elevation, speed, satellites, hdop] = [number('ele'), number('speed'), number('sat'), number('hdop')]
  if (elevation !== null) read.elevationMetres = elevation
  if (speed !== null && speed >= 0 && speed * point.speedScale <= mostSpeed) read.speed = speed * point.speedScale
  if (satellites !== null) read.satellites = satellites
  if (hdop !== null) read.hdop = hdop
  state.points.push(read)
}

/** XML Schema dateTime; the schema of GPX says that all times are UTC, also those that carry no zone. */
function readTime(state: GpxState, text: string): number | null {
  if (text === '') return null
  const stamp = readStamp(text, 'dmy')
  if (!stamp || stamp.day === null || stamp.clock === null) {
    state.badTimes++
    return null
  }
  if (stamp.offset === null) state.zonelessTimes++
  state.firstTime ??= text
  state.lastTime = text
  return stamp.day * secondsOfDay + stamp.clock - (stamp.offset === null ? 0 : offsetSeconds(stamp.offset))
}

function timeProblems({ badTimes, zonelessTimes }: GpxState): Problem[] {
  const problems: Problem[] = []
  if (badTimes > 0)
    problems.push({ code: 'bad-time', message: `The times of ${badTimes} points make no sense and were left out.` })
  if (zonelessTimes > 0) {
    problems.push({
      code: 'time-without-zone',
      message: `The times of ${zonelessTimes} points carry no zone; they were taken as UTC, as GPX prescribes.`,
    })
  }
  return problems
}

function takeLine(state: GpxState, name: string, text: string): void {
  if (state.lines.length >= mostLines || state.path.some((element) => foreignElements.has(element))) return
  if (state.path.some((element) => pointElements.has(element)) && !proseElements.has(name)) return
  for (const line of text.split(/\r\n|\n|\r/)) {
    if (line.trim() === '' || state.lines.some((known) => known.text === line.trim() && known.label === null)) continue
    state.lines.push({ label: proseElements.has(name) ? null : headWords(name), text: line.trim() })
  }
}

function setPage(state: GpxState, reading: Reading): void {
  const grid = startGrid()
  const lines = [...state.lines]
  if (state.firstTime) lines.push({ label: 'first point', text: state.firstTime })
  if (state.lastTime) lines.push({ label: 'last point', text: state.lastTime })
  lines.forEach(({ label, text }, row) => {
    const start = label ? placeText(grid, row, 0, `${label}:`) + 2 : 0
    placeText(grid, row, start, text)
  })
  reading.pages.push(gridPage(grid))
  reading.problems.push(...gridProblems(grid))
}
