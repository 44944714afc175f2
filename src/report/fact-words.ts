/** Facts by the names that people use. */
import type { FactChange } from '../compare/comparison.ts'

/** Keys whose name is not what they spell. Of lists: one entry. */
const names: Readonly<Record<string, string>> = {
  vin: 'VIN',
  vins: 'further VIN',
  codes: 'code',
  modules: 'module',
  unreadCodes: 'text that is no code',
  conditions: 'condition',
  calibrations: 'calibration',
  operations: 'line of work',
  people: 'person',
  statements: 'statement',
  signatures: 'signature',
  problems: 'reading problem',
  repairs: 'repair',
  notNeeded: 'calibration not needed',
  values: 'value',
  attempts: 'attempt',
  readings: 'progress',
  barcodes: 'bar code',
  files: 'file',
  kind: 'kind of record',
  media: 'file format',
  lossDate: 'date of loss',
}

const lists: ReadonlySet<string> = new Set([
  'vins',
  'codes',
  'modules',
  'unreadCodes',
  'conditions',
  'calibrations',
  'operations',
  'people',
  'statements',
  'signatures',
  'problems',
  'barcodes',
  'repairs',
  'notNeeded',
  'files',
])

const spell = (key: string): string => names[key] ?? key.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)

/** "VIN", "instrument serial", "status of code C1A67-54, Front camera". */
export function nameFact({ fact, about }: Pick<FactChange, 'fact' | 'about'>): string {
  const keys = fact.split('.')
  const [first = '', ...rest] = keys
  // The value of an odometer is the odometer; that of a list entry is a value.
  if (rest.at(-1) === 'value' && !lists.has(first) && about === '') rest.pop()
  const last = rest.at(-1)
  if (about === '') return capitalise([first, ...rest].map(spell).join(' '))
  if (last === undefined) return capitalise(`${spell(first)} ${about}`)
  return capitalise(`${spell(last)} of ${spell(first)} ${about}`)
}

const capitalise = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1)
