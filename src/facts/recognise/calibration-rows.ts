/** Calibrations in the rows of a table: one a row, or a closing summary of what its own part told. */
import type { CalibrationReading, DateReading, Sensor } from '../document.ts'
import { type Cell, placeOfCells } from '../layout.ts'
import { cellOf, columnOf, type Table, type TableRow } from '../page/tables.ts'
import { readDistance } from '../quantity.ts'
import { readDuration } from '../time.ts'
import { dateWithDay, progressOfValue, TIDY } from './calibration-draft.ts'
import { outcomeOf } from './calibration-outcomes.ts'
import { readMeasuredRow } from './measured.ts'
import { methodOf, positionOf, sensorOf } from './sensors.ts'
import { bareName, note, type Sheet, withUnit } from './sheet.ts'

/** A table with a calibration in each row. */
export function readRows(sheet: Sheet, table: Table, documentDate: DateReading | undefined): CalibrationReading[] {
  const { vocabulary } = sheet
  const sensorColumn = columnOf(table, 'sensor')
  const telling = (['method', 'outcome', 'started', 'progress'] as const).filter(
    (role) => columnOf(table, role) >= 0 && columnOf(table, role) !== sensorColumn,
  )
  if (sensorColumn < 0 || telling.length < 2) return []
  const found: CalibrationReading[] = []
  const byKey = new Map<string, CalibrationReading>()
  for (const row of table.rows) {
    const sensorCell = row.cells[sensorColumn]
    const sensor = sensorCell ? sensorOf(sensorCell.text, vocabulary)?.sensor : undefined
    if (!sensorCell) addSpannedValue(sheet, table, row, found)
    if (!sensorCell || !sensor || sensor === 'other') continue
    const reading = readRow(sheet, table, row, sensorCell, sensor, documentDate, found.length)
    // A structured file repeats the calibration on every row of its measured values.
    const key = [reading.sensor, reading.position, reading.method, reading.started?.text, reading.serial].join('|')
    const known = byKey.get(key)
    if (!known) {
      byKey.set(key, reading)
      found.push(reading)
    }
    const value = readMeasuredRow(sheet, table, row)
    if (value) {
      const target = known ?? reading
      target.values = [...(target.values ?? []), value.value]
      note(sheet, `calibrations.${found.indexOf(target)}.values.${target.values.length - 1}`, value.place)
    }
  }
  return found
}

/** A row of a value alone, beneath a sensor's cell that spans it, tells of the last calibration. */
function addSpannedValue(sheet: Sheet, table: Table, row: TableRow, found: readonly CalibrationReading[]): void {
  const last = found.at(-1)
  const isOther = (['method', 'outcome', 'started', 'serial'] as const).some(
    (role) => cellOf(table, row, role) !== null,
  )
  const value = last && !isOther ? readMeasuredRow(sheet, table, row) : null
  if (!last || !value) return
  last.values = [...(last.values ?? []), value.value]
  note(sheet, `calibrations.${found.length - 1}.values.${last.values.length - 1}`, value.place)
}

function readRow(
  sheet: Sheet,
  table: Table,
  row: TableRow,
  sensorCell: Cell,
  sensor: Sensor,
  documentDate: DateReading | undefined,
  at: number,
): CalibrationReading {
  const { vocabulary } = sheet
  const text = (role: Parameters<typeof columnOf>[1]) => {
    const cell = cellOf(table, row, role)
    return cell && cell !== sensorCell ? cell.text : null
  }
  const reading: CalibrationReading = {
    sensor,
    position: positionOf(sensorCell.text, sensor, vocabulary),
    method: methodOf(text('method') ?? sensorCell.text, vocabulary) ?? 'unknown',
    outcome: outcomeOf(text('outcome') ?? '', vocabulary) ?? 'unknown',
    name: bareName(sensorCell.text),
  }
  const started = dateWithDay(sheet, text('started') ?? '', documentDate)
  if (started) reading.started = started
  const ended = dateWithDay(sheet, text('ended') ?? '', started ?? documentDate)
  if (ended) reading.ended = ended
  const percent = progressOfValue(text('progress') ?? '')
  if (percent !== null) reading.progressPercent = percent
  const serial = text('serial')
  if (serial && /\d/.test(serial)) reading.serial = serial
  const part = text('part')
  if (part && /\d/.test(part)) reading.part = part
  for (const [i, column] of table.columns.entries()) {
    const cell = row.cells[i]
    const heading = column.header.text.replace(/\s*[([][^)\]]{0,24}[)\]]\s*$/, '')
    const keys = vocabulary.labels.whole(vocabulary.tokens(heading)).map((entry) => entry.key)
    if (!cell) continue
    const said = withUnit(column.header.text, cell.text)
    if (keys.includes('procedure')) reading.procedure ??= cell.text.replace(TIDY, '')
    if (keys.includes('duration'))
      reading.durationSeconds ??= readDuration(said, { colon: 'mm:ss' })?.seconds ?? Number.NaN
    const distance = keys.includes('distance') ? readDistance(said, { decimal: sheet.decimal }) : null
    if (distance !== null) reading.distanceMetres ??= Math.round(distance)
    if (keys.includes('serial')) reading.serial ??= cell.text
    if (keys.includes('part') && /\d/.test(cell.text)) reading.part ??= cell.text
    if (keys.includes('position') && reading.position === null)
      reading.position = positionOf(cell.text, sensor, vocabulary)
    const reached = keys.includes('progress') ? progressOfValue(cell.text) : null
    if (reached !== null) reading.progressPercent ??= reached
  }
  if (Number.isNaN(reading.durationSeconds)) delete reading.durationSeconds
  note(sheet, `calibrations.${at}`, placeOfCells(row.cells.filter((cell): cell is Cell => cell !== null)))
  return reading
}

/** A closing table that names each sensor again says what its own part left unsaid. */
export function completeFromSummary(
  sheet: Sheet,
  table: Table,
  found: CalibrationReading[],
  documentDate: DateReading | undefined,
): void {
  const sensorColumn = columnOf(table, 'sensor')
  if (sensorColumn < 0 || columnOf(table, 'least') >= 0 || columnOf(table, 'limits') >= 0) return
  for (const row of table.rows) {
    const cell = row.cells[sensorColumn]
    const sensor = cell ? sensorOf(cell.text, sheet.vocabulary)?.sensor : undefined
    if (!cell || !sensor || sensor === 'other') continue
    const told = readRow(sheet, table, row, cell, sensor, documentDate, -1)
    delete sheet.evidence['calibrations.-1']
    const same = found.filter(
      (other) =>
        other.sensor === sensor &&
        (told.position === null || other.position === null || other.position === told.position) &&
        (told.method === 'unknown' || other.method === 'unknown' || other.method === told.method),
    )
    const [only] = same
    if (!only || same.length > 1) continue
    const path = `calibrations.${found.indexOf(only)}`
    const place = placeOfCells(row.cells.filter((other): other is Cell => other !== null))
    const fill = <Key extends keyof CalibrationReading>(key: Key) => {
      if (
        (only[key] !== undefined && only[key] !== 'unknown' && only[key] !== null) ||
        told[key] === undefined ||
        told[key] === null ||
        told[key] === 'unknown'
      )
        return
      only[key] = told[key]
      note(sheet, `${path}.${key}`, place)
    }
    for (const key of [
      'outcome',
      'progressPercent',
      'method',
      'serial',
      'part',
      'started',
      'ended',
      'durationSeconds',
    ] as const)
      fill(key)
  }
}
