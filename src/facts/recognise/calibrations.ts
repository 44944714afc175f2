/**
 * Calibrations: a record tells of one or several, each under the sensor's name, in a row of a table, or in the whole
 * document. What stands between one sensor's heading and the next belongs to that sensor.
 */
import type { CalibrationAttempt, CalibrationOutcome, CalibrationReading, DateReading, Sensor } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import type { Field } from '../page/fields.ts'
import { cellOf, columnOf, type Table, type TableRow } from '../page/tables.ts'
import { readDistance, readPercent } from '../quantity.ts'
import type { Place } from '../reading.ts'
import { combine, readDuration, readTimeOfDay } from '../time.ts'
import type { LabelKey, Vocabulary } from '../vocabulary.ts'
import { readMeasured, readMeasuredRow } from './measured.ts'
import { methodOf, positionOf, sensorOf } from './sensors.ts'
import { bareName, datesIn, fieldsFor, identifierIn, note, type Sheet } from './sheet.ts'

interface Section {
  sensor: Sensor
  name: string
  from: number
  to: number
  place: Place
}

const SECTION_KEYS: readonly LabelKey[] = [
  'method',
  'started',
  'ended',
  'outcome',
  'progress',
  'serial',
  'part',
  'procedure',
  'duration',
]

/** The outcome that a text states; null when it states none. Negations and unfinished runs win over "completed". */
export function outcomeOf(text: string, vocabulary: Vocabulary): CalibrationOutcome | null {
  const tokens = vocabulary.tokens(text)
  const whole = vocabulary.outcomes.whole(tokens)[0]
  if (whole) return whole.key
  const hits = vocabulary.outcomes.within(tokens)
  const severity: readonly CalibrationOutcome[] = ['aborted', 'failed', 'not-performed', 'completed']
  for (const key of severity) if (hits.some((hit) => hit.length > 1 && hit.entries[0]?.key === key)) return key
  for (const key of severity) if (hits.some((hit) => hit.entries[0]?.key === key)) return key
  return null
}

function headingSensor(sheet: Sheet, line: Line): { sensor: Sensor; name: string } | null {
  if (line.cells.length > 2 || /[.!?;]$/.test(line.text)) return null
  const { vocabulary } = sheet
  const labelled = /^([^:]{2,40}):\s*(.+)$/.exec(line.text)
  let text = line.text
  if (labelled?.[1] && labelled[2]) {
    const keys = vocabulary.labels
      .whole(vocabulary.tokens(labelled[1].replace(/\s*\d+$/, '')))
      .map((entry) => entry.key)
    if (!keys.includes('sensor')) return null
    text = labelled[2]
  } else if (line.cells.length === 2) {
    const keys = vocabulary.labels.whole(vocabulary.tokens(line.cells[0]?.text ?? '')).map((entry) => entry.key)
    if (keys.includes('sensor')) text = line.cells[1]?.text ?? ''
    else {
      const first = line.cells[0]?.text ?? ''
      const second = sensorOf(line.cells[1]?.text ?? '', vocabulary)
      // "Front radar   dynamic", "1.   Front radar"
      if (/^\W*(?:\d+|[A-Z])?\W*$/.test(first) && second) text = line.cells[1]?.text ?? ''
      else if (methodOf(line.cells[1]?.text ?? '', vocabulary) === null) return null
    }
  }
  const words = text.split(/\s+/).length
  if (words > 9 || /\d{4,}|[$€£%]/.test(text)) return null
  const found = sensorOf(text.replace(/\([^)]*\)/g, ' '), vocabulary) ?? sensorOf(text, vocabulary)
  if (!found || found.sensor === 'other') return null
  const core = vocabulary
    .tokens(text.replace(/\([^)]*\)/g, ' '))
    .filter(
      (token) =>
        !/^(?:task|step|item|section|part|job|no|\d+|calibration|calibrate|of|the|sensor|sensors|module|unit|and|left|right|rear|front|lh|rh|static|dynamic|record|report|aiming|aim|adjustment|learning|drive|initialization|result|results|system|control|in|bay|on|road|run|zero|setting|point|target|targets|board|panel|with|mat|mats|reflector|pattern|frame|camera|radar)$/.test(
          token,
        ),
    )
  const share = found.share * vocabulary.tokens(text.replace(/\([^)]*\)/g, ' ')).length
  if (core.length > share) return null
  return { sensor: found.sensor, name: bareName(text) }
}

