/** What one file says, as text for a person. */
import type { CalibrationReading, DateReading, DocumentFacts, MeasuredValue } from '../facts/document.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { writeSignature } from './signature-text.ts'
import { count, kindWords, nameSensor } from './words.ts'

const kindSources: Record<DocumentFacts['kindFrom'], string> = {
  declared: 'as packet.yaml declares',
  heading: 'by its heading',
  content: 'by its content',
  name: 'by its file name alone',
  inferred: 'inferred from the rest of the packet',
}

/** The facts of one file, in the order a reader of the file would look for them; its problems first. */
export function renderDocumentText(document: DocumentFacts, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const { file, media, bytes, pages, kind, kindFrom, problems } = document
  sheet.write([span(file, 'strong')])
  const size = `${media}, ${count(bytes, 'byte')}${pages === undefined ? '' : `, ${count(pages, 'page')}`}`
  sheet.write(size, { first: '  ' })
  for (const { message } of problems) {
    sheet.write([span('PROBLEM', 'doubtful'), span(` ${message}`)], { first: '  ', rest: '          ' })
  }
  sheet.gap()
  const field = makeField(sheet)
  field('Kind', `${kindWords[kind]}, ${kindSources[kindFrom]}`)
  writeHeader(field, document)
  writeScan(sheet, document)
  writeConditions(sheet, document)
  for (const calibration of document.calibrations ?? []) writeCalibration(sheet, calibration)
  writeAlignment(sheet, document)
  writeDrive(sheet, document)
  writeOperations(sheet, document)
  writePhoto(sheet, document)
  for (const signature of document.signatures ?? []) writeSignature(sheet, signature)
  for (const { text } of document.statements ?? []) {
    sheet.gap()
    sheet.write(`It also says: “${text}”`)
  }
  return sheet.toString()
}

type Field = (label: string, text: string | number | null | undefined) => void

function makeField(sheet: Sheet, indent = 2): Field {
  return (label, text) => {
    if (text !== undefined && text !== null && text !== '') sheet.label(label, String(text), { indent, column: 14 })
  }
}

function heading(sheet: Sheet, text: string): void {
  sheet.gap()
  sheet.write([span(text, 'strong')])
}

const roleWords = { driver: 'Driver', observer: 'Observer', reviewer: 'Reviewer' } as const

function writeHeader(field: Field, document: DocumentFacts): void {
  const { odometer, vehicle, instrument, batteryVolts } = document
  field('VIN', document.vin)
  const others = (document.vins ?? []).map(({ value }) => value).filter((value) => value !== document.vin)
  if (others.length > 0) field('Other VINs', others.join(', '))
  field('Date', showDate(document.date))
  field('Date of loss', showDate(document.lossDate))
  field('Odometer', odometer && `${odometer.value} ${odometer.unit ?? '(no unit stated)'}`)
  field(
    'Vehicle',
    vehicle && [vehicle.year, vehicle.make, vehicle.model].filter((part) => part !== undefined).join(' '),
  )
  field('Plate', document.plate)
  field('Job number', document.jobNumber)
  field('Claim number', document.claimNumber)
  field('Battery', batteryVolts === undefined ? undefined : `${batteryVolts} V`)
  field('Technician', document.technician)
  writeBarcodes(field, document.barcodes)
  field('Instrument', instrument?.name)
  field('  serial', instrument?.serial)
  field('  software', instrument?.software)
  field('  data', instrument?.calibrationData)
  field('  valid until', showDate(instrument?.checkedUntil))
  field('  checked on', showDate(instrument?.checkedOn))
  for (const { name, role } of document.people ?? []) field(roleWords[role], name)
}

function showDate(date: DateReading | null | undefined): string | undefined {
  if (!date) return undefined
  const { text, local, offset, alternatives = [] } = date
  if (local === null) return `${text} (day and month cannot be told apart: ${alternatives.join(' or ')})`
  const zone = local.includes('T') ? `, ${offset ?? 'no zone stated'}` : ''
  const plain = local.replace('T', ' ')
  return plain === text.replace('T', ' ') ? `${plain}${zone}` : `${plain}${zone} (printed “${text}”)`
}

const stateWords = {
  'no-fault': 'no fault',
  fault: 'fault',
  'no-response': 'no response',
  'not-fitted': 'not fitted',
  unknown: 'state not told',
} as const

const testWords = {
  completed: 'test completed since the codes were cleared',
  'not-since-clear': 'test not completed since the codes were cleared',
  'not-this-cycle': 'test not completed in this cycle',
} as const

