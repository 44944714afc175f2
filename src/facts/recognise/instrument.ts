/** The instrument that made a record: its name, serial and versions, and until when its own check or licence holds. */
import type { DateReading, DocumentKind, InstrumentReading } from '../document.ts'
import { placeOfCells } from '../layout.ts'
import type { Field } from '../page/fields.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import type { Place } from '../reading.ts'
import type { LabelKey } from '../vocabulary.ts'
import { datesIn, fieldsFor, identifierIn, note, type Sheet } from './sheet.ts'

/**
 * What a record says of its instrument; undefined where it says nothing, and on papers that no instrument makes. `before`
 * is the first line that speaks of one sensor alone: a plain "Serial" below it is the sensor's.
 */
export function readInstrument(sheet: Sheet, kind: DocumentKind, before: number): InstrumentReading | undefined {
  if (kind === 'estimate' || kind === 'invoice') return undefined
  const instrument: InstrumentReading = {}
  readIdentity(sheet, instrument, before)
  readSoftware(sheet, instrument, before)
  readData(sheet, instrument, kind)
  if (kind !== 'statement' && kind !== 'other') readValidity(sheet, instrument)
  return Object.keys(instrument).length > 0 ? instrument : undefined
}

function readIdentity(sheet: Sheet, instrument: InstrumentReading, before: number): void {
  const { labels, tokens } = sheet.vocabulary
  const explicit = ({ meanings, label }: Field) =>
    ![...meanings, ...labels.whole(tokens(label))].some(({ key }) => key === 'serial' || key === 'part')
  const usable = (field: Field) => explicit(field) || field.line < before || isBesideName(sheet, field)
  const names = fieldsFor(sheet, 'instrumentName').filter((field) => /\p{L}{2}/u.test(field.value))
  const name = names.find((field) => field.line < before) ?? names[0]
  if (name) {
    // "Aligner Corvane G4, serial CG4-5510, program 3.8"
    instrument.name = name.value.replace(/[,;].*$/, '')
    note(sheet, 'instrument.name', name.place)
  }
  const serial = [...fieldsFor(sheet, 'instrumentSerial')]
    .filter(usable)
    .sort(
      (a, b) =>
        Number(explicit(b)) - Number(explicit(a)) || Number(isBesideName(sheet, b)) - Number(isBesideName(sheet, a)),
    )[0]
  if (!serial) return
  instrument.serial = identifierIn(serial.value)
  note(sheet, 'instrument.serial', serial.place)
}

/** Is the instrument named on the field's own line, or on the line above it in the same column? */
export function isBesideName(sheet: Sheet, field: Field): boolean {
  return fieldsFor(sheet, 'instrumentName').some(({ line, page, meanings, labelPlace }) => {
    if (page !== field.page || !meanings.some(({ key, rank }) => key === 'instrumentName' && rank < PARTIAL_RANK))
      return false
    return line === field.line || (line === field.line - 1 && Math.abs(labelPlace.box[0] - field.labelPlace.box[0]) < 3)
  })
}

function readSoftware(sheet: Sheet, instrument: InstrumentReading, before: number): void {
  const versions = fieldsFor(sheet, 'instrumentSoftware').filter(
    ({ value }) => /\d/.test(value) && !/licen[cs]e|expir|valid/i.test(value),
  )
  const software = versions.find((field) => field.line < before) ?? versions[0]
  if (software) {
    const value = software.value.replace(/[,;].*$/, '')
    instrument.software = value.includes('(') ? value : value.replace(/[).]+$/, '')
    note(sheet, 'instrument.software', software.place)
    return
  }
  // "Workshop Suite 12.4.3" in the head of the page: a version that no label names.
  for (const line of sheet.lines.slice(0, 4)) {
    const version = /(?<![\d.])\d{1,4}\.\d{1,3}\.\d{1,5}(?![\d.])/.exec(line.text)?.[0]
    if (version === undefined || datesIn(sheet, line.text).some((date) => date.text.includes(version))) continue
    instrument.software = version
    note(sheet, 'instrument.software', placeOfCells(line.cells))
    return
  }
}

/** Of the labels for a set of data, those that can mean nothing but the data that the instrument calibrates by. */
const OWN_DATA = /calibrat|target|adjust|aim/i

