/** What a document says of the vehicle, the job, the people and the instrument, wherever on the page it says so. */
import type { DateReading, DocumentFacts, DocumentKind } from '../document.ts'
import { isIllegible } from '../illegible.ts'
import { type Cell, type Line, placeOf, placeOfCells } from '../layout.ts'
import type { Field } from '../page/fields.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import { fitOf, holdsDate } from '../page/value-shapes.ts'
import { fold } from '../phrases.ts'
import { readOdometer, readVolts } from '../quantity.ts'
import type { Place, Word } from '../reading.ts'
import { combine, readTimeOfDay } from '../time.ts'
import { findVins, vinFromPicture } from '../vin-text.ts'
import type { LabelKey } from '../vocabulary.ts'
import { readInstrument } from './instrument.ts'
import { datesIn, fieldsFor, identifierIn, note, type Sheet, withUnit } from './sheet.ts'
import { readVehicle } from './vehicle.ts'

type Header = Pick<
  DocumentFacts,
  | 'vin'
  | 'vins'
  | 'date'
  | 'lossDate'
  | 'odometer'
  | 'vehicle'
  | 'plate'
  | 'jobNumber'
  | 'claimNumber'
  | 'batteryVolts'
  | 'technician'
  | 'instrument'
>

/** Whether a reader of pictures told what letters these are, rather than the file itself. */
const isGuessed = (words: readonly Word[]): boolean => words.some(({ confidence }) => confidence !== undefined)

function readVins(sheet: Sheet, header: Header): void {
  const found = new Map<string, { places: Place[]; labelled: boolean }>()
  const add = (written: string, page: number, words: readonly Word[], labelled: boolean) => {
    const value = isGuessed(words) ? vinFromPicture(written) : written
    if (value === null) return
    const place = placeOf(page, words)
    const have = found.get(value)
    if (have) {
      if (!have.places.some((other) => other.page === place.page && other.box.join() === place.box.join()))
        have.places.push(place)
      have.labelled ||= labelled
    } else found.set(value, { places: [place], labelled })
  }
  for (const field of fieldsFor(sheet, 'vin')) {
    const vins = findVins(field.value, { isValue: true, misprints: true })
    for (const { vin } of vins) add(vin, field.page, field.words, true)
    if (vins.length === 0) {
      const partial = field.value.replace(/[\s*.…xX-]+/g, (gap) => (/[xX]/.test(gap) && gap.length === 1 ? gap : ''))
      // A part of the number, or one that was mistyped by a character or two: what is printed is what counts.
      if (/^(?:[A-HJ-NPR-Z0-9]{6,16}|[A-HJ-NPR-Z0-9]{18,19})$/.test(partial) && /\d{4}$/.test(partial))
        add(partial, field.page, field.words, true)
    }
  }
  for (const line of sheet.layout.lines) {
    for (const cell of line.cells) {
      for (const { vin, start, end, labelled } of findVins(cell.text, { misprints: true })) {
        let at = 0
        const words = cell.words.filter((word) => {
          const from = at
          at += word.text.length + 1
          return from < end && from + word.text.length > start
        })
        add(vin, line.page, words.length > 0 ? words : cell.words, labelled)
      }
    }
  }
  if (found.size === 0) return
  const full = [...found].sort(
    ([a, x], [b, y]) =>
      Number(b.length === 17) - Number(a.length === 17) ||
      Number(y.labelled) - Number(x.labelled) ||
      y.places.length - x.places.length,
  )
  const first = full[0]
  if (!first) return
  header.vin = first[0]
  header.vins = full.map(([value, { places }]) => ({ value, evidence: places }))
  note(sheet, 'vin', ...first[1].places)
}

