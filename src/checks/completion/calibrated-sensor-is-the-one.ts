/**
 * The calibrated sensors against the required ones, for mix-ups alone: left for right, camera for radar. A required
 * calibration that simply has no record is the matter of calibration-recorded, which leaves mix-ups to this check.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { calibrationRecords, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { collectRequired } from '../completeness/required-calibrations.ts'
import { findMixUps, findRepeats, type MixUp, type Repeat } from '../mix-ups.ts'
import { distinctPlaces } from '../places.ts'
import { findPossibleRecords, listFiles, placeFiles } from '../unread.ts'

export const calibratedSensorIsTheOne: Check = {
  id: 'calibrated-sensor-is-the-one',
  group: 'completion',
  claim: 'The sensors that were calibrated are those that were repaired, charged or declared.',
  messages: {
    same: {
      state: 'met',
      text: 'No calibration was recorded for another sensor or position than is required: {records}.',
    },
    'other-position': {
      state: 'unmet',
      text: 'The {required} is required and has no record; {file} records one of the {calibrated}, which nothing asks for.',
    },
    'other-sensor': {
      state: 'unmet',
      text: 'The {required} is required and has no record; {file} records one of the {calibrated}, which nothing asks for.',
    },
    'recorded-twice': {
      state: 'unmet',
      text: 'The {required} is required and has no record, while one of the {calibrated} is recorded twice ({files}): one of the two may be the other sensor under the wrong name.',
    },
    'maybe-unread': {
      state: 'undecided',
      text: 'The {required} is required and has no record that was read, while {file} records one of the {calibrated}; {unread} may be the record.',
    },
    'nothing-required': { state: 'undecided', text: 'Nothing in the packet says which calibrations are required.' },
    'no-calibration': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {},
  remedy: 'The record of the sensor that is required, or the calibration made there.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle whose repaired sensor was not calibrated',
    calibrator: 'a calibration made at another sensor',
    insurer: 'paying for a calibration of another sensor',
  },
  collect: [],
  run(packet) {
    const nothing = (message: string): Outcome[] => [{ state: 'undecided', message, data: {}, evidence: [] }]
    const records = calibrationRecords(packet)
    if (records.length === 0) return nothing('no-calibration')
    if (collectRequired(packet).length === 0) return nothing('nothing-required')
    const mixUps = findMixUps(packet)
    const known = new Set(mixUps.map(({ label }) => label))
    const repeats = findRepeats(packet).filter(({ label }) => !known.has(label))
    if (mixUps.length + repeats.length === 0) {
      const evidence = distinctPlaces(records.flatMap((record) => placesOfRecord(record, 'sensor')))
      return [{ state: 'met', message: 'same', data: { records: records.map(({ label }) => label) }, evidence }]
    }
    const unread = findPossibleRecords(packet, ['calibration'])
    if (unread.length > 0)
      return [...mixUps, ...repeats.map(({ records: [record], ...one }) => ({ ...one, record }))].map((one) =>
        describeOpen(one, unread),
      )
    return [...mixUps.map(describeMixUp), ...repeats.map(describeRepeat)]
  },
}

type Pair = Pick<MixUp, 'required' | 'label' | 'record'>

const dataOf = ({ label, record }: Pair) => {
  return { required: label, file: record.document.file, calibrated: record.label }
}
const placesOf = ({ required, record }: Pair): FilePlace[] => [
  ...required.evidence,
  ...placesOfRecord(record, 'sensor'),
]

function describeOpen(pair: Pair, unread: readonly DocumentFacts[]): Outcome {
  const evidence = distinctPlaces([...placesOf(pair), ...placeFiles(unread)])
  const data = { ...dataOf(pair), unread: listFiles(unread) }
  return { state: 'undecided', message: 'maybe-unread', data, evidence }
}

function describeMixUp(mixUp: MixUp): Outcome {
  const message = `other-${mixUp.differs}`
  return { state: 'unmet', message, data: dataOf(mixUp), evidence: distinctPlaces(placesOf(mixUp)) }
}

function describeRepeat({ required, label, records }: Repeat): Outcome {
  const data = {
    required: label,
    calibrated: records[0].label,
    files: [...new Set(records.map(({ document }) => document.file))],
  }
  const places = records.flatMap((record) => placesOfRecord(record, 'started'))
  const evidence = distinctPlaces([...required.evidence, ...places])
  return { state: 'unmet', message: 'recorded-twice', data, evidence }
}
