/**
 * Calibrations that a repair usually calls for and that nobody has declared or listed; for those that somebody has,
 * `calibration-recorded` answers. Usual is not needed: vehicles of one model differ in what they carry, and the vehicle
 * maker's information says what is needed. So a lack is held to be one only where a scan shows that the vehicle has the
 * sensor and the repair was at its very place.
 */
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { distinctPlaces, findDeclaredPlaces, nameSensor } from '../places.ts'
import { findPossibleRecords, listFiles, placeFiles } from '../unread.ts'
import { collectRepairCalls, findFitted, type RepairCall } from './repair-calls.ts'

export const repairCallsFor: Check = {
  id: 'repair-calls-for',
  group: 'completeness',
  claim: 'Every calibration that the repairs usually call for is recorded, or declared as not needed with a reason.',
  messages: {
    recorded: { state: 'met', text: 'The calibration of the {sensor}, usual after {repairs}, is recorded in {files}.' },
    'not-needed': {
      state: 'met',
      text: 'The calibration of the {sensor}, usual after {repairs}, is declared as not needed: {because}.',
    },
    'not-recorded': {
      state: 'unmet',
      text: 'The calibration of the {sensor}, usual after {repairs}, is neither recorded nor declared as not needed, and the vehicle has that sensor ({modules}).',
    },
    usual: {
      state: 'unmet',
      text: 'The calibration of the {sensor}, which many makers ask for after {repairs}, is neither recorded nor declared as not needed, and the vehicle has that sensor ({modules}).',
    },
    seldom: {
      state: 'unmet',
      text: 'The calibration of the {sensor}, which some makers ask for after {repairs}, is neither recorded nor declared as not needed, and the vehicle has that sensor ({modules}); most ask for a test of its function alone.',
    },
    'not-performed': {
      state: 'unmet',
      text: 'The calibration of the {sensor}, usual after {repairs}, was not performed, as {files} records.',
    },
    'required-elsewhere': {
      state: 'undecided',
      text: 'The calibration of the {sensor}, usual after {repairs}, is declared or listed: calibration-recorded answers for its record.',
    },
    'maybe-unread': {
      state: 'undecided',
      text: 'No record of the calibration of the {sensor}, usual after {repairs}, was recognised; {files} could not be read or recognised and may be it.',
    },
    'fitting-unknown': {
      state: 'undecided',
      text: 'No record of the calibration of the {sensor}, usual after {repairs}, is there; no scan lists modules, so that it is not known whether the vehicle has that sensor.',
    },
    'may-not-be-fitted': {
      state: 'undecided',
      text: 'No record of the calibration of the {sensor}, usual after {repairs}, is there, and nothing shows that the vehicle has that sensor.',
    },
    'surface-work': {
      state: 'undecided',
      text: 'No record of the calibration of the {sensor} is there; {repairs} may have left that sensor untouched.',
    },
    'none-called-for': { state: 'undecided', text: 'No repair in the packet calls for a calibration.' },
  },
  parameters: {
    sensors: 'Sensors whose calibration is asked for.',
    seldom: 'Those of them that most makers want tested, not calibrated.',
    parts: 'Words of a repair, in lower case, to the sensors that the part carries or that look through it.',
    replacing: 'Words of a repair by which a part was replaced or removed, in lower case.',
    finishing: 'Words of work on the surface alone, where nothing is replaced, in lower case.',
    slight: 'Words of small things on or beside the part, in lower case.',
  },
  remedy:
    'The record of the calibration, the calibration itself, or the reason why it is not needed, under "notNeeded" in packet.yaml.',
  suppliers: ['shop', 'vehicle-maker', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle whose sensor may have been moved',
    owner: 'driving with a sensor whose aim is not known',
  },
  collect: [
    {
      step: 'repair',
      per: 'repair',
      text: 'For “{subject}”, which calibrations the service information asks for, and the reason for each that is not needed',
    },
  ],
  run(packet, parameters) {
    const calls = collectRepairCalls(packet, parameters)
    if (calls.length === 0) return [{ state: 'undecided', message: 'none-called-for', data: {}, evidence: [] }]
    const seldom = listParameter(parameters, 'seldom')
    return calls.map((call) => judge(packet, call, seldom))
  },
}

function judge(packet: Packet, call: RepairCall, seldom: readonly string[]): Outcome {
  const { sensor } = call
  const describe = (
    state: Outcome['state'],
    message: string,
    data: Outcome['data'],
    places: Outcome['evidence'],
  ): Outcome => ({
    state,
    message,
    data: { repairs: call.repairs, sensor: nameSensor(sensor), ...data },
    evidence: distinctPlaces([...call.places, ...places]),
  })
  const waived = (packet.declaration?.notNeeded ?? []).findIndex((one) => one.sensor === sensor)
  if (waived >= 0) {
    const because = packet.declaration?.notNeeded?.[waived]?.because ?? ''
    return describe(
      'met',
      'not-needed',
      { because: because.replace(/\.$/, '') },
      findDeclaredPlaces(packet, `notNeeded.${waived}`),
    )
  }
  const records = calibrationRecords(packet).filter(({ reading }) => reading.sensor === sensor)
  const done = records.filter(({ reading }) => finalAttempt(reading).outcome !== 'not-performed')
  if (done.length > 0) return describe('met', 'recorded', filesOf(done), placesOf(done))
  if (isRequired(packet, sensor)) return describe('undecided', 'required-elsewhere', {}, [])
  if (records.length > 0) return describe('unmet', 'not-performed', filesOf(records), placesOf(records))
  const possible = findPossibleRecords(packet, ['calibration'])
  if (possible.length > 0)
    return describe('undecided', 'maybe-unread', { files: listFiles(possible) }, placeFiles(possible))
  if (call.reach === 'surface') return describe('undecided', 'surface-work', {}, [])
  const fitted = findFitted(packet, sensor)
  if (fitted.length > 0) {
    const message = seldom.includes(sensor) ? 'seldom' : call.reach === 'sensor' ? 'not-recorded' : 'usual'
    const modules = [...new Set(fitted.map(({ name, file }) => `${name} in ${file}`))]
    return describe(
      'unmet',
      message,
      { modules },
      fitted.flatMap(({ places }) => places),
    )
  }
  const scanned = packet.documents.some(({ modules = [] }) => modules.length > 0)
  return describe('undecided', call.reach === 'sensor' && !scanned ? 'fitting-unknown' : 'may-not-be-fitted', {}, [])
}

/** Declared, or on a line of its own on an estimate or invoice. */
function isRequired(packet: Packet, sensor: string): boolean {
  if (packet.declaration?.calibrations?.some((one) => one.sensor === sensor)) return true
  return packet.documents.some(
    ({ kind, operations = [] }) =>
      (kind === 'estimate' || kind === 'invoice') &&
      operations.some((line) => line.kind === 'calibration' && line.calls.some((one) => one === sensor)),
  )
}

function filesOf(records: readonly CalibrationRecord[]): { files: string[] } {
  return { files: [...new Set(records.map(({ document }) => document.file))] }
}

function placesOf(records: readonly CalibrationRecord[]): Outcome['evidence'] {
  return records.flatMap((record) => placesOfRecord(record, 'outcome'))
}