/** The date of the document: labelled with a time, labelled, or standing alone near the top or beside the heading. */
function readDocumentDate(
  sheet: Sheet,
  kind: DocumentKind,
  before: number,
): { date: DateReading; place: Place; saved?: boolean } | null {
  // "Scan time: 27 Jan 2026 09:12": a label of a time of day may hold the day as well.
  const labelled = [
    ...fieldsFor(sheet, 'date'),
    ...fieldsFor(sheet, 'time').filter((field) => !field.meanings.some(({ key }) => key === 'date')),
  ]
  const dated = labelled.flatMap((field) => {
    const date = datesIn(sheet, field.value)[0]
    if (!date || isOfProcedure(sheet, field, date)) return []
    const rank = field.meanings.find(({ key }) => key === 'date' || key === 'time')?.rank ?? 0
    return [{ date, field, rank }]
  })
  // Inside a calibration's own part, dates belong to that calibration, unless nothing else is dated.
  const outside = dated.filter(({ field }) => field.line < before)
  const pool =
    outside.length > 0
      ? outside
      : dated.filter(({ field }) => !field.meanings.some(({ key }) => key === 'started' || key === 'ended'))
  // Printed at the head, it dates the document; in a footer it says when somebody pressed a button.
  const head = sheet.lines[Math.floor(sheet.lines.length / 4)]?.index ?? 0
  const weak = ({ field, rank }: (typeof pool)[number]) =>
    rank >= PARTIAL_RANK || (SAVED.test(field.label) && field.line > head)
  const ordered = [...pool].sort(
    (a, b) =>
      Number(weak(a)) - Number(weak(b)) ||
      hasTime(b.date) - hasTime(a.date) ||
      a.rank - b.rank ||
      a.field.line - b.field.line,
  )
  const best = ordered[0]
  if (isOfPicture(sheet)) {
    // The date that is meant may be one that cannot be read: no other stands in for it.
    if (lacksDate(sheet)) return null
    if (best !== undefined)
      return weak(best) ? null : { date: withTime(sheet, best.date, best.field), place: best.field.place }
    const alone = dateAlone(sheet, before)
    return alone?.underTitle ? alone : null
  }
  const atHead = best && !weak(best) ? null : dateAlone(sheet, before)
  if (atHead && hasTime(atHead.date)) return atHead
  // A record of work is dated by the work where only the printing or the day is stated.
  if (kind === 'calibration' || kind === 'alignment') {
    const run = runStart(sheet, best && !weak(best) ? best.date : undefined)
    const dayOnly = best !== undefined && hasTime(withTime(sheet, best.date, best.field)) === 0
    if (run && (!best || weak(best) || (dayOnly && run.date.local?.slice(0, 10) === best.date.local?.slice(0, 10))))
      return run
  }
  if (best && !weak(best)) return { date: withTime(sheet, best.date, best.field), place: best.field.place }
  const alone = dateAlone(sheet, before)
  if (alone && (!best || weak(best))) return alone
  if (best) return { date: withTime(sheet, best.date, best.field), place: best.field.place, saved: true }
  const started = fieldsFor(sheet, 'started').map((field) => ({ date: datesIn(sheet, field.value)[0], field }))[0]
  return started?.date ? { date: started.date, place: started.field.place } : null
}

const isOfPicture = ({ lines }: Sheet): boolean =>
  lines.some(({ cells }) => cells.some(({ words }) => isGuessed(words)))

/** Whether a label of the document's date has a value beside it that cannot be read. */
const lacksDate = ({ fields }: Sheet): boolean =>
  fields.some(
    ({ value, meanings }) =>
      isIllegible(value) && meanings.some(({ key, rank }) => (key === 'date' || key === 'time') && rank < PARTIAL_RANK),
  )

/** "Procedure: AFV 52-3942, issued 2026-04-14": the day of the service information, not of the work. */
function isOfProcedure({ fields }: Sheet, field: Field, date: DateReading): boolean {
  if (!/^(?:issued?|revised?|revision|dated|edition|released?|version)\b/i.test(field.label)) return false
  return fields.some(
    (other) =>
      other !== field &&
      other.line === field.line &&
      other.meanings.some(({ key }) => key === 'procedure') &&
      other.value.includes(date.text),
  )
}

/** Labels of the moment a file was printed or saved, which may be long after what it tells of. */
const SAVED = /print|stored|saved|export|generat|creat|archiv|^made$/i

/** The date of loss; none where a paper gives two (it may speak of an earlier loss too). */
function readLossDate(sheet: Sheet, header: Header): void {
  const dated = fieldsFor(sheet, 'lossDate').flatMap(({ value, place }) => {
    const date = datesIn(sheet, value)[0]
    return date ? [{ date, place }] : []
  })
  const [first] = dated
  if (first === undefined || dated.some(({ date }) => date.earliest !== first.date.earliest)) return
  header.lossDate = first.date
  note(sheet, 'lossDate', ...dated.map(({ place }) => place))
}

/** The earliest start of a run that carries its day, or takes it from `day`. */
function runStart(sheet: Sheet, day: DateReading | undefined): { date: DateReading; place: Place } | null {
  const starts = fieldsFor(sheet, 'started').flatMap((field) => {
    const own = datesIn(sheet, field.value)[0]
    const time = own ? null : readTimeOfDay(field.value, { context: sheet.zoneContext })
    const date = own ?? (time && day ? combine(day, time) : undefined)
    return date && hasTime(date) ? [{ date, place: field.place }] : []
  })
  return (
    starts.sort((a, b) => (a.date.earliest < b.date.earliest ? -1 : a.date.earliest > b.date.earliest ? 1 : 0))[0] ??
    null
  )
}

