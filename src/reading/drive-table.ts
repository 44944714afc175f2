/** Decides whether rows of cells are a drive log and reads it as a track. Knows nothing of the format the rows came in. */
import type { Problem, Track, TrackPoint } from '../facts/reading.ts'
import { type DriveColumn, driveColumns, speedScale } from './drive-columns.ts'
import { readSampleTimes } from './drive-times.ts'
import { readLogHeader, statedSpeedScale } from './log-header.ts'
import { readCoordinate, readDegreesMinutes, readNumber } from './measured-number.ts'

export interface DriveTable {
  track: Track
  problems: Problem[]
  /** Indices into the rows: the header, and the first and the last row of samples. */
  headerRow: number
  firstRow: number
  lastRow: number
}

export interface DriveTableHint {
  /** Cells may hold decimal commas: the fields are not parted by commas. */
  decimalComma: boolean
}

const headerSearch = 120
/** 540 km/h: beyond it a road vehicle's speed is a fault or another unit. */
const mostSpeed = 150

type Rows = readonly (readonly string[])[]

/**
 * The drive log that `rows` are, or null: a header row with a column of time and either a position or a speed, over
 * samples of which at least half can be read.
 */
export function readDriveTable(rows: Rows, hint: DriveTableHint): DriveTable | null {
  for (let at = 0; at < Math.min(rows.length - 2, headerSearch); at++) {
    const heads = headsOf(rows[at] ?? [])
    if (heads.length < 2) continue
    const columns = driveColumns(heads)
    if (!isDriveHeader(columns)) continue
    const units = unitsRow(rows[at + 1] ?? [], columns)
    const firstRow = at + (units ? 2 : 1)
    const table = readSamples(rows, at, firstRow, units ?? columns, hint)
    if (table) return table
  }
  return null
}

/** Whether one of the first rows is the header of a drive log: worth splitting all lines for. */
export function hasDriveHeader(rows: Rows): boolean {
  return rows.slice(0, headerSearch).some((row) => isDriveHeader(driveColumns(headsOf(row))))
}