/** The parts of a record that tell of one sensor each. */
function findSections(sheet: Sheet): Section[] {
  const tableRows = new Set(
    sheet.tables.filter((table) => table.rows.length > 1).flatMap((table) => table.rows.map((row) => row.line.index)),
  )
  const last = (sheet.lines.at(-1)?.index ?? 0) + 1
  const candidates: Section[] = []
  for (const line of sheet.lines) {
    if (tableRows.has(line.index)) continue
    const found = headingSensor(sheet, line)
    if (found) candidates.push({ ...found, from: line.index, to: last, place: placeOfCells(line.cells) })
  }
  // A heading is one only if fields of a calibration follow before the next heading.
  const sections: Section[] = []
  candidates.forEach((section, i) => {
    const to = candidates[i + 1]?.from ?? last
    const rich = sheet.fields.some(
      (field) =>
        field.line >= section.from && field.line < to && field.meanings.some(({ key }) => SECTION_KEYS.includes(key)),
    )
    const tabled = sheet.tables.some(
      (table) =>
        table.header.index > section.from &&
        table.header.index < to &&
        (columnOf(table, 'outcome') >= 0 || columnOf(table, 'actual') >= 0),
    )
    if (rich || tabled) sections.push({ ...section, to })
  })
  return sections.map((section, i) => ({ ...section, to: sections[i + 1]?.from ?? last }))
}

function dateWithDay(sheet: Sheet, text: string, day: DateReading | undefined): DateReading | null {
  const date = datesIn(sheet, text)[0]
  if (date) return date
  const time = readTimeOfDay(text)
  return time && day ? combine(day, time) : null
}

const TIDY = /[\s,;.]+$/

interface Draft {
  sheet: Sheet
  at: number
  documentDate: DateReading | undefined
}

function takeField(
  draft: Draft,
  key: LabelKey,
  from: number,
  to: number,
  accept: (field: Field) => boolean,
): Field | null {
  return fieldsFor(draft.sheet, key, from, to).find(accept) ?? null
}

