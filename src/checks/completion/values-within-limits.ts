/**
 * Measured values against the limits printed beside them, in calibration records and alignment reports. Final values
 * count, and not those that say to be from before the work; where a report gives one of a name outside and another within
 * the same limits further down, it may be the same value before and after. A value far outside limits that lie evenly about zero may be a nominal value with its tolerance, and
 * is then for a person to look at.
 */
import type { DocumentFacts, MeasuredValue } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords, completedAfter, finalAttempt } from '../calibrations.ts'
import type { Check, DataValue, Outcome } from '../check.ts'
import { listParameter, numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces, findPlaces } from '../places.ts'

export const valuesWithinLimits: Check = {
  id: 'values-within-limits',
  group: 'completion',
  claim: 'Every measured value lies within the limits printed beside it.',
  messages: {
    within: { state: 'met', text: '{work} ({file}): {count} values lie within their limits.' },
    outside: {
      state: 'unmet',
      text: '{work} ({file}): {name} is {value}, outside the limits {limits} printed beside it.',
    },
    'stated-out': { state: 'unmet', text: '{work} ({file}): {name} is {value}, and the record says that it is out.' },
    near: {
      state: 'unmet',
      text: '{work} ({file}): {name} is {value}, within {nearPercent} % of the end of its limits {limits}.',
    },
    'limits-unclear': {
      state: 'undecided',
      text: '{work} ({file}): {name} is {value} beside {limits}, which may be a tolerance about another value.',
    },
    'given-again': {
      state: 'undecided',
      text: '{work} ({file}): {name} is {value}, outside the limits {limits}, and further down a value of that name lies within them.',
    },
    'no-values': { state: 'undecided', text: 'No record of the packet gives measured values with their limits.' },
  },
  parameters: {
    nearShare: 'A value nearer to a limit than this share of the range between the two limits is near it.',
    farTimes: 'A value this many times beyond limits about zero may have a nominal value that was not read.',
    earlierWords: 'Words of a name, in lower case, that say that the value is from before the work.',
  },
  remedy: 'The record of a repeated measurement, or the procedure that states other limits.',
  suppliers: ['calibrator'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'a calibration outside its own limits',
    owner: 'driving with a sensor that may not be aimed',
  },
  collect: [
    {
      step: 'papers',
      per: 'calibration',
      text: 'The page of the record of {subject} with its measured values and limits',
    },
  ],
  run(packet, parameters) {
    const outcomes = listMeasurements(packet).flatMap((measurement) => judge(measurement, parameters))
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-values', data: {}, evidence: [] }]
  },
}

interface Measurement {
  document: DocumentFacts
  work: string
  /** Dotted path of the values. */
  path: string
  values: readonly MeasuredValue[]
}

/** A run that a completed one followed was measured again; a run that failed has said so. */
function listMeasurements(packet: Packet): Measurement[] {
  const records = calibrationRecords(packet)
  const calibrations = records.flatMap((record): Measurement[] => {
    const { document, index, reading, label } = record
    const isFinal = finalAttempt(reading).outcome === 'completed' || !completedAfter(packet, records, record)?.certain
    if (reading.values === undefined || !isFinal) return []
    return [{ document, work: label, path: `calibrations.${index}.values`, values: reading.values }]
  })
  const alignments = packet.documents.flatMap((document): Measurement[] => {
    const values = document.alignment?.values ?? []
    return [{ document, work: 'wheel alignment', path: 'alignment.values', values }]
  })
  return [...calibrations, ...alignments]
}

/** Differences of printed decimals are no exact binary fractions. */
const binaryNoise = 1e-9

type Message = 'within' | 'outside' | 'given-again' | 'stated-out' | 'near' | 'limits-unclear'

function judge({ document, work, path, values }: Measurement, parameters: Parameters): Outcome[] {
  const nearShare = numberParameter(parameters, 'nearShare')
  const farTimes = numberParameter(parameters, 'farTimes')
  const earlier = listParameter(parameters, 'earlierWords')
  const judged = values.flatMap((value, index) => {
    if (isEarlier(value.name, earlier)) return []
    const weighed = weigh(value, nearShare, farTimes)
    const message = weighed === 'outside' && isGivenAgain(values, index) ? 'given-again' : weighed
    return message === null ? [] : [{ value, message, evidence: findPlaces(document, `${path}.${index}`, value.name) }]
  })
  if (judged.length === 0) return []
  const base: Record<string, DataValue> = { work, file: document.file, nearPercent: nearShare * 100 }
  const wrong = judged.filter(({ message }) => message !== 'within')
  if (wrong.length === 0) {
    const evidence = distinctPlaces(judged.flatMap((each) => each.evidence))
    return [{ state: 'met', message: 'within', data: { ...base, count: judged.length }, evidence }]
  }
  return wrong.map(({ value, message, evidence }): Outcome => {
    const data = { ...base, name: value.name, value: withUnit(value.value, value), limits: limitsOf(value) }
    const isOpen = message === 'limits-unclear' || message === 'given-again'
    return { state: isOpen ? 'undecided' : 'unmet', message, data, evidence }
  })
}

/** "Pitch before", "as found"; the angle before a drive is one that the drive asks for. */
function isEarlier(name: string, earlierWords: readonly string[]): boolean {
  const words = ` ${name.toLowerCase().replace(/[^\p{L}]+/gu, ' ')} `
  const beforeDrive = /\bbefore (?:the )?(?:drive|road|run|learning)\b/.test(words)
  return !beforeDrive && earlierWords.some((word) => words.includes(` ${word} `))
}

/** The same name and limits once more further down, and within them. */
function isGivenAgain(values: readonly MeasuredValue[], index: number): boolean {
  const value = values[index]
  const isSame = (other: MeasuredValue) =>
    other.name === value?.name &&
    other.least === value.least &&
    other.most === value.most &&
    weigh(other, 0, Number.POSITIVE_INFINITY) === 'within'
  return values.slice(index + 1).some(isSame)
}

function weigh({ value, least, most, stated }: MeasuredValue, nearShare: number, farTimes: number): Message | null {
  const isOutside = (least !== undefined && value < least) || (most !== undefined && value > most)
  const isEven = least !== undefined && most !== undefined && least === -most
  if (isOutside && isEven && stated !== 'out' && Math.abs(value) > farTimes * most) return 'limits-unclear'
  if (isOutside) return 'outside'
  if (stated === 'out') return 'stated-out'
  if (least === undefined && most === undefined) return stated === 'ok' ? 'within' : null
  if (least === undefined || most === undefined) return 'within'
  const room = Math.min(value - least, most - value)
  // A limit that ends at zero is often an end that nothing can pass: no seam error is the best there is.
  const atNaturalEnd = (least === 0 && value - least === room) || (most === 0 && most - value === room)
  return room < nearShare * (most - least) - binaryNoise && !atNaturalEnd ? 'near' : 'within'
}

function withUnit(number: number, { unit }: MeasuredValue): string {
  return unit === null ? `${number}` : `${number} ${unit}`
}

function limitsOf(value: MeasuredValue): string {
  const { least, most } = value
  if (least !== undefined && most !== undefined) return `${least} to ${withUnit(most, value)}`
  if (least !== undefined) return `at least ${withUnit(least, value)}`
  return most === undefined ? '' : `at most ${withUnit(most, value)}`
}
