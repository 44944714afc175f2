/**
 * Calibrations: a record tells of one or several, each under the sensor's name, in a row of a table, or in the whole
 * document. What stands between one sensor's heading and the next belongs to that sensor.
 */
import type { CalibrationReading, DateReading } from '../document.ts'
import type { Field } from '../page/fields.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import { readDistance } from '../quantity.ts'
import { chosenOf } from '../ticks.ts'
import type { LabelKey } from '../vocabulary.ts'
import { type Draft, dateWithDay, durationOf, progressOf, progressOfValue, TIDY } from './calibration-draft.ts'
import { readMatrix } from './calibration-matrix.ts'
import { isValueTableLine, outcomeOf, readOutcomeLine } from './calibration-outcomes.ts'
import { joinParts } from './calibration-parts.ts'
import { completeFromSummary, readRows } from './calibration-rows.ts'
import { readAttemptCount, readAttempts, readProgress, readRange } from './calibration-runs.ts'
import { findSections, type Section } from './calibration-sections.ts'
import { isBesideName } from './instrument.ts'
import { readMeasured } from './measured.ts'
import { procedureInText, procedureOfHead } from './procedure.ts'
import { methodOf, positionOf, sensorOf } from './sensors.ts'
import { bareName, fieldsFor, identifierIn, note, type Sheet, withUnit } from './sheet.ts'

function takeField(
  draft: Draft,
  key: LabelKey,
  from: number,
  to: number,
  accept: (field: Field) => boolean,
): Field | null {
  return fieldsFor(draft.sheet, key, from, to).find(accept) ?? null
}

/** "Front camera" over "Dynamic calibration": a second line of the heading tells how. */
function methodBeneath(sheet: Sheet, section: Section | null) {
  if (section === null) return null
  const line = sheet.lines.find(({ index }) => index > section.from)
  const isHeading = line?.cells.length === 1 && line.text.split(/\s+/).length <= 5 && !/[:.]/.test(line.text)
  return line && isHeading && /calibra|kalibr|aim|learn|initiali|inicializ|adjust|ajust|aprend/i.test(line.text)
    ? methodOf(line.text, sheet.vocabulary)
    : null
}