function writeScan(sheet: Sheet, document: DocumentFacts): void {
  const { codes, modules, statedCodeCount, unreadCodes = [], sinceClear } = document
  if (codes !== undefined) {
    heading(sheet, codes.length === 0 ? 'Codes: none listed' : `Codes (${codes.length})`)
    for (const { code, failureType, module, status, text, test } of codes) {
      const name = failureType === null ? code : `${code}-${failureType}`
      const tested = test && testWords[test]
      const rest = [module, status === 'unknown' ? 'status not told' : status, text, tested].filter(Boolean).join(', ')
      sheet.label(name, rest, { indent: 2, column: 14 })
    }
    if (typeof statedCodeCount === 'number')
      sheet.write(`The file itself counts ${count(statedCodeCount, 'code')}.`, { first: '  ' })
    for (const { text, likely } of unreadCodes)
      sheet.write(`Not read as a code: “${text}”${likely === undefined ? '' : `, which looks like ${likely}`}`, {
        first: '  ',
      })
    if (sinceClear !== undefined) sheet.write(`Since the codes were cleared: “${sinceClear.text}”`, { first: '  ' })
  }
  if (modules === undefined || modules.length === 0) return
  heading(sheet, `Modules (${modules.length})`)
  for (const state of ['fault', 'no-response', 'unknown', 'not-fitted', 'no-fault'] as const) {
    const names = modules.filter((module) => module.state === state).map(({ name }) => name)
    if (names.length > 0) sheet.label(stateWords[state], names.join('; '), { indent: 2, column: 16 })
  }
}

function writeConditions(sheet: Sheet, { conditions = [] }: DocumentFacts): void {
  if (conditions.length === 0) return
  heading(sheet, 'Conditions')
  for (const { about, wheel, text, value, unit, least, most, wanted, stated } of conditions) {
    const name = `${about.replaceAll('-', ' ')}${wheel === undefined ? '' : `, ${wheel.replace('-', ' ')}`}`
    const figure = value === undefined ? '' : ` = ${value}${unit === undefined ? '' : ` ${unit}`}`
    const placard = wanted === undefined ? '' : `, placard ${wanted}`
    const limits = least === undefined && most === undefined ? '' : `, limits ${least ?? 'none'} to ${most ?? 'none'}`
    const called = stated === undefined ? '' : stated === 'ok' ? ', stated in order' : ', stated out of order'
    sheet.write(`${name}: “${text}”${figure}${placard}${limits}${called}`, { first: '  - ', rest: '    ' })
  }
}

function writeCalibration(sheet: Sheet, calibration: CalibrationReading): void {
  const { sensor, position, method, outcome, progressPercent, durationSeconds, distanceMetres } = calibration
  heading(sheet, `Calibration: ${nameSensor(sensor, position)}${method === 'unknown' ? '' : `, ${method}`}`)
  const field = makeField(sheet)
  field('Outcome', outcome === 'unknown' ? 'not told' : outcome.replaceAll('-', ' '))
  field('Progress', progressPercent === undefined ? undefined : `${progressPercent} %`)
  field('Named', calibration.name)
  field('Started', showDate(calibration.started))
  field('Ended', showDate(calibration.ended))
  field('Duration', durationSeconds === undefined ? undefined : showDuration(durationSeconds))
  field('Distance', distanceMetres === undefined ? undefined : showDistance(distanceMetres))
  field('Serial', calibration.serial)
  field('Part', calibration.part)
  field('Procedure', calibration.procedure)
  field('Attempts', calibration.attemptCount)
  for (const value of calibration.values ?? []) sheet.write(showValue(value), { first: '  - ', rest: '    ' })
  for (const [index, attempt] of (calibration.attempts ?? []).entries()) {
    const progress = attempt.progressPercent === undefined ? '' : `, ${attempt.progressPercent} %`
    const at = showDate(attempt.at)
    field(`Attempt ${index + 1}`, `${attempt.outcome.replaceAll('-', ' ')}${progress}${at ? `, ${at}` : ''}`)
  }
}

function showValue({ name, value, unit, least, most, stated }: MeasuredValue): string {
  const limits = least === undefined && most === undefined ? '' : ` (limits ${least ?? 'none'} to ${most ?? 'none'})`
  const judged = stated === null ? '' : stated === 'ok' ? ', stated in limits' : ', stated out of limits'
  return `${name}: ${value}${unit === null ? '' : ` ${unit}`}${limits}${judged}`
}