/** Reads what stands between two lines into one calibration. */
function readSection(draft: Draft, section: Section | null, from: number, to: number): CalibrationReading | null {
  const { sheet } = draft
  const { vocabulary } = sheet
  const path = `calibrations.${draft.at}`
  const sensorField = takeField(
    draft,
    'sensor',
    from,
    to,
    (field) => (sensorOf(field.value, vocabulary)?.sensor ?? 'other') !== 'other',
  )
  const title = sheet.lines.slice(0, 8).map((line) => line.text)
  const titled = section
    ? null
    : title
        .map((text) => ({ text, found: sensorOf(text, vocabulary) }))
        .find(({ found }) => found && found.sensor !== 'other')
  const sensor =
    section?.sensor ??
    (sensorField ? sensorOf(sensorField.value, vocabulary)?.sensor : undefined) ??
    titled?.found?.sensor
  if (!sensor) return null
  const name = section?.name ?? sensorField?.value ?? titled?.text ?? ''
  const reading: CalibrationReading = {
    sensor,
    position: null,
    method: 'unknown',
    outcome: 'unknown',
    name: bareName(name),
  }
  const sensorPlace = section?.place ?? sensorField?.place
  if (sensorPlace) note(sheet, path, sensorPlace)
  const take = (key: LabelKey, accept: (field: Field) => boolean) => {
    const field = takeField(draft, key, from, to, accept)
    if (field) note(sheet, `${path}.${key}`, field.place)
    return field
  }

  const side = takeField(draft, 'position', from, to, (field) => positionOf(field.value, sensor, vocabulary) !== null)
  reading.position = (side && positionOf(side.value, sensor, vocabulary)) ?? positionOf(name, sensor, vocabulary)
  if (side && reading.position) note(sheet, `${path}.position`, side.place)

  const method = take('method', (field) => methodOf(field.value, vocabulary) !== null)
  reading.method =
    (method && methodOf(method.value, vocabulary)) ??
    methodOf(name, vocabulary) ??
    title
      .map((text) =>
        /calibrat|aim|learn|initiali|adjust|zero|static|dynamic/i.test(text) ? methodOf(text, vocabulary) : null,
      )
      .find((found) => found) ??
    'unknown'
  const isRunDate = (field: Field) => dateWithDay(sheet, field.value, draft.documentDate) !== null
  const started = take('started', isRunDate)
  const ended = take('ended', isRunDate)
  const startDate = started ? dateWithDay(sheet, started.value, draft.documentDate) : null
  if (startDate) reading.started = startDate
  const endDay = startDate ?? draft.documentDate
  const endDate = ended ? dateWithDay(sheet, ended.value, endDay ?? undefined) : null
  if (endDate) reading.ended = endDate
  if (!startDate && started === null) readRange(draft, reading, from, to)
  const duration = take('duration', (field) => readDuration(field.value, { colon: 'mm:ss' }) !== null)
  if (duration) reading.durationSeconds = readDuration(duration.value, { colon: 'mm:ss' })?.seconds ?? 0
  const distance = take('distance', (field) => readDistance(field.value, { decimal: sheet.decimal }) !== null)
  if (distance) reading.distanceMetres = Math.round(readDistance(distance.value, { decimal: sheet.decimal }) ?? 0)
  const isSectionField = (field: Field) =>
    section !== null || !field.meanings.some(({ key }) => key === 'instrumentSerial')
  const serial = take('serial', (field) => /\d/.test(field.value) && isSectionField(field))
  if (serial) reading.serial = identifierIn(serial.value)
  const part = take('part', (field) => /\d/.test(field.value))
  if (part) reading.part = identifierIn(part.value)
  const procedure = take('procedure', (field) => /\d/.test(field.value) || field.value.length > 3)
  if (procedure) reading.procedure = procedure.value.replace(TIDY, '')
  const progress = take('progress', (field) => readPercent(field.value) !== null || /^\d{1,3}$/.test(field.value))
  if (progress) reading.progressPercent = readPercent(progress.value) ?? Number(progress.value)
  const readings = readProgress(draft, from, to)
  if (readings.length > 1) {
    reading.readings = readings
    const final = readings.at(-1)?.percent
    if (reading.progressPercent === undefined && final !== undefined) {
      reading.progressPercent = final
      note(sheet, `${path}.progress`, ...(sheet.evidence[`${path}.readings.${readings.length - 1}`] ?? []))
    }
  }
  const outcome = take(
    'outcome',
    (field) => outcomeOf(field.value, vocabulary) !== null && !isValueTableLine(sheet, field.line),
  )
  if (outcome) {
    reading.outcome = outcomeOf(outcome.value, vocabulary) ?? 'unknown'
    if (reading.progressPercent === undefined) {
      const stated = readPercent(outcome.value)
      if (stated !== null) reading.progressPercent = stated
    }
  }
  const attempts = readAttempts(draft, from, to)
  if (attempts.length > 0) reading.attempts = attempts
  if (reading.outcome === 'unknown') readOutcomeLine(draft, reading, from, to)
  if (reading.outcome === 'unknown') {
    const lastAttempt = attempts.at(-1)
    if (lastAttempt) reading.outcome = lastAttempt.outcome
  }
  const reached = attempts.at(-1)?.progressPercent
  if (reading.progressPercent === undefined && reached !== undefined) {
    reading.progressPercent = reached
    note(sheet, `${path}.progress`, ...(sheet.evidence[`${path}.attempts.${attempts.length - 1}`] ?? []))
  }
  const values = readMeasured(sheet, from, to)
  if (values.length > 0) {
    reading.values = values.map((found) => found.value)
    values.forEach((found, i) => {
      note(sheet, `${path}.values.${i}`, found.place)
    })
  }
  return reading
}

function isValueTableLine(sheet: Sheet, line: number): boolean {
  return sheet.tables.some(
    (table) =>
      (columnOf(table, 'actual') >= 0 || columnOf(table, 'least') >= 0) &&
      columnOf(table, 'name') >= 0 &&
      (table.header.index === line || table.rows.some((row) => row.line.index === line)),
  )
}