/** Start, end and length of the run where the head of the record states them and the part of its only sensor does not. */
function completeFromHead(draft: Draft, reading: CalibrationReading): void {
  const { sheet, at, documentDate, headEnd } = draft
  if (reading.started || reading.ended || reading.readings || reading.attempts) return
  const own = (key: 'started' | 'ended') =>
    fieldsFor(sheet, key, 0, headEnd).find(
      ({ value, meanings }) =>
        meanings.some((meaning) => meaning.key === key && meaning.rank < PARTIAL_RANK) &&
        dateWithDay(sheet, value, documentDate) !== null,
    )
  const [started, ended] = [own('started'), own('ended')]
  if (!started || !ended) return
  reading.started = dateWithDay(sheet, started.value, documentDate) ?? undefined
  reading.ended = dateWithDay(sheet, ended.value, reading.started ?? documentDate) ?? undefined
  note(sheet, `calibrations.${at}.started`, started.place)
  note(sheet, `calibrations.${at}.ended`, ended.place)
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
    (field) => (sensorOf(chosenOf(field.value), vocabulary)?.sensor ?? 'other') !== 'other',
  )
  const title = sheet.lines
    .slice(0, 8)
    .filter((line) => line.index < draft.headEnd)
    .map((line) => line.text)
  const titled = section
    ? null
    : title
        .map((text) => ({ text, found: sensorOf(text, vocabulary) }))
        .find(({ found }) => found && found.sensor !== 'other')
  const sensor =
    section?.sensor ??
    (sensorField ? sensorOf(chosenOf(sensorField.value), vocabulary)?.sensor : undefined) ??
    titled?.found?.sensor
  if (!sensor) return null
  const name = section?.name ?? (sensorField && chosenOf(sensorField.value)) ?? titled?.text ?? ''
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

  const method = take('method', (field) => methodOf(chosenOf(field.value), vocabulary) !== null)
  reading.method =
    (method && methodOf(chosenOf(method.value), vocabulary)) ??
    methodOf(name, vocabulary) ??
    title
      .map((text) =>
        /calibra|kalibr|aim|learn|initiali|inicializ|adjust|ajust|aprend|zero|puesta|static|dynamic/i.test(text)
          ? methodOf(text, vocabulary)
          : null,
      )
      .find((found) => found) ??
    methodBeneath(sheet, section) ??
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
  const duration = take('duration', (field) => durationOf(field) !== null)
  if (duration) reading.durationSeconds = durationOf(duration) ?? 0
  const metresOf = ({ label, value }: Field) => readDistance(withUnit(label, value), { decimal: sheet.decimal })
  const distance = take('distance', (field) => metresOf(field) !== null)
  if (distance) reading.distanceMetres = Math.round(metresOf(distance) ?? 0)
  const isSectionField = (field: Field) =>
    section !== null || !field.meanings.some(({ key }) => key === 'instrumentSerial')
  // In running text a serial number may be the instrument's; what was taken for that is not the sensor's too.
  const instrumentSerial = sheet.evidence['instrument.serial']?.[0]?.text ?? ''
  const isInstruments = (field: Field) => {
    const isSentence = (sheet.layout.lines[field.line]?.cells[0]?.words.length ?? 0) > 8
    const isAmbiguous = field.meanings.some(({ key }) => key === 'instrumentSerial')
    const isTaken = instrumentSerial.includes(identifierIn(field.value))
    return isTaken && (isSentence || (isAmbiguous && isBesideName(sheet, field)))
  }
  const serial = take('serial', (field) => /\d/.test(field.value) && isSectionField(field) && !isInstruments(field))
  if (serial) reading.serial = identifierIn(serial.value)
  const part = take('part', (field) => /\d/.test(field.value))
  if (part) reading.part = identifierIn(part.value)
  const procedure = take('procedure', (field) => /\d/.test(field.value) || field.value.length > 3)
  if (procedure) reading.procedure = procedure.value.replace(TIDY, '')
  else {
    const found = procedureInText(sheet, from, to) ?? procedureOfHead(sheet, draft.headEnd)
    if (found) {
      reading.procedure = found.text.replace(TIDY, '')
      note(sheet, `${path}.procedure`, found.place)
    }
  }
  const progress = take('progress', (field) => progressOfValue(field.value) !== null)
  const reached = progress ? progressOfValue(progress.value) : null
  if (reached !== null) reading.progressPercent = reached
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
      const stated = progressOf(outcome.value)
      if (stated !== null) reading.progressPercent = stated
    }
  }
  const attempts = readAttempts(draft, from, to)
  if (attempts.length > 0) reading.attempts = attempts
  readAttemptCount(draft, reading, from, to)
  if (reading.outcome === 'unknown') readOutcomeLine(draft, reading, from, to)
  if (reading.outcome === 'unknown') {
    const lastAttempt = attempts.at(-1)
    if (lastAttempt) reading.outcome = lastAttempt.outcome
  }
  const lastReached = attempts.at(-1)?.progressPercent
  if (reading.progressPercent === undefined && lastReached !== undefined) {
    reading.progressPercent = lastReached
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

/** Every calibration that a record tells of, in reading order. `documentDate` gives the day to times that stand alone. */
export function readCalibrations(sheet: Sheet, documentDate: DateReading | undefined): CalibrationReading[] {
  const matrix = readMatrix(sheet)
  if (matrix.length > 0) return matrix
  const sections = findSections(sheet)
  if (sections.length === 0) {
    for (const table of sheet.tables) {
      const rows = readRows(sheet, table, documentDate)
      const [only] = rows
      // One row is the head of the whole record: the rest of the page speaks of it.
      if (only && rows.length === 1) completeFromPage(sheet, only, documentDate)
      else citeHead(sheet, rows, table.header.index)
      if (rows.length > 0) return rows
    }
    const whole = readSection(
      { sheet, at: 0, documentDate, headEnd: Number.POSITIVE_INFINITY },
      null,
      0,
      Number.POSITIVE_INFINITY,
    )
    return whole ? [whole] : []
  }
  const found: CalibrationReading[] = []
  for (const section of sections) {
    // With one sensor in the document, what stands above its heading may speak of it too.
    const draft = { sheet, at: found.length, documentDate, headEnd: sections[0]?.from ?? 0 }
    const reading = readSection(draft, section, section.from, section.to)
    if (reading && sections.length === 1) completeFromHead(draft, reading)
    if (reading) found.push(reading)
  }
  for (const table of sheet.tables) completeFromSummary(sheet, table, found, documentDate)
  return joinParts(sheet, found)
}

/** The procedure that the head of a record names for all rows beneath. */
function citeHead(sheet: Sheet, rows: readonly CalibrationReading[], headEnd: number): void {
  const found = procedureOfHead(sheet, headEnd)
  if (found === null) return
  for (const [at, row] of rows.entries()) {
    if (row.procedure !== undefined) continue
    row.procedure = found.text.replace(TIDY, '')
    note(sheet, `calibrations.${at}.procedure`, found.place)
  }
}

/** What the page around a single calibration's row says of it. */
function completeFromPage(sheet: Sheet, reading: CalibrationReading, documentDate: DateReading | undefined): void {
  const kept = { ...sheet.evidence }
  const page = readSection(
    { sheet, at: 0, documentDate, headEnd: Number.POSITIVE_INFINITY },
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
