import type { DocumentFacts } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces, nameSensor } from '../places.ts'
import { driveLogLine } from '../shared-lines.ts'
import { findPossibleRecords, listFiles, placeFiles } from '../unread.ts'

export const driveRecorded: Check = {
  id: 'drive-recorded',
  group: 'completeness',
  claim: 'The drive of every dynamic calibration is recorded.',
  messages: {
    logged: { state: 'met', text: 'The drive of the {calibration} is logged in {files}.' },
    'times-only': {
      state: 'unmet',
      text: 'The drive of the {calibration} has no log, only the start and end that {files} states.',
    },
    missing: {
      state: 'unmet',
      text: 'The {calibration} in {file} has neither a drive log nor a start and an end.',
    },
    'maybe-unread': {
      state: 'undecided',
      text: 'No drive log of the {calibration} was recognised; {files} could not be read or recognised and may be it.',
    },
    'method-unknown': {
      state: 'undecided',
      text: 'The {calibration} in {file} does not say whether the vehicle was driven for it.',
    },
    'not-applicable': { state: 'undecided', text: 'No dynamic calibration is recorded, so no drive is called for.' },
  },
  parameters: {},
  remedy:
    'Add the log of the drive from a receiver, the instrument or the vehicle; failing that, a record that states when the drive began and ended.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a drive that nothing shows',
  },
  collect: [driveLogLine],
  run(packet) {
    const performed = calibrationRecords(packet).filter(({ reading }) => reading.outcome !== 'not-performed')
    const dynamic = performed.filter(({ reading }) => reading.method === 'dynamic')
    if (dynamic.length > 0) return dynamic.map((record) => judgeDrive(packet, record))
    const unknown = performed.filter(({ reading }) => reading.method === 'unknown')
    if (unknown.length > 0) return unknown.map((record) => describe('undecided', 'method-unknown', record))
    return [{ state: 'undecided', message: 'not-applicable', data: {}, evidence: [] }]
  },
}

function judgeDrive(packet: Packet, record: CalibrationRecord): Outcome {
  const logs = packet.documents.filter(({ drive }) => drive !== undefined && drive.points > 0)
  if (logs.length > 0) return describe('met', 'logged', record, logs, 'drive')
  const possible = findPossibleRecords(packet, ['drive-log'])
  if (possible.length > 0) return describe('undecided', 'maybe-unread', record, possible)
  if (statesTimes(record)) return describe('unmet', 'times-only', record, [record.document])
  const stating = packet.documents.filter(
    ({ drive }) => drive?.started && (drive.ended || drive.durationSeconds !== null),
  )
  if (stating.length > 0) return describe('unmet', 'times-only', record, stating, 'drive')
  return describe('unmet', 'missing', record)
}

/** A start or an end with a duration gives the other. */
function statesTimes({ reading }: CalibrationRecord): boolean {
  const { started, ended, durationSeconds } = reading
  return [started, ended, durationSeconds].filter((fact) => fact !== undefined).length >= 2
}

function describe(
  state: Outcome['state'],
  message: string,
  record: CalibrationRecord,
  documents: readonly DocumentFacts[] = [],
  path?: string,
): Outcome {
  const places = path ? documents.flatMap((document) => findPlaces(document, path)) : placeFiles(documents)
  return {
    state,
    message,
    data: { calibration: nameCalibration(record), file: record.document.file, files: listFiles(documents) },
    evidence: distinctPlaces([...findPlaces(record.document, `calibrations.${record.index}`, record.label), ...places]),
  }
}

function nameCalibration({ reading }: CalibrationRecord): string {
  const sensor = nameSensor(reading.sensor, reading.position)
  return reading.method === 'unknown'
    ? `calibration of the ${sensor}`
    : `${reading.method} calibration of the ${sensor}`
}
