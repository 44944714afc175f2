/**
 * The length of each dynamic calibration against what is possible and what is usual. The record's own duration counts,
 * else its start and end. A log is used only where the record tells neither; it usually reaches there and back, so it
 * bounds the calibration from above and can show that it was too short, never that it was too long. A run that failed or
 * was broken off may be of any length, and several attempts may add up to more than is usual for one.
 */
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, finalAttempt } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { countRuns, type Duration, driveLogs, dynamicRecords, statedDuration, windowDuration } from './durations.ts'

export const driveDurationPlausible: Check = {
  id: 'drive-duration-plausible',
  group: 'drive',
  claim: 'Each dynamic calibration lasted as long as such a procedure can and usually does.',
  messages: {
    usual: {
      state: 'met',
      text: '{calibration}: {minutes} min by {source}; usual are {leastMinutes} to {mostMinutes} min.',
    },
    'several-runs': { state: 'met', text: '{calibration}: {minutes} min by {source}, for {runs} attempts together.' },
    impossible: {
      state: 'unmet',
      text: '{calibration}: {minutes} min by {source}, outside the {leastPossibleMinutes} to {mostPossibleMinutes} min that are possible.',
    },
    unusual: {
      state: 'unmet',
      text: '{calibration}: {minutes} min by {source}; usual are {leastMinutes} to {mostMinutes} min.',
    },
    'log-too-wide': {
      state: 'undecided',
      text: '{calibration}: only the drive log tells its length, and at {minutes} min it reaches beyond the calibration.',
    },
    'not-stated': { state: 'undecided', text: '{calibration}: neither record nor drive log tells how long it lasted.' },
    'no-procedure': {
      state: 'undecided',
      text: '{calibration}: no procedure of the rulebook states how long it can last.',
    },
    'no-dynamic': {
      state: 'undecided',
      text: 'The packet holds no record of a dynamic calibration that ran to its end.',
    },
  },
  parameters: {},
  remedy: "The instrument's own log of the run, or the procedure that states another length.",
  suppliers: ['calibrator', 'vehicle-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a procedure that seems not to have been followed',
    insurer: 'paying for a drive that may not have taken place as stated',
  },
  collect: [],
  run(packet, _parameters, procedures) {
    const records = dynamicRecords(packet).filter(({ reading }) =>
      ['completed', 'unknown'].includes(finalAttempt(reading).outcome),
    )
    if (records.length === 0) return [{ state: 'undecided', message: 'no-dynamic', data: {}, evidence: [] }]
    return records.map((record) => judge(packet, record, procedures))
  },
}

function judge(packet: Packet, record: CalibrationRecord, procedures: readonly ProcedureEntry[]): Outcome {
  const duration = statedDuration(record) ?? windowDuration(record) ?? longestLog(packet)
  const data = { calibration: record.label, file: record.document.file }
  if (duration === null)
    return { state: 'undecided', message: 'not-stated', data, evidence: [{ file: record.document.file, text: '' }] }
  const procedure = findProcedure(procedures, packet, record.reading.sensor, 'dynamic')
  const { possibleSeconds: possible, usualSeconds } = procedure.values
  const usual = usualSeconds ?? possible
  if (possible === undefined || usual === undefined)
    return { state: 'undecided', message: 'no-procedure', data, evidence: duration.evidence }
  const message = compare(duration, possible, usual, countRuns(record.reading))
  return {
    state:
      message === 'usual' || message === 'several-runs' ? 'met' : message === 'log-too-wide' ? 'undecided' : 'unmet',
    message,
    data: {
      ...data,
      source: duration.source,
      runs: countRuns(record.reading),
      minutes: (duration.least + duration.most) / 120,
      leastMinutes: usual[0] / 60,
      mostMinutes: usual[1] / 60,
      leastPossibleMinutes: possible[0] / 60,
      mostPossibleMinutes: possible[1] / 60,
    },
    evidence: duration.evidence,
    sources: sourcesOf(procedure, 'possibleSeconds', 'usualSeconds'),
  }
}

function compare(
  { source, least, most }: Duration,
  possible: readonly [number, number],
  usual: readonly [number, number],
  runs: number,
): 'usual' | 'several-runs' | 'impossible' | 'unusual' | 'log-too-wide' {
  const isLog = source === 'the drive log'
  if (most < possible[0]) return 'impossible'
  if (!isLog && runs === 1 && least > possible[1]) return 'impossible'
  if (most < usual[0]) return 'unusual'
  if (least <= usual[1]) return 'usual'
  if (isLog) return 'log-too-wide'
  return runs > 1 ? 'several-runs' : 'unusual'
}

function longestLog(packet: Packet): Duration | null {
  const logs = driveLogs(packet).map((log) => log.duration)
  return logs.reduce<Duration | null>(
    (longest, log) => (longest === null || log.most > longest.most ? log : longest),
    null,
  )
}