function readData(sheet: Sheet, instrument: InstrumentReading, kind: DocumentKind): void {
  const field = fieldsFor(sheet, 'calibrationData').find(({ label, value, meanings }) => {
    const known = meanings.some(({ key, rank }) => key === 'calibrationData' && rank < PARTIAL_RANK)
    const meant = kind === 'calibration' || OWN_DATA.test(label)
    return known && meant && /\d/.test(value) && value.split(/\s+/).length <= 4
  })
  if (!field) return
  instrument.calibrationData = field.value.replace(/[\s,;.]+$/, '')
  note(sheet, 'instrument.calibrationData', field.place)
}

/** Words for the instrument, or for what is valid of nothing else on a record that an instrument made. */
const INSTRUMENT =
  /\b(?:instrument|tool|tester|device|scanner|interface|station|bench|rig|aligner|machine|console|equipment|apparatus|self[- ]?(?:test|check)|unit check|sensors checked|subscription|software)\b/i

/** A licence and whatever is only "valid until" are the instrument's where they stand among its own lines. */
const OTHERS =
  /plate|driv|vehicle|insur|policy|warrant|guarant|payment|payable|estimate|quote|offer|invoice|customer|registration|emission|tire|tyre|road|tax|card|member|bill/i
/** A vehicle is serviced as well as an instrument: whose service is due, the neighbours of the line must say. */
const SERVICE = /\bservice\b/i

const UNTIL = /\b(?:due|until|till|valid|through|thru|expir\w*|renew\w*|next|to)\b/i
const SINCE = /\b(?:last|verified|checked|inspected|calibrated)\b/i

const IDENTITY: readonly LabelKey[] = ['instrumentName', 'instrumentSerial', 'instrumentSoftware', 'calibrationData']

const VEHICLE: readonly LabelKey[] = ['vin', 'odometer', 'vehicle', 'model', 'year', 'plate']

/** Does a line within `most` of the field's tell one of `keys`? */
function isNear(sheet: Sheet, field: Field, keys: readonly LabelKey[], most: number): boolean {
  return sheet.fields.some((other) => {
    const named = other.meanings.some(({ key, rank }) => rank < PARTIAL_RANK && keys.includes(key))
    return named && other.page === field.page && Math.abs(other.line - field.line) <= most
  })
}

/** Do the lines around a label that does not say so show that it speaks of the instrument? */
function isOfInstrument(sheet: Sheet, field: Field): boolean {
  if (!SERVICE.test(field.label)) return isNear(sheet, field, IDENTITY, 2)
  return isNear(sheet, field, IDENTITY, 1) && !isNear(sheet, field, VEHICLE, 2)
}

interface Validity {
  key: 'checkedUntil' | 'checkedOn'
  date: DateReading
  place: Place
}

function validityOf(sheet: Sheet, field: Field): Validity | null {
  const { label, value, place } = field
  const date = datesIn(sheet, value)[0]
  if (!date || (OTHERS.test(label) && !INSTRUMENT.test(label))) return null
  if (!INSTRUMENT.test(label) && !isOfInstrument(sheet, field)) return null
  // "Self-test 31 Jan 2027" says neither when it was made nor how long it holds.
  if (UNTIL.test(label)) return { key: 'checkedUntil', date, place }
  return SINCE.test(label) ? { key: 'checkedOn', date, place } : null
}

/** "Instrument self-test valid until 08/31/2026." in a sentence of its own. */
const SENTENCE =
  /\b(?:instrument|tool|tester|device|scanner|interface|station|aligner)\b[^.:;]{0,30}\b(?:valid|in date|good) (?:until|till|to|through)\b(.{6,40})/i

function readValidity(sheet: Sheet, instrument: InstrumentReading): void {
  const take = ({ key, date, place }: Validity): void => {
    if (instrument[key] !== undefined) return
    instrument[key] = date
    note(sheet, `instrument.${key}`, place)
  }
  for (const field of fieldsFor(sheet, 'expiry')) {
    const validity = validityOf(sheet, field)
    if (validity) take(validity)
  }
  for (const line of sheet.lines) {
    const date = datesIn(sheet, SENTENCE.exec(line.text)?.[1] ?? '')[0]
    if (date) take({ key: 'checkedUntil', date, place: placeOfCells(line.cells) })
  }
}