function headsOf(row: readonly string[]): readonly string[] {
  // `# time, lat, lon`: a header that the logger wrote as a comment is one cell by now.
  const [only] = row
  if (row.length === 1 && only?.startsWith('#')) return only.replace(/^#+\s*/, '').split(/[,;|\t]\s*/)
  return row
}

function isDriveHeader(columns: readonly DriveColumn[]): boolean {
  const has = (role: DriveColumn['role']) => columns.some((column) => column.role === role)
  const located = (has('latitude') && has('longitude')) || has('position')
  return has('time') && (located || has('speed') || has('satellite-speed') || has('wheel-speed'))
}

/** A row of units beneath the header: no cell of a drive column holds a digit, and one at least names a unit. */
function unitsRow(row: readonly string[], columns: readonly DriveColumn[]): DriveColumn[] | null {
  const cells = columns.map((column) => row[column.index] ?? '')
  if (cells.some((cell) => /\d/.test(cell) && !/^\W*m\/s\W*$|m ?s-1/.test(cell))) return null
  const isUnit = (cell: string) =>
    speedScale(cell) !== null || /^[[(]?(s|ms|sec|deg|°|m|ft|hh:mm:ss.*|-)[\])]?$/i.test(cell)
  if (!cells.some((cell) => cell !== '' && isUnit(cell))) return null
  const heads: string[] = []
  columns.forEach((column, index) => {
    heads[column.index] = `${column.head} (${(cells[index] ?? '').replace(/[[\]()]/g, '')})`
  })
  return driveColumns(Array.from(heads, (head) => head ?? ''))
}

function readSamples(
  rows: Rows,
  headerRow: number,
  firstRow: number,
  columns: readonly DriveColumn[],
  hint: DriveTableHint,
): DriveTable | null {
  let end = rows.length
  while (end > firstRow && !looksLikeSample(rows[end - 1] ?? [], columns)) end--
  const samples = rows.slice(firstRow, end)
  if (samples.length < 2) return null
  const decimalComma = hint.decimalComma && usesDecimalComma(samples)
  const header = readLogHeader([...rows.slice(0, headerRow), ...rows.slice(end)].filter((row) => row.length > 0))
  const times = readSampleTimes({ rows: samples, columns, header, decimalComma })
  const problems: Problem[] = [...(times?.problems ?? [])]
  if (!times)
    problems.push({ code: 'no-time', message: 'The unit or form of the times is not stated; they were left out.' })
  const reader = pointReader(columns, statedSpeedScale(header), decimalComma, problems)
  const points: TrackPoint[] = []
  let rejected = 0
  let usable = 0
  samples.forEach((row, index) => {
    if (row.length === 0 || (row.length === 1 && /^[#/]/.test(row[0] ?? ''))) return
    usable++
    const time = times ? (times.seconds[index] ?? null) : null
    const values = reader(row)
    if (values === 'empty' && time !== null && !Number.isNaN(time)) return
    if (typeof values === 'string' || Number.isNaN(time)) rejected++
    else points.push({ time, ...values })
  })
  if (points.length < 2 || points.length < usable * 0.5) return null
  if (!times && !points.some((point) => point.latitude !== undefined)) return null
  const track: Track = {
    clock: times?.clock ?? 'elapsed',
    offset: times?.offset ?? null,
    startedLocal: times?.startedLocal ?? null,
    points,
    rejected,
    header: header.entries,
  }
  return { track, problems, headerRow, firstRow, lastRow: end - 1 }
}

/** Rows after the samples (`Total;955`, `# end`) leave most drive columns empty, or begin with a label and end early. */
function looksLikeSample(row: readonly string[], columns: readonly DriveColumn[]): boolean {
  const filled = columns.filter((column) => /\d/.test(row[column.index] ?? '')).length
  const width = Math.max(...columns.map((column) => column.index)) + 1
  const labelled = !/\d/.test(row[0] ?? '') && row.length <= 2
  return filled * 2 >= columns.length && !(row.length <= 2 && columns.length > 2) && !(labelled && row.length <= width)
}

/** Where any number has a decimal point, commas are not decimal: a file does not mix both. */
function usesDecimalComma(samples: Rows): boolean {
  let commas = 0
  for (const row of samples.slice(0, 500)) {
    for (const cell of row) {
      if (/^[-+]?\d+\.\d+$/.test(cell)) return false
      if (/^[-+]?\d+,\d+$/.test(cell)) commas++
    }
  }
  return commas > 0
}

type PointValues = Omit<TrackPoint, 'time'>

/** Reads the values of one row: `empty` where all its cells are, `unusable` where one that matters makes no sense. */
function pointReader(
  columns: readonly DriveColumn[],
  statedScale: number | null,
  decimalComma: boolean,
  problems: Problem[],
): (row: readonly string[]) => PointValues | 'empty' | 'unusable' {
  const of = (role: DriveColumn['role']) => columns.filter((column) => column.role === role)
  const withUnit = (column: DriveColumn) => ({ ...column, scale: column.scale ?? statedScale })
  const satellite = of('satellite-speed').slice(0, 1).map(withUnit)
  const bus = of('speed').slice(0, 1).map(withUnit)
  const wheels = of('wheel-speed').map(withUnit)
  const [main = [], second = []] = [satellite, bus, wheels].filter((group) => group.length > 0)
  const unitless = new Set<string>()
  const [elevation] = of('elevation')
  const [satellites] = of('satellites')
  const [hdop] = of('hdop')
  let told = false
  let unitMissing = false
  const speedOf = (group: readonly DriveColumn[], row: readonly string[]): number | null | undefined => {
    const values: number[] = []
    for (const column of group) {
      const cell = row[column.index] ?? ''
      if (isBlank(cell)) continue
      const value = readSpeed(cell, column.scale, decimalComma)
      if (value === 'no-unit') {
        unitless.add(column.head)
        unitMissing = true
        continue
      }
      if (value === null) return null
      values.push(value)
    }
    return values.length === 0 ? undefined : values.reduce((sum, value) => sum + value, 0) / values.length
  }
  return (row) => {
    unitMissing = false
    const position = readPosition(row, columns, decimalComma)
    const speed = speedOf(main, row)
    const wheelSpeed = speedOf(second, row)
    if (unitless.size > 0 && !told) {
      told = true
      problems.push({
        code: 'speed-without-unit',
        message: `No unit is stated for ${[...unitless].map((head) => `"${head}"`).join(', ')}: these speeds were left out.`,
      })
    }
    if (position === 'unusable' || speed === null) return 'unusable'
    if (position === undefined && speed === undefined && typeof wheelSpeed !== 'number' && !unitMissing) {
      return isUnlocated(row, columns) ? 'unusable' : 'empty'
    }
    const values: PointValues = { ...position }
    if (speed !== undefined) values.speed = speed
    if (typeof wheelSpeed === 'number') values.wheelSpeed = wheelSpeed
    const height = elevation && elevation.scale !== null ? readNumber(row[elevation.index] ?? '', decimalComma) : null
    if (height !== null && elevation?.scale) values.elevationMetres = height * elevation.scale
    const count = satellites ? readNumber(row[satellites.index] ?? '', decimalComma) : null
    if (count !== null && count >= 0) values.satellites = count
    const dilution = hdop ? readNumber(row[hdop.index] ?? '', decimalComma) : null
    if (dilution !== null && dilution >= 0) values.hdop = dilution
    return values
  }
}

function isBlank(cell: string): boolean {
  return cell === '' || /^(-{1,3}|—|n\/?a|nan|null|none|\.)$/i.test(cell)
}

function readSpeed(cell: string, scale: number | null, decimalComma: boolean): number | null | 'no-unit' {
  const withUnit = /^([-+]?[\d.,]+)\s*([a-z][a-z /]*)$/i.exec(cell)
  const unit = withUnit ? speedScale(withUnit[2] ?? '') : scale
  const value = readNumber(withUnit ? (withUnit[1] ?? '') : cell, decimalComma)
  if (value === null) return null
  if (unit === null) return 'no-unit'
  const speed = value * unit
  return speed >= 0 && speed <= mostSpeed ? speed : null
}

function readPosition(
  row: readonly string[],
  columns: readonly DriveColumn[],
  decimalComma: boolean,
): { latitude: number; longitude: number } | undefined | 'unusable' {
  const cellOf = (role: DriveColumn['role']) => {
    const column = columns.find((one) => one.role === role)
    return column ? (row[column.index] ?? '') : null
  }
  let [north, east] = [cellOf('latitude'), cellOf('longitude')]
  const position = (cellOf('position') ?? '').slice(0, 120)
  if (north === null || east === null) {
    const both = /^[[(]?\s*([^,;\s][^,;]*?)\s*[,;\s]\s*([^,;]+?)\s*[\])]?$/.exec(position)
    if (!both) return isBlank(position) ? undefined : 'unusable'
    ;[north, east] = [both[1] ?? '', both[2] ?? '']
  }
  if (isBlank(north) && isBlank(east)) return undefined
  const latitude = readSided(north, cellOf('latitude-side'), 90, decimalComma)
  const longitude = readSided(east, cellOf('longitude-side'), 180, decimalComma)
  if (latitude === null || longitude === null) return 'unusable'
  // Receivers write 0, 0 before they have a fix.
  return latitude === 0 && longitude === 0 ? undefined : { latitude, longitude }
}

function readSided(cell: string, side: string | null, most: 90 | 180, decimalComma: boolean): number | null {
  if (!side) return readCoordinate(cell, most, decimalComma)
  if (/^\d{4,5}\.\d+$/.test(cell)) return readDegreesMinutes(cell, side, most)
  return readCoordinate(`${cell}${side}`, most, decimalComma)
}

/** A row with a position of 0, 0 and nothing else is no sample, but it is not empty either. */
function isUnlocated(row: readonly string[], columns: readonly DriveColumn[]): boolean {
  return columns.some((column) => ['latitude', 'position'].includes(column.role) && !isBlank(row[column.index] ?? ''))
}
