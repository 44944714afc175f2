/**
 * The distance that a record states against the one that a log has measured. A log may be the longer one, where it covers
 * the calibration (the way there and back) or carries no times to tell; then only a log that is too short disagrees.
 */
import { drivenMetres } from '../../facts/motion.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, isMention, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { dynamicRecords } from './durations.ts'
import { coversCalibration, logsOfCalibration, placesOfLog, type TrackedLog, trackedLogs } from './logs.ts'

export const driveDistanceAgrees: Check = {
  id: 'drive-distance-agrees',
  group: 'drive',
  claim: 'The distance that a record states for its drive is the distance that the log has measured.',
  messages: {
    agree: {
      state: 'met',
      text: '{calibration}: {statedKilometres} km stated, {loggedKilometres} km logged in {log}.',
    },
    'long-enough': {
      state: 'met',
      text: '{calibration}: the {loggedKilometres} km of {log} leave room for the {statedKilometres} km stated.',
    },
    disagree: {
      state: 'unmet',
      text: '{calibration}: {statedKilometres} km stated, {loggedKilometres} km logged in {log}; they differ by {differenceKilometres} km ({percent} %).',
    },
    differ: {
      state: 'unmet',
      text: '{calibration}: {statedKilometres} km stated, {loggedKilometres} km logged in {log}; they differ a little, by {differenceKilometres} km ({percent} %).',
    },
    'not-stated': { state: 'undecided', text: '{calibration}: its record states no distance.' },
    'not-logged': { state: 'undecided', text: '{calibration}: no log of the packet tells how far it was driven.' },
    'no-dynamic': { state: 'undecided', text: 'The packet holds no record of a dynamic calibration.' },
  },
  parameters: {
    failShare: 'Share of the longer distance beyond which two disagree.',
    failMetres: 'Metres beyond which two disagree; both must be exceeded.',
    warnShare: 'Share of the longer distance beyond which two differ a little.',
    warnMetres: 'Metres beyond which two differ a little; both must be exceeded.',
  },
  remedy: 'The log of the whole drive, or the record that the stated distance was taken from.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: { calibrator: 'a drive whose distance its records tell differently' },
  collect: [],
  run(packet, parameters) {
    const records = dynamicRecords(packet)
    if (records.length === 0) return [{ state: 'undecided', message: 'no-dynamic', data: {}, evidence: [] }]
    const outcomes = records.flatMap((record) => judge(packet, record, records, parameters))
    return outcomes
  },
}

interface Distance {
  metres: number
  evidence: FilePlace[]
}

function statedDistance(record: CalibrationRecord): Distance | null {
  const { reading, document } = record
  if (reading.distanceMetres !== undefined)
    return { metres: reading.distanceMetres, evidence: placesOfRecord(record, 'distanceMetres') }
  // A record of one calibration may state its drive beside it.
  const { drive, calibrations = [] } = document
  if (drive?.points !== 0 || drive.distanceMetres === null || calibrations.length !== 1) return null
  return { metres: drive.distanceMetres, evidence: findPlaces(document, 'drive.distanceMetres') }
}

type Message = 'agree' | 'long-enough' | 'differ' | 'disagree'
const ranks: Record<Message, number> = { agree: 0, 'long-enough': 1, differ: 2, disagree: 3 }

interface Comparison {
  message: Message
  logged: number
  logs: readonly TrackedLog[]
}

function judge(
  packet: Packet,
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
  parameters: Parameters,
): Outcome[] {
  const data = { calibration: record.label, file: record.document.file }
  const stated = statedDistance(record)
  const evidence = [{ file: record.document.file, text: '' }]
  if (stated === null) {
    return isMention(record, records) ? [] : [{ state: 'undecided', message: 'not-stated', data, evidence }]
  }
  const best = compareLogs(packet, record, records, stated.metres, parameters)
  if (best === null) return [{ state: 'undecided', message: 'not-logged', data, evidence: stated.evidence }]
  return [describe(best, stated, data)]
}

/** Each log by itself and, where there are several, all together: a drive may be logged in parts. The best fit counts. */
function compareLogs(
  packet: Packet,
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
  stated: number,
  parameters: Parameters,
): Comparison | null {
  const measured = logsOfCalibration(packet, trackedLogs(packet), record, records).flatMap((log) => {
    const metres = drivenMetres(log.track.points)
    return metres === null ? [] : [{ log, metres }]
  })
  const choices = measured.map((one) => [one])
  if (measured.length > 1) choices.push(measured)
  return choices
    .map((choice): Comparison => {
      const logs = choice.map(({ log }) => log)
      const logged = choice.reduce((sum, { metres }) => sum + metres, 0)
      const mayBeLonger = logs.some((log) => coversCalibration(packet, log, record) !== 'no')
      return { message: compare(stated, logged, mayBeLonger, parameters), logged, logs }
    })
    .reduce<Comparison | null>(
      (best, next) => (best === null || ranks[next.message] < ranks[best.message] ? next : best),
      null,
    )
}

function compare(stated: number, logged: number, mayBeLonger: boolean, parameters: Parameters): Message {
  const difference = Math.abs(stated - logged)
  const share = shareOf(stated, logged)
  const beyond = (key: 'fail' | 'warn') =>
    share > numberParameter(parameters, `${key}Share`) && difference > numberParameter(parameters, `${key}Metres`)
  if (!beyond('warn')) return 'agree'
  if (logged > stated && mayBeLonger) return 'long-enough'
  return beyond('fail') ? 'disagree' : 'differ'
}

function shareOf(a: number, b: number): number {
  const longer = Math.max(a, b)
  return longer > 0 ? Math.abs(a - b) / longer : 0
}

function describe({ message, logged, logs }: Comparison, stated: Distance, names: Record<string, string>): Outcome {
  const data = {
    calibration: '',
    ...names,
    log: logs.map((log) => log.document.file),
    statedKilometres: stated.metres / 1000,
    loggedKilometres: logged / 1000,
    differenceKilometres: Math.abs(stated.metres - logged) / 1000,
    percent: shareOf(stated.metres, logged) * 100,
  }
  return {
    state: message === 'agree' || message === 'long-enough' ? 'met' : 'unmet',
    message,
    data,
    evidence: distinctPlaces([...stated.evidence, ...logs.flatMap(placesOfLog)]),
    working: [
      {
        text: '{statedKilometres} km and {loggedKilometres} km differ by {differenceKilometres} km, {percent} % of the longer.',
        data,
      },
    ],
  }
}