const hasTime = (date: DateReading) => Number((date.local ?? date.alternatives?.[0] ?? '').length > 10)

/** Date and time of day under labels of their own. */
function withTime(sheet: Sheet, date: DateReading, dateField: Field): DateReading {
  if (hasTime(date)) return date
  const time = fieldsFor(sheet, 'time').find(
    (field) =>
      Math.abs(field.line - dateField.line) <= 3 && !holdsDate(field.value) && readTimeOfDay(field.value) !== null,
  )
  const clock = time ? readTimeOfDay(time.value, { context: sheet.zoneContext }) : null
  return clock ? combine(date, clock) : date
}

/** A date without a label in the head of the first page: beneath the title, or in a corner. */
function dateAlone(sheet: Sheet, before: number): { date: DateReading; place: Place; underTitle: boolean } | null {
  for (const line of sheet.lines.filter((other) => other.page === 1 && other.index < before).slice(0, 24)) {
    for (const cell of line.cells) {
      const text = beforeLabels(sheet, cell)
      const dates = datesIn(sheet, text)
      const date = dates[0]
      if (!date || dates.length > 1) continue
      // In a line of its own under the title a date with its time is the document's, whatever word stands before it.
      const underTitle = line.cells.length === 1 && sheet.lines.indexOf(line) < 6 && hasTime(date) > 0
      if (isNamedBy(sheet, line, cell)) continue
      const rest = text.replace(date.text, ' ').trim()
      if (rest.split(/\s+/).length > 6 || /\b(?:due|valid|until|expires?|loss|accident)\b/i.test(rest)) continue
      if (!underTitle && /\b(?:issued|version|rev)\b/i.test(rest)) continue
      return { date, place: placeOfCells([cell]), underTitle }
    }
  }
  return null
}

/** What no label claims of a cell: all of it, the date that stands before its first label ("9 March 2026, RO 1180"), or nothing. */
function beforeLabels(sheet: Sheet, cell: Cell): string {
  const claimed = sheet.fields.filter(
    ({ meanings, words }) => meanings.length > 0 && words.some((word) => cell.words.includes(word)),
  )
  if (claimed.length === 0) return cell.text
  const before = cell.text.slice(0, Math.max(0, Math.min(...claimed.map(({ label }) => cell.text.indexOf(label)))))
  const date = datesIn(sheet, before)[0]
  return date && before.startsWith(date.text) ? before : ''
}

/** Whether a cell stands beside or beneath a short text that names it: the date of something else then. */
function isNamedBy(sheet: Sheet, line: Line, cell: Cell): boolean {
  const isHeading = (text: string) => sheet.vocabulary.headings.whole(sheet.vocabulary.tokens(text)).length > 0
  const names = (text: string) =>
    /\p{L}{2}/u.test(text) && !/[\d,]/.test(text) && text.split(/\s+/).length <= 4 && !isHeading(text)
  const left = line.cells[line.cells.indexOf(cell) - 1]
  if (left && left.size < 1.2 * cell.size && names(left.text)) return true
  const above = sheet.lines[sheet.lines.indexOf(line) - 1]
  if (!above || above.page !== line.page || line.gapAbove > cell.size || above.cells.length < 2) return false
  const over = above.cells.find(
    (other) => Math.min(other.box[2], cell.box[2]) - Math.max(other.box[0], cell.box[0]) > 0,
  )
  return over !== undefined && over.size <= cell.size && names(over.text)
}