/** Start and end printed in one breath: "Run: 13:12 to 13:24", "09:40:12 – 10:02:05". */
function readRange(draft: Draft, reading: CalibrationReading, from: number, to: number): void {
  const { sheet } = draft
  for (const line of sheet.lines) {
    if (line.index < from || line.index >= to) continue
    const found =
      /(.*?\d{1,2}[:.]\d{2}(?::\d{2})?(?:\s*[ap]\.?m\.?)?(?:\s*[A-Z]{3,4})?)\s*(?:to|until|till|-|–|—|→|->|\.\.\.?|…|and)\s*(.*\d{1,2}[:.]\d{2}.*)$/i.exec(
        line.text,
      )
    if (!found?.[1] || !found[2] || /\b(?:valid|due|licen[cs]e)\b/i.test(line.text)) continue
    const start = dateWithDay(sheet, found[1], draft.documentDate)
    const end = dateWithDay(sheet, found[2], start ?? draft.documentDate)
    if (
      !start ||
      !end ||
      start.local === null ||
      end.local === null ||
      start.local.length < 16 ||
      end.local.length < 16 ||
      end.local < start.local
    )
      continue
    reading.started = start
    reading.ended ??= end
    note(sheet, `calibrations.${draft.at}.started`, placeOfCells(line.cells))
    note(sheet, `calibrations.${draft.at}.ended`, placeOfCells(line.cells))
    return
  }
}

/** An outcome that stands alone on its line, as receipts print it: "STOPPED - NOT COMPLETED". */
function readOutcomeLine(draft: Draft, reading: CalibrationReading, from: number, to: number): void {
  const { sheet } = draft
  const { vocabulary } = sheet
  const lines = sheet.lines.filter((line) => line.index >= from && line.index < to)
  for (const line of [...lines].reverse()) {
    if (line.cells.length > 2 || line.text.split(/\s+/).length > 14 || isValueTableLine(sheet, line.index)) continue
    const tokens = vocabulary.tokens(line.text)
    const hits = vocabulary.outcomes
      .within(tokens)
      .filter(
        (hit) =>
          hit.entries[0] &&
          !(
            hit.length === 1 &&
            /^(?:ok|good|set|pass|in|error|open|bad|positive|negative|red|green|valid|normal|running|done|reached|stored|learned|adjusted)$/.test(
              tokens[hit.from] ?? '',
            )
          ),
      )
    const covered = hits.reduce((sum, hit) => sum + hit.length, 0)
    const about = /calibrat|learn|aiming|aimed|procedure|adjust|initiali|run|drive|routine/i.test(line.text)
    if (covered === 0 || (covered < 0.5 * tokens.length && !about)) continue
    if (/^(?:the |a |an )?(?:driver|second|person|note|before|if|when|keep|do not)\b/i.test(line.text)) continue
    const outcome = outcomeOf(line.text, vocabulary)
    if (!outcome) continue
    reading.outcome = outcome
    note(sheet, `calibrations.${draft.at}.outcome`, placeOfCells(line.cells))
    if (reading.progressPercent === undefined) {
      const stated = readPercent(line.text)
      if (stated !== null) reading.progressPercent = stated
    }
    return
  }
}

/** The percentage as it climbed: rows of a time and a percentage. */
function readProgress(draft: Draft, from: number, to: number): NonNullable<CalibrationReading['readings']> {
  const { sheet } = draft
  const readings: NonNullable<CalibrationReading['readings']> = []
  for (const line of sheet.lines) {
    if (line.index < from || line.index >= to || line.cells.length > 4) continue
    const percentCell = line.cells.find((cell) => /^\d{1,3}(?:[.,]\d)?\s?%$/.test(cell.text))
    const timeCell = line.cells.find(
      (cell) => cell !== percentCell && cell.words.length <= 3 && readTimeOfDay(cell.text) !== null,
    )
    const percent = percentCell ? readPercent(percentCell.text) : null
    if (!percentCell || !timeCell || percent === null || line.cells[0] !== timeCell) continue
    const at = dateWithDay(sheet, timeCell.text, draft.documentDate)
    note(sheet, `calibrations.${draft.at}.readings.${readings.length}`, placeOfCells(line.cells))
    readings.push({ percent, ...(at ? { at } : {}) })
  }
  return readings
}

