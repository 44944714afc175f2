/** The words that a report uses for what the data name by a key. */
import type { Group, Party, Supplier } from '../checks/check.ts'
import type { DocumentKind, Sensor } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Verdict } from '../findings/report.ts'
import type { Style } from './sheet.ts'

/** What the checks of a group ask. */
export const groupQuestions: Record<Group, string> = {
  identity: 'Is it the same vehicle, sensor and job?',
  completeness: 'Is everything there that the work calls for?',
  order: 'Did it happen in an order that can be true?',
  drive: 'Did the drive take place as stated?',
  completion: 'Did each calibration come to its end?',
  faults: 'What codes are left?',
  preconditions: 'Was the vehicle fit to be calibrated?',
  documents: 'Are the files what they claim to be?',
  seal: 'Is it what was handed over?',
  billing: 'Was what is charged also done?',
  safety: 'Was it done safely?',
}

export const verdictWords: Record<Verdict, string> = {
  fail: 'FAIL',
  warn: 'WARN',
  pass: 'PASS',
  'not-checked': 'NOT CHECKED',
}

export const verdictStyles: Record<Verdict, Style> = {
  fail: 'bad',
  warn: 'doubtful',
  pass: 'good',
  'not-checked': 'quiet',
}

export const kindWords: Record<DocumentKind, string> = {
  'pre-scan': 'pre-scan (before the work)',
  'post-scan': 'post-scan (after the work)',
  scan: 'scan (before or after the work, it does not say)',
  calibration: 'calibration record',
  alignment: 'wheel alignment record',
  'drive-log': 'drive log',
  estimate: 'estimate',
  invoice: 'invoice',
  photo: 'photo',
  statement: 'written statement',
  other: 'something else',
}

export const partyWords: Record<Party, string> = {
  shop: 'shop',
  calibrator: 'calibrator',
  insurer: 'insurer',
  owner: 'owner',
}

export const supplierWords: Record<Supplier, string> = {
  shop: 'the shop',
  calibrator: 'whoever calibrated',
  insurer: 'the insurer',
  owner: 'the owner',
  'instrument-maker': "the instrument's maker",
  'vehicle-maker': "the vehicle's maker",
}

/** "the shop", "the shop or the owner", "the shop, the insurer or the owner". */
export function nameSuppliers(suppliers: readonly Supplier[]): string {
  const names = suppliers.map((supplier) => supplierWords[supplier])
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`
}

const plainNames: Partial<Record<Sensor, string>> = { other: 'another sensor', ultrasonic: 'ultrasonic sensors' }

/** "front camera", "left corner radar". */
export function nameSensor(sensor: Sensor, position: string | null | undefined): string {
  const name = plainNames[sensor] ?? sensor.replaceAll('-', ' ')
  return position ? `${position.replaceAll('-', ' ')} ${name}` : name
}

/** `scan AFTER.pdf, page 2: “…”`. A place without a page is a declared line, or a file as a whole. */
export function describePlace({ file, page, box, text }: FilePlace): string {
  const isLine = file === 'packet.yaml' && box !== undefined
  const where = isLine ? `${file}, line ${box[1]}` : page === undefined ? file : `${file}, page ${page}`
  const words = text.trim()
  return words === '' ? where : `${where}: “${words.length > 200 ? `${[...words].slice(0, 199).join('')}…` : words}”`
}

/** "1 code", "3 codes". */
export function count(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`
}
