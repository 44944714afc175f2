/**
 * The zero point of the steering angle. A wheel alignment moves what "straight ahead" is, and a disconnected battery can
 * make the sensor forget it; systems that steer or follow lanes rely on it.
 */
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords, finalAttempt, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces, findDeclaredPlaces, findPlaces } from '../places.ts'
import type { ProcedureEntry } from '../procedures.ts'
import { findPossibleRecords, listFiles } from '../unread.ts'
import { findConditions, findPrepared, isOut, preparationSources, type StatedCondition } from './stated-conditions.ts'

export const steeringAngleZeroed: Check = {
  id: 'steering-angle-zeroed',
  group: 'preconditions',
  claim: 'After work that can move it, the zero point of the steering angle was set or shown to be right.',
  messages: {
    out: { state: 'unmet', text: '{file} states "{text}" for the steering angle, which is out of its limits.' },
    'too-far': {
      state: 'unmet',
      text: '{file} states a steering angle of {value} degrees when straight ahead, more than the {most} usually allowed.',
    },
    'not-recorded': {
      state: 'unmet',
      text: '{because} can move the zero point of the steering angle; no file records that it was set or checked.',
    },
    set: { state: 'met', text: 'The zero setting of the steering angle is recorded in {files}.' },
    straight: { state: 'met', text: 'Steering straight, or its angle in limits, is recorded in {files}.' },
    'maybe-unread': {
      state: 'undecided',
      text: 'The zero point may be recorded in {files}, not all of which was read.',
    },
    'not-applicable': {
      state: 'undecided',
      text: 'Nothing in the packet calls for a zero setting of the steering angle.',
    },
  },
  parameters: { mostDegrees: 'Largest steering angle when straight ahead, in degrees, where no limits are printed.' },
  remedy: 'A record of the zero setting, or of the steering angle when straight ahead.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'a vehicle that thinks it is steering while it goes straight',
    calibrator: 'a sensor aimed by a steering angle that is off',
  },
  collect: [
    {
      step: 'alignment',
      per: 'alignment',
      text: 'Save the record of the zero setting of the steering angle, or its value when straight ahead',
    },
  ],
  run(packet, parameters, procedures) {
    const most = numberParameter(parameters, 'mostDegrees')
    const stated = findConditions(packet, ['steering-zero'])
    const unmet = stated.flatMap((one) => judgeAngle(one, most))
    if (unmet.length > 0) return unmet
    const records = calibrationRecords(packet).filter(
      ({ reading }) => reading.sensor === 'steering-angle' && finalAttempt(reading).outcome === 'completed',
    )
    if (records.length > 0) {
      const files = [...new Set(records.map(({ document }) => document.file))]
      const evidence = records.flatMap((record) => placesOfRecord(record, 'outcome'))
      return [{ state: 'met', message: 'set', data: { files }, evidence }]
    }
    if (stated.length > 0) {
      const files = [...new Set(stated.map(({ document }) => document.file))]
      const evidence = distinctPlaces(stated.flatMap(({ places }) => places))
      return [{ state: 'met', message: 'straight', data: { files }, evidence }]
    }
    return [judgeSilence(packet, procedures)]
  },
}

function judgeAngle({ document, condition, places }: StatedCondition, most: number): Outcome[] {
  const { file } = document
  if (isOut(condition))
    return [{ state: 'unmet', message: 'out', data: { file, text: condition.text }, evidence: places }]
  const { value, least, most: limit } = condition
  if (value === undefined || least !== undefined || limit !== undefined || Math.abs(value) <= most) return []
  return [{ state: 'unmet', message: 'too-far', data: { file, value, most }, evidence: places }]
}

function judgeSilence(packet: Packet, procedures: readonly ProcedureEntry[]): Outcome {
  const prepared = findPrepared(packet, procedures, ['steering-angle'])
  const causes = findCauses(packet)
  if (causes.length === 0 && prepared.length === 0)
    return { state: 'undecided', message: 'not-applicable', data: {}, evidence: [] }
  const unread = findPossibleRecords(packet, ['calibration', 'alignment', 'statement'])
  if (unread.length > 0)
    return { state: 'undecided', message: 'maybe-unread', data: { files: listFiles(unread) }, evidence: [] }
  const because = causes[0]?.what ?? prepared[0]?.record.label ?? ''
  const evidence = [
    ...causes.flatMap(({ places }) => places),
    ...prepared.flatMap(({ record }) => placesOfRecord(record, 'sensor')),
  ]
  const sources = preparationSources(prepared)
  return { state: 'unmet', message: 'not-recorded', data: { because }, evidence: distinctPlaces(evidence), sources }
}

const BATTERY =
  /\bbatter(?:y|ies)\b.{0,30}\b(?:disconnect|replac|renew|exchang)|\b(?:disconnect|replac|renew|exchang)\w*\b.{0,30}\bbatter(?:y|ies)\b/i

interface Cause {
  what: string
  places: FilePlace[]
}

/** A recorded or charged wheel alignment, and a battery that was disconnected or replaced. */
function findCauses(packet: Packet): Cause[] {
  const inFiles = packet.documents.flatMap((document): Cause[] => {
    if (document.kind === 'alignment')
      return [{ what: `The wheel alignment of ${document.file}`, places: findPlaces(document, 'alignment.outcome') }]
    // An estimate says what was planned.
    if (document.kind !== 'invoice') return []
    return (document.operations ?? []).flatMap(({ kind, text }, index): Cause[] => {
      if (kind !== 'alignment' && !BATTERY.test(text)) return []
      return [{ what: `"${text}" on ${document.file}`, places: findPlaces(document, `operations.${index}`, text) }]
    })
  })
  const declared = (packet.declaration?.repairs ?? []).flatMap(({ what }, index): Cause[] =>
    BATTERY.test(what) ? [{ what: `"${what}"`, places: findDeclaredPlaces(packet, `repairs.${index}`, what) }] : [],
  )
  return [...inFiles, ...declared]
}