/** Runs listed in a table: run, begin, reached, outcome. */
function readAttempts(draft: Draft, from: number, to: number): CalibrationAttempt[] {
  const { sheet } = draft
  const attempts: CalibrationAttempt[] = []
  for (const table of sheet.tables) {
    if (table.header.index < from || table.header.index >= to || columnOf(table, 'run') < 0) continue
    if (columnOf(table, 'name') >= 0 && columnOf(table, 'least') >= 0) continue
    for (const row of table.rows) {
      const outcomeCell = cellOf(table, row, 'outcome')
      const progressCell = cellOf(table, row, 'progress')
      const outcome = outcomeCell ? outcomeOf(outcomeCell.text, sheet.vocabulary) : null
      const percent = progressCell ? readPercent(progressCell.text) : null
      if (!outcome && percent === null) continue
      const attempt: CalibrationAttempt = { outcome: outcome ?? 'unknown' }
      if (percent !== null) attempt.progressPercent = percent
      const startCell = cellOf(table, row, 'started')
      const at = startCell ? dateWithDay(sheet, startCell.text, draft.documentDate) : null
      if (at) attempt.at = at
      note(sheet, `calibrations.${draft.at}.attempts.${attempts.length}`, placeOfCells(row.line.cells))
      attempts.push(attempt)
    }
  }
  if (attempts.length > 0) return attempts
  // "Attempt 1: stopped at 38 %", "1st run … 2nd run …"
  for (const line of sheet.lines) {
    if (line.index < from || line.index >= to) continue
    const found =
      /^\W*(?:attempt|run|try|trial|pass|cycle)\s*(?:no\.?\s*)?#?(\d)\b[\s:.–-]*(.+)$|^\W*(\d)(?:st|nd|rd|th)\s+(?:attempt|run|try|trial|pass)\b[\s:.–-]*(.+)$/i.exec(
        line.text,
      )
    const text = found?.[2] ?? found?.[4]
    const outcome = text ? outcomeOf(text, sheet.vocabulary) : null
    if (!text || !outcome) continue
    const attempt: CalibrationAttempt = { outcome }
    const percent = readPercent(text)
    if (percent !== null) attempt.progressPercent = percent
    const at = dateWithDay(sheet, text, draft.documentDate)
    if (at) attempt.at = at
    note(sheet, `calibrations.${draft.at}.attempts.${attempts.length}`, placeOfCells(line.cells))
    attempts.push(attempt)
  }
  return attempts
}

/** A table with a calibration in each row. */
function readRows(sheet: Sheet, table: Table, documentDate: DateReading | undefined): CalibrationReading[] {
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
  const percent = readPercent(text('progress') ?? '')
  if (percent !== null) reading.progressPercent = percent
  const serial = text('serial')
  if (serial && /\d/.test(serial)) reading.serial = serial
  const part = text('part')
  if (part && /\d/.test(part)) reading.part = part
  for (const [i, column] of table.columns.entries()) {
    const cell = row.cells[i]
    const keys = vocabulary.labels.whole(vocabulary.tokens(column.header.text)).map((entry) => entry.key)
    if (!cell) continue
    if (keys.includes('procedure')) reading.procedure ??= cell.text.replace(TIDY, '')
    if (keys.includes('duration'))
      reading.durationSeconds ??= readDuration(cell.text, { colon: 'mm:ss' })?.seconds ?? Number.NaN
    const distance = keys.includes('distance') ? readDistance(cell.text, { decimal: sheet.decimal }) : null
    if (distance !== null) reading.distanceMetres ??= Math.round(distance)
    if (keys.includes('serial')) reading.serial ??= cell.text
    if (keys.includes('part') && /\d/.test(cell.text)) reading.part ??= cell.text
    if (keys.includes('position') && reading.position === null)
      reading.position = positionOf(cell.text, sensor, vocabulary)
    if (keys.includes('progress') && reading.progressPercent === undefined && /^\d{1,3}$/.test(cell.text))
      reading.progressPercent = Number(cell.text)
  }
  if (Number.isNaN(reading.durationSeconds)) delete reading.durationSeconds
  if (reading.progressPercent === undefined && /^\d{1,3}$/.test(text('progress') ?? ''))
    reading.progressPercent = Number(text('progress'))
  note(sheet, `calibrations.${at}`, placeOfCells(row.cells.filter((cell): cell is Cell => cell !== null)))
  return reading
}