const cutNote = (value: string) => value.replace(/\s*[([].*$/, '').replace(/[\s,;.]+$/, '')

/** What stands on a page without a label of its own, by its shape alone. */
function findUnlabelled<Value>(
  sheet: Sheet,
  form: RegExp,
  read: (text: string) => Value | null,
  refuse: RegExp,
): { value: Value; place: Place } | null {
  for (const line of sheet.lines) {
    for (const cell of line.cells) {
      for (const found of cell.text.matchAll(form)) {
        const around = cell.text.slice(Math.max(0, found.index - 30), found.index + found[0].length + 14)
        const before = line.cells[line.cells.indexOf(cell) - 1]?.text ?? ''
        if (refuse.test(around) || refuse.test(before)) continue
        const value = read(found[0])
        if (value !== null) return { value, place: placeOfCells([cell]) }
      }
    }
  }
  return null
}

/**
 * Reads the header facts. `before` is the first line that speaks of one sensor alone: plain "Serial" above it is the
 * instrument's, below it the sensor's. `dateIsOfSaving`: the only date is that of printing or saving, in a footer.
 */
export function readHeader(
  sheet: Sheet,
  kind: DocumentKind,
  before: number,
): { header: Header; dateIsOfSaving: boolean } {
  const header: Header = {}
  readVins(sheet, header)
  const vehicle = readVehicle(sheet)
  if (vehicle) header.vehicle = vehicle
  const date = readDocumentDate(sheet, kind, before)
  if (date) {
    header.date = date.date
    note(sheet, 'date', date.place)
  }
  readLossDate(sheet, header)
  const take = (key: LabelKey, accept: (field: Field) => boolean = () => true, to = Number.POSITIVE_INFINITY) => {
    const field = fieldsFor(sheet, key, 0, to).find(accept)
    return field ?? null
  }
  const odometer = take(
    'odometer',
    (field) =>
      readOdometer(field.value, { isValue: true }) !== null &&
      !/%|\bmph\b|km\/h/i.test(field.value) &&
      // "48" at the end of a line may be the first part of "48 247 km".
      (/\d{3}/.test(field.value.replace(/[.,'\s]/g, '')) || /mi|km/i.test(`${field.value} ${field.label}`)),
  )
  const distance = odometer && readOdometer(withUnit(odometer.label, odometer.value), { isValue: true })
  if (odometer && distance) {
    const label = fold(odometer.label)
    const labelUnit = /\bkm|kilomet/.test(label) ? 'km' : /\bmi(?:les)?\b/.test(label) ? 'mi' : null
    header.odometer = { value: distance.value, unit: distance.unit ?? labelUnit }
    if (header.odometer.unit === null) header.odometer.unit = unitBeside(sheet, odometer)
    note(sheet, 'odometer', odometer.place)
  } else {
    const alone = findUnlabelled(
      sheet,
      /(?<![\d.,-])\d{1,3}(?:[ ,.'\u00a0\u202f]\d{3})+\s?(?:mi|miles|km)\b|(?<![\d.,-])\d{4,6}\s?(?:mi|miles|km)\b/g,
      (text) => readOdometer(text),
      /drive|distance|driven|speed|range|interval|service|every|within|warranty|since|trip/i,
    )
    if (alone) {
      header.odometer = alone.value
      note(sheet, 'odometer', alone.place)
    }
  }
  const battery = take('batteryVolts', (field) => volts(sheet, field) !== null)
  if (battery) {
    header.batteryVolts = volts(sheet, battery) ?? 0
    note(sheet, 'batteryVolts', battery.place)
  } else if (kind !== 'estimate' && kind !== 'invoice') {
    const alone = findUnlabelled(
      sheet,
      /(?<![\d.,])\d{1,2}[.,]\d{1,2}\s?(?:V|volts?|VDC)\b/g,
      (text) => {
        const value = readVolts(text, { decimal: sheet.decimal })
        return value !== null && value >= 9 && value < 16 ? value : null
      },
      /sensor|circuit|signal|least|limit|min|max|below|above|threshold|reference|placard/i,
    )
    if (alone) {
      header.batteryVolts = alone.value
      note(sheet, 'batteryVolts', alone.place)
    }
  }
  const plate = take('plate', ({ value }) => fitOf('plate', value) !== null)
  if (plate) {
    header.plate = identifierIn(plate.value)
    note(sheet, 'plate', plate.place)
  }
  for (const key of ['jobNumber', 'claimNumber'] as const) {
    const field = take(key, ({ value }) => fitOf(key, value) !== null)
    if (!field) continue
    header[key] = identifierIn(field.value)
    note(sheet, key, field.place)
  }
  const technician = take('technician', ({ value }) => fitOf('technician', value) !== null)
  if (technician && kind !== 'estimate' && kind !== 'invoice') {
    header.technician = cutNote(technician.value)
      .replace(/,.*$/, '')
      .replace(/\s+-\s.*$/, '')
    note(sheet, 'technician', technician.place)
  }
  const instrument = readInstrument(sheet, kind, before)
  if (instrument) header.instrument = instrument
  return { header, dateIsOfSaving: date?.saved === true }
}

/** `reading: 58120`, beside it `unit: km`. */
function unitBeside(sheet: Sheet, field: Field): 'mi' | 'km' | null {
  const unit = sheet.fields.find(
    (other) =>
      Math.abs(other.line - field.line) <= 2 &&
      /^(?:(?:odo|odometer|mileage) ?)?(?:unit|units|uom)$/i.test(other.label) &&
      /^(?:mi|miles|km|kilomet\w*)$/i.test(other.value),
  )
  return unit ? (/^mi/i.test(unit.value) ? 'mi' : 'km') : null
}

function volts(sheet: Sheet, field: Field): number | null {
  const value = readVolts(withUnit(field.label, field.value), { decimal: sheet.decimal, isValue: true })
  return value !== null && value > 5 && value < 60 ? value : null
}
