/**
 * The calibrated sensors against the required ones, for mix-ups alone: left for right, camera for radar. A required
 * calibration that simply has no record is the matter of calibration-recorded, which leaves mix-ups to this check.
 */

import { calibrationRecords, placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { collectRequired } from '../completeness/required-calibrations.ts'
import { findMixUps } from '../mix-ups.ts'
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
    if (mixUps.length === 0) {
      const evidence = distinctPlaces(records.flatMap((record) => placesOfRecord(record, 'sensor')))
      return [{ state: 'met', message: 'same', data: { records: records.map(({ label }) => label) }, evidence }]
    }
    const unread = findPossibleRecords(packet, ['calibration'])
    return mixUps.map(({ required, record, differs }): Outcome => {
      const places = [...required.evidence, ...placesOfRecord(record, 'sensor')]
      const data = { required: required.label, file: record.document.file, calibrated: record.label }
      if (unread.length > 0) {
        const evidence = distinctPlaces([...places, ...placeFiles(unread)])
        return { state: 'undecided', message: 'maybe-unread', data: { ...data, unread: listFiles(unread) }, evidence }
      }
      return { state: 'unmet', message: `other-${differs}`, data, evidence: distinctPlaces(places) }
    })
  },
}