/** Every calibration that a record tells of, in reading order. `documentDate` gives the day to times that stand alone. */
export function readCalibrations(sheet: Sheet, documentDate: DateReading | undefined): CalibrationReading[] {
  const sections = findSections(sheet)
  if (sections.length === 0) {
    for (const table of sheet.tables) {
      const rows = readRows(sheet, table, documentDate)
      const [only] = rows
      // One row is the head of the whole record: the rest of the page speaks of it.
      if (only && rows.length === 1) completeFromPage(sheet, only, documentDate)
      if (rows.length > 0) return rows
    }
    const whole = readSection({ sheet, at: 0, documentDate }, null, 0, Number.POSITIVE_INFINITY)
    return whole ? [whole] : []
  }
  const found: CalibrationReading[] = []
  for (const section of sections) {
    // With one sensor in the document, what stands above its heading may speak of it too.
    const reading = readSection({ sheet, at: found.length, documentDate }, section, section.from, section.to)
    if (reading) found.push(reading)
  }
  for (const table of sheet.tables) completeFromSummary(sheet, table, found, documentDate)
  return joinParts(sheet, found)
}

/** What the page around a single calibration's row says of it. */
function completeFromPage(sheet: Sheet, reading: CalibrationReading, documentDate: DateReading | undefined): void {
  const kept = { ...sheet.evidence }
  const page = readSection(
    { sheet, at: 0, documentDate },
    {
      sensor: reading.sensor,
      name: reading.name ?? '',
      from: 0,
      to: Number.POSITIVE_INFINITY,
      place: kept['calibrations.0']?.[0] ?? { page: 1, box: [0, 0, 0, 0], text: '' },
    },
    0,
    Number.POSITIVE_INFINITY,
  )
  for (const [key, value] of Object.entries(page ?? {})) {
    const have = reading[key as keyof CalibrationReading]
    if (have === undefined || have === null || have === 'unknown') Object.assign(reading, { [key]: value })
  }
}

/** Whether two parts can speak of one calibration: nothing that both say differs. */
function agree(a: CalibrationReading, b: CalibrationReading): boolean {
  const same = <Value>(x: Value | null | undefined, y: Value | null | undefined) =>
    x === undefined || y === undefined || x === null || y === null || x === 'unknown' || y === 'unknown' || x === y
  return (
    a.sensor === b.sensor &&
    same(a.position, b.position) &&
    same(a.method, b.method) &&
    same(a.outcome, b.outcome) &&
    same(a.started?.local, b.started?.local) &&
    same(a.ended?.local, b.ended?.local) &&
    same(a.serial, b.serial) &&
    same(a.durationSeconds, b.durationSeconds) &&
    (a.values === undefined || b.values === undefined)
  )
}

/**
 * A report may name one sensor over its measurements and again over its summary. Such parts are one calibration when they
 * contradict each other in nothing and neither tells the whole alone.
 */
function joinParts(sheet: Sheet, found: CalibrationReading[]): CalibrationReading[] {
  const whole = (reading: CalibrationReading) =>
    reading.outcome !== 'unknown' && (reading.started !== undefined || reading.method !== 'unknown')
  const joined: CalibrationReading[] = []
  const evidence = new Map<string, Place[]>()
  found.forEach((reading, from) => {
    const at = joined.findIndex((other) => agree(other, reading) && !(whole(other) && whole(reading)))
    const known = joined[at]
    const to = known ? at : joined.length
    for (const [path, places] of Object.entries(sheet.evidence)) {
      const rest =
        path === `calibrations.${from}`
          ? ''
          : path.startsWith(`calibrations.${from}.`)
            ? path.slice(`calibrations.${from}`.length)
            : null
      if (rest !== null)
        evidence.set(`calibrations.${to}${rest}`, [...(evidence.get(`calibrations.${to}${rest}`) ?? []), ...places])
    }
    if (!known) {
      joined.push(reading)
      return
    }
    for (const [key, value] of Object.entries(reading)) {
      const have = known[key as keyof CalibrationReading]
      if (have === undefined || have === null || have === 'unknown') Object.assign(known, { [key]: value })
    }
  })
  if (joined.length < found.length) {
    for (const path of Object.keys(sheet.evidence)) if (path.startsWith('calibrations.')) delete sheet.evidence[path]
    for (const [path, places] of evidence) sheet.evidence[path] = places
  }
  return joined
}

/** A closing table that names each sensor again says what its own part left unsaid. */
function completeFromSummary(
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

/** The first line of the first part that tells of one sensor; infinite where there is none. */
export function firstSectionLine(sheet: Sheet): number {
  return findSections(sheet)[0]?.from ?? Number.POSITIVE_INFINITY
}
