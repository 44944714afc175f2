/**
 * What a record states that hardly comes out the same twice, and how much it tells where it does: times of day, voltages,
 * measured values, serial numbers. A bit is one halving of the chance that two honest records agree. How many each is
 * worth is our own caution, no source: small for what instruments round or nominal values repeat.
 */
import type { DateReading, DocumentFacts, MeasuredValue } from '../../facts/document.ts'

/** One statement by its name; `bits` is what agreement tells. */
export interface Mark {
  name: string
  value: string
  bits: number
}

/** Marks of a record, by name in code units. */
export function marksOf(document: DocumentFacts): Mark[] {
  const found = [
    ...timeMark('time', document.date),
    ...numberMark('volts', document.batteryVolts, 6),
    ...(document.odometer === undefined ? [] : [{ name: 'odometer', value: `${document.odometer.value}`, bits: 10 }]),
    ...codeMarks(document),
    ...(document.calibrations ?? []).flatMap((calibration, at) => [
      ...timeMark(`calibration.${at}.started`, calibration.started),
      ...timeMark(`calibration.${at}.ended`, calibration.ended),
      ...durationMark(`calibration.${at}.seconds`, calibration.durationSeconds),
      ...(calibration.serial === undefined
        ? []
        : [{ name: `calibration.${at}.serial`, value: calibration.serial.toUpperCase(), bits: 16 }]),
      ...valueMarks(`calibration.${at}`, calibration.values ?? []),
    ]),
    ...valueMarks('alignment', document.alignment?.values ?? []),
    ...numberMark('since-clear', document.sinceClear?.metres, 6),
  ]
  return [...new Map(found.map((mark) => [mark.name, mark])).values()].sort((a, b) => (a.name < b.name ? -1 : 1))
}

/** The time of day alone: whoever gives a record another day may leave it. */
function timeMark(name: string, date: DateReading | undefined): Mark[] {
  const time = date?.local?.slice(11) ?? ''
  return time.length < 5 ? [] : [{ name, value: time, bits: time.length > 5 ? 12 : 7 }]
}

function durationMark(name: string, seconds: number | undefined): Mark[] {
  return seconds === undefined ? [] : [{ name, value: `${seconds}`, bits: seconds % 60 === 0 ? 2 : 6 }]
}

/** Two bits a digit that is not a zero at either end, for "12.60" and "0.0" are what instruments round to. */
function numberMark(name: string, value: number | undefined, most: number): Mark[] {
  if (value === undefined) return []
  const digits = `${Math.abs(value)}`.replace('.', '').replace(/^0+|0+$/g, '').length
  return [{ name, value: `${value}`, bits: Math.min(most, 2 * digits) }]
}

/** Codes follow from the damage, so two repairs of one kind share them: worth little, however many there are. */
function codeMarks({ codes = [] }: DocumentFacts): Mark[] {
  if (codes.length === 0) return []
  const value = codes
    .map(({ code, failureType, status }) => `${code}-${failureType ?? ''} ${status}`)
    .sort()
    .join(', ')
  return [{ name: 'codes', value, bits: Math.min(6, codes.length) }]
}

function valueMarks(place: string, values: readonly MeasuredValue[]): Mark[] {
  return values.flatMap(({ name, value, least, most }, at) =>
    value === least || value === most ? [] : numberMark(`${place}.${at} ${name.toLowerCase()}`, value, 6),
  )
}

export interface MarkComparison {
  /** Bits of the marks that both state alike. */
  agreeing: number
  /** Bits of what was measured and differs. */
  differing: number
  /** Names of the agreeing ones, the most telling first. */
  names: string[]
}

/** What whoever gives a report to another vehicle changes: that it differs speaks for nobody. */
const isChanged = (name: string): boolean => name === 'odometer' || name === 'time' || /\.(?:started|ended)$/.test(name)

/** Compares what two records both state. */
export function compareMarks(one: readonly Mark[], other: readonly Mark[]): MarkComparison {
  const values = new Map(other.map(({ name, value }) => [name, value]))
  const both = one.filter(({ name }) => values.has(name))
  const same = both.filter(({ name, value }) => values.get(name) === value)
  const measured = both.filter(({ name, value }) => values.get(name) !== value && !isChanged(name))
  const names = same.toSorted((a, b) => b.bits - a.bits).filter(({ bits }) => bits >= 2)
  return { agreeing: totalBits(same), differing: totalBits(measured), names: names.map(({ name }) => name) }
}

/** Bits of all marks of a record. */
export const totalBits = (marks: readonly Mark[]): number => marks.reduce((bits, mark) => bits + mark.bits, 0)
