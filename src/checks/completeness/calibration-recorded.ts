import { agreesInPosition } from '../../facts/position.ts'
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { findMixUps } from '../mix-ups.ts'
import { findPlaces } from '../places.ts'
import { recordLine } from '../shared-lines.ts'
import { findPhotographs, findPossibleRecords, listFiles, placeFiles } from '../unread.ts'
import { collectRequired, type RequiredCalibration } from './required-calibrations.ts'

export const calibrationRecorded: Check = {
  id: 'calibration-recorded',
  group: 'completeness',
  claim: 'Every calibration that the packet requires has a record.',
  messages: {
    recorded: { state: 'met', text: 'The {calibration} is recorded in {files}.' },
    missing: { state: 'unmet', text: 'The {calibration} is required ({source}) and has no record.' },
    'missing-but-photos': {
      state: 'unmet',
      text: 'The {calibration} is required ({source}) and has no record, unless one of the photographs ({files}) shows it: the words on them are not read.',
    },
    'other-method': {
      state: 'unmet',
      text: 'The {calibration} is required ({source}); the records of that sensor are of another method or position ({found}).',
    },
    'not-performed': {
      state: 'unmet',
      text: 'The {calibration} is required ({source}), and {files} records that it was not performed.',
    },
    'mixed-up': {
      state: 'unmet',
      text: 'The {calibration} is required ({source}) and has no record; {found} in {files} was calibrated in its place, as calibrated-sensor-is-the-one tells.',
    },
    'listed-not-recorded': {
      state: 'unmet',
      text: 'The {calibration} is listed on an estimate or invoice and has no record; nothing else requires it, and billed-is-evidenced answers for what is charged.',
    },
    'method-or-position-not-stated': {
      state: 'undecided',
      text: 'The {calibration} is required ({source}); {files} records one of that sensor without saying which method or position.',
    },
    'maybe-unread': {
      state: 'undecided',
      text: 'No record of the required {calibration} ({source}) was recognised; {files} could not be read or recognised and may be it.',
    },
    'nothing-required': {
      state: 'undecided',
      text: 'The packet declares no calibration, and no estimate or invoice lists one, so none is required.',
    },
  },
  parameters: {},
  remedy:
    'Add the record that the instrument saved, have the calibration done, or declare with a reason why it is not needed.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle whose calibration nobody can show',
    calibrator: 'being unable to show work that was done',
    insurer: 'paying for a repair that is not finished',
    owner: 'driving with a sensor whose aim is not known',
  },
  collect: [recordLine],
  run(packet) {
    const required = collectRequired(packet)
    if (required.length === 0) return [{ state: 'undecided', message: 'nothing-required', data: {}, evidence: [] }]
    const records = calibrationRecords(packet)
    return required.map((one) => judgeRequired(packet, one, records))
  },
}

type Fit = 'yes' | 'perhaps' | 'no'

function fitOf(required: RequiredCalibration, { reading }: CalibrationRecord): Fit {
  const fits = [fitPosition(required, reading.position), fitMethod(required, reading.method)]
  if (fits.includes('no')) return 'no'
  return fits.includes('perhaps') ? 'perhaps' : 'yes'
}

function fitPosition({ position }: RequiredCalibration, recorded: string | null): Fit {
  if (position === null) return 'yes'
  if (recorded === null) return 'perhaps'
  return agreesInPosition(position, recorded) ? 'yes' : 'no'
}

function fitMethod({ method }: RequiredCalibration, recorded: string): Fit {
  if (method === null || method === recorded) return 'yes'
  return recorded === 'unknown' ? 'perhaps' : 'no'
}

const sources = {
  declared: 'declared in packet.yaml',
  'called-for': 'called for by a repair and listed on the estimate or invoice',
  listed: 'listed on the estimate or invoice',
}

function judgeRequired(packet: Packet, required: RequiredCalibration, all: readonly CalibrationRecord[]): Outcome {
  const ofSensor = all.filter(({ reading }) => reading.sensor === required.sensor)
  const done = ofSensor.filter(({ reading }) => reading.outcome !== 'not-performed')
  const base = { calibration: required.label, source: sources[required.source] }
  const outcome = (
    state: Outcome['state'],
    message: string,
    records: readonly CalibrationRecord[],
    data: Outcome['data'] = { files: filesOf(records) },
  ): Outcome => {
    const evidence = [...required.evidence, ...records.flatMap(placesOfRecord)]
    return { state, message, data: { ...base, ...data }, evidence }
  }
  const fitting = done.filter((record) => fitOf(required, record) === 'yes')
  if (fitting.length > 0) return outcome('met', 'recorded', fitting)
  const perhaps = done.filter((record) => fitOf(required, record) === 'perhaps')
  if (perhaps.length > 0) return outcome('undecided', 'method-or-position-not-stated', perhaps)
  const skipped = ofSensor.filter((record) => !done.includes(record) && fitOf(required, record) !== 'no')
  if (skipped.length > 0) return outcome('unmet', 'not-performed', skipped)
  const possible = findPossibleRecords(packet, ['calibration'])
  if (possible.length > 0) {
    const open = outcome('undecided', 'maybe-unread', [], { files: listFiles(possible) })
    return { ...open, evidence: [...open.evidence, ...placeFiles(possible)] }
  }
  const mixUp = findMixUps(packet).find((one) => one.required.label === required.label)
  if (mixUp)
    return outcome('unmet', 'mixed-up', [mixUp.record], { files: filesOf([mixUp.record]), found: mixUp.record.label })
  if (required.source === 'listed') return outcome('unmet', 'listed-not-recorded', [])
  if (done.length > 0) return outcome('unmet', 'other-method', done, { found: done.map((record) => record.label) })
  const photographs = listFiles(findPhotographs(packet))
  if (photographs.length > 0) return outcome('unmet', 'missing-but-photos', [], { files: photographs })
  return outcome('unmet', 'missing', [])
}

function filesOf(records: readonly CalibrationRecord[]): string[] {
  return [...new Set(records.map((record) => record.document.file))]
}

function placesOfRecord(record: CalibrationRecord): Outcome['evidence'] {
  return findPlaces(record.document, `calibrations.${record.index}`, record.label)
}