function writeAlignment(sheet: Sheet, { alignment }: DocumentFacts): void {
  if (alignment === undefined) return
  heading(sheet, 'Wheel alignment')
  const field = makeField(sheet)
  field('Outcome', alignment.outcome === 'unknown' ? 'not told' : alignment.outcome.replaceAll('-', ' '))
  field('Ended', showDate(alignment.ended))
  for (const value of alignment.values) sheet.write(showValue(value), { first: '  - ', rest: '    ' })
}

function writeDrive(sheet: Sheet, { drive }: DocumentFacts): void {
  if (drive === undefined) return
  heading(sheet, 'Drive')
  const field = makeField(sheet)
  field('Started', showDate(drive.started))
  field('Ended', showDate(drive.ended))
  field('Duration', drive.durationSeconds === null ? null : showDuration(drive.durationSeconds))
  field('Moving', drive.movingSeconds === null ? null : showDuration(drive.movingSeconds))
  field('Distance', drive.distanceMetres === null ? null : showDistance(drive.distanceMetres))
  field('Mean speed', showSpeed(drive.meanSpeedKmh))
  field('Top speed', showSpeed(drive.maxSpeedKmh))
  field('Points', drive.points === 0 ? null : drive.points)
}

const showDuration = (seconds: number): string => {
  const whole = Math.round(seconds)
  return whole < 60 ? `${whole} s` : `${Math.floor(whole / 60)} min ${whole % 60} s`
}
const round = (value: number): string => String(Math.round(value * 10) / 10)
const showDistance = (metres: number): string => `${round(metres / 1000)} km (${round(metres / 1609.344)} mi)`
const showSpeed = (kmh: number | null): string | null =>
  kmh === null ? null : `${round(kmh)} km/h (${round(kmh / 1.609344)} mph)`

function writeOperations(sheet: Sheet, { operations = [] }: DocumentFacts): void {
  if (operations.length === 0) return
  heading(sheet, `Lines of work (${operations.length})`)
  for (const { text, amount, calls, kind } of operations) {
    const needs =
      kind !== 'calibration' && calls.length > 0
        ? `; usually calls for: ${calls.map((call) => nameSensor(call, null)).join(', ')}`
        : ''
    sheet.write(`${text}${amount === undefined ? '' : `, ${amount.toFixed(2)}`}${needs}`, {
      first: '  - ',
      rest: '    ',
    })
  }
}

type Photo = NonNullable<DocumentFacts['photo']>

const showQuantisation = ({ mark, quality }: NonNullable<Photo['quantisation']>): string =>
  quality === null ? `tables of its own (${mark})` : `standard tables, quality ${quality}`

const showThumbnail = ({ width, height, levels }: NonNullable<Photo['thumbnail']>): string =>
  `${width} by ${height} pixels${levels === null ? '' : `, differs by ${round(levels)} of 256 levels`}`

const writeBarcodes = (field: Field, barcodes: DocumentFacts['barcodes'] = []): void => {
  for (const { symbology, text } of barcodes) field('Barcode', `${text} (${symbology})`)
}

const tellSource = (from: NonNullable<Photo['subject']>['from']): string =>
  from === 'declared' ? kindSources.declared : `by its ${from.replaceAll('-', ' ')}`

function writePhoto(sheet: Sheet, { photo }: DocumentFacts): void {
  if (photo === undefined) return
  heading(sheet, 'Photo')
  const field = makeField(sheet)
  field('Taken', showDate(photo.taken) ?? 'the picture does not say')
  field('Place', photo.location?.join(', '))
  field('Camera', photo.camera)
  field('Lens', photo.lens)
  field('Serial', photo.serial)
  field('Software', photo.software)
  field('Size', photo.size && `${photo.size.width} by ${photo.size.height} pixels`)
  const { statedSize: stated, quantisation } = photo
  field('Stated size', stated && `${stated.width} by ${stated.height} pixels`)
  field('Compression', quantisation && showQuantisation(quantisation))
  field('Small copy', photo.thumbnail && showThumbnail(photo.thumbnail))
  field('Shows', photo.subject && `${photo.subject.shows} (${tellSource(photo.subject.from)})`)
  for (const caption of photo.captions ?? []) field('Caption', caption)
  for (const { kind, text } of photo.marks ?? []) field('Mark', `${text} (${kind.replaceAll('-', ' ')})`)
  writeBarcodes(field, photo.barcodes)
}
