/** The runs of one calibration: from when to when, how the percentage climbed, which attempts there were. */
import type { CalibrationAttempt, CalibrationReading } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { cellOf, columnOf, type Table, type TableRow } from '../page/tables.ts'
import { attemptsOf } from '../page/value-shapes.ts'
import { readTimeOfDay } from '../time.ts'
import { type Draft, dateWithDay, progressOf } from './calibration-draft.ts'
import { outcomeOf } from './calibration-outcomes.ts'
import { fieldsFor, note, type Sheet } from './sheet.ts'

/** Start and end printed in one breath: "Run: 13:12 to 13:24", "09:40:12 – 10:02:05"; the dash of "UTC-05:00" parts nothing. */
export function readRange(draft: Draft, reading: CalibrationReading, from: number, to: number): void {
  const { sheet } = draft
  for (const line of sheet.lines) {
    if (line.index < from || line.index >= to) continue
    const found =
      /(.*?\d{1,2}[:.]\d{2}(?::\d{2})?(?:\s*[ap]\.?m\.?)?(?:\s*[A-Z]{3,4}(?:[+−-]\d{2}:?\d{2})?)?)\s*(?:to|until|till|(?<![A-Z])[-–]|[-–](?=\s)|—|→|->|\.\.\.?|…|and)\s*(.*\d{1,2}[:.]\d{2}.*)$/i.exec(
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

/** A percentage, and with it the speed or time at which it was reached: "64 %", "64% at 52 mph". */
const REACHED = /^\d{1,3}(?:[.,]\d)?\s?%(?:\s(?:at|@|after)\s?\d[\d.,:]*\s?\S{0,5})?$/i

/** The only percentage of a line; in a table, that of a column for progress: a charge or a load is set out alike. */
function progressCellOf(sheet: Sheet, line: Line): Cell | undefined {
  const percents = line.cells.filter((cell) => REACHED.test(cell.text))
  const table = sheet.tables.find(({ rows }) => rows.some((row) => row.line === line))
  const row = table?.rows.find((one) => one.line === line)
  if (table === undefined || row === undefined) return percents.length === 1 ? percents[0] : undefined
  const reached = reachedCell(table, row)
  return percents.find(({ text }) => text === reached?.text)
}

/** "At" heads a time as well as a level reached: of several columns that can be meant, it is one that holds a percentage. */
function reachedCell({ columns }: Table, { cells }: TableRow): Cell | null {
  const meant = columns.flatMap(({ roles }, at) => (roles.includes('progress') ? (cells[at] ?? []) : []))
  return meant.find(({ text }) => progressOf(text) !== null) ?? null
}

/** The percentage as it climbed: rows of a time and a percentage. */
export function readProgress(draft: Draft, from: number, to: number): NonNullable<CalibrationReading['readings']> {
  const { sheet } = draft
  const readings: NonNullable<CalibrationReading['readings']> = []
  for (const line of sheet.lines) {
    if (line.index < from || line.index >= to || line.cells.length > 4) continue
    const percentCell = progressCellOf(sheet, line)
    const timeCell = line.cells.find(
      (cell) => cell !== percentCell && cell.words.length <= 3 && readTimeOfDay(cell.text) !== null,
    )
    const percent = percentCell ? progressOf(percentCell.text) : null
    if (!percentCell || !timeCell || percent === null || line.cells[0] !== timeCell) continue
    const at = dateWithDay(sheet, timeCell.text, draft.documentDate)
    note(sheet, `calibrations.${draft.at}.readings.${readings.length}`, placeOfCells(line.cells))
    readings.push({ percent, ...(at ? { at } : {}) })
  }
  return readings
}

/** Runs listed in a table: run, begin, reached, outcome. */
export function readAttempts(draft: Draft, from: number, to: number): CalibrationAttempt[] {
  const { sheet } = draft
  const attempts: CalibrationAttempt[] = []
  for (const table of sheet.tables) {
    if (table.header.index < from || table.header.index >= to || columnOf(table, 'run') < 0) continue
    if (columnOf(table, 'name') >= 0 && columnOf(table, 'least') >= 0) continue
    for (const row of table.rows) {
      const outcomeCell = cellOf(table, row, 'outcome')
      const progressCell = reachedCell(table, row)
      const outcome = outcomeCell ? outcomeOf(outcomeCell.text, sheet.vocabulary) : null
      const percent = progressCell ? progressOf(progressCell.text) : null
      if (!outcome && percent === null) continue
      const attempt: CalibrationAttempt = { outcome: outcome ?? 'unknown' }
      if (percent !== null) attempt.progressPercent = percent
      const startCell = cellOf(table, row, 'started') ?? cellOf(table, row, 'at')
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
    const percent = progressOf(text)
    if (percent !== null) attempt.progressPercent = percent
    const at = dateWithDay(sheet, text, draft.documentDate)
    if (at) attempt.at = at
    note(sheet, `calibrations.${draft.at}.attempts.${attempts.length}`, placeOfCells(line.cells))
    attempts.push(attempt)
  }
  return attempts
}

/** "Completed at the first attempt", in so many words. */
const FIRST =
  /\b(?:on|at|in|with) (?:the )?(?:very )?first (?:attempt|try|run|go)\b|\bfirst (?:attempt|try|run) (?:was )?(?:successful|passed|completed|ok)\b/i

/** How many attempts the record says that it took, under a label or in a sentence. */
export function readAttemptCount(draft: Draft, reading: CalibrationReading, begin: number, to: number): void {
  const { sheet, at, headEnd } = draft
  // Structured files set a note above the only calibration that it can speak of.
  const isOnly = begin === headEnd && to > (sheet.lines.at(-1)?.index ?? 0)
  const from = isOnly ? 0 : begin
  const path = `calibrations.${at}.attemptCount`
  const field = fieldsFor(sheet, 'attempts', from, to).find(({ value }) => attemptsOf(value) !== null)
  const count = field ? attemptsOf(field.value) : null
  if (field && count !== null) {
    reading.attemptCount = count
    note(sheet, path, field.place)
    return
  }
  const line = sheet.lines.find(
    ({ index, text }) => index >= from && index < to && FIRST.test(text) && !/\bnot\b/i.test(text),
  )
  if (line === undefined) return
  reading.attemptCount = 1
  note(sheet, path, placeOfCells(line.cells))
}
