/**
 * The last progress that each calibration's record shows. Many static procedures report none; where the procedure
 * reports it, its absence is worth a look.
 */
import {
  type CalibrationRecord,
  calibrationRecords,
  completedAfter,
  finalAttempt,
  isMention,
  placesOfRecord,
} from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { findProcedure, type Procedure, sourcesOf } from '../procedures.ts'

export const calibrationReachedFull: Check = {
  id: 'calibration-reached-full',
  group: 'completion',
  claim: 'The last progress shown for each calibration is 100 %.',
  messages: {
    full: { state: 'met', text: '{calibration}: the record shows {progressPercent} %.' },
    'below-full': { state: 'unmet', text: '{calibration}: the last progress shown is {progressPercent} %, not 100 %.' },
    'not-stated': {
      state: 'unmet',
      text: '{calibration}: {file} shows no progress, though such procedures report it.',
    },
    'not-reported': { state: 'undecided', text: 'No recorded calibration is of a kind that reports its progress.' },
    'no-calibration': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {},
  remedy: 'The final screen or record of the calibration that shows its progress.',
  suppliers: ['calibrator'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'a calibration that counts as not finished',
  },
  collect: [
    {
      step: 'dynamic',
      per: 'dynamic',
      text: 'The progress of {subject} at its end: 100 % on the final screen or in the record',
    },
  ],
  run(packet, _parameters, procedures) {
    const records = calibrationRecords(packet)
    const outcomes = records.flatMap((record): Outcome[] => {
      const { sensor, method } = record.reading
      const outcome = judge(record, findProcedure(procedures, packet, sensor, method))
      if (outcome?.message === 'below-full' && completedAfter(packet, records, record)?.certain) return []
      if (outcome?.message === 'not-stated' && isMention(record, records)) return []
      return outcome === null ? [] : [outcome]
    })
    if (outcomes.length > 0) return outcomes
    const message = records.length === 0 ? 'no-calibration' : 'not-reported'
    return [{ state: 'undecided', message, data: {}, evidence: [] }]
  },
}

function judge(record: CalibrationRecord, procedure: Procedure): Outcome | null {
  const { outcome, progressPercent } = finalAttempt(record.reading)
  if (outcome === 'not-performed') return null
  const evidence = placesOfRecord(record, 'progressPercent')
  const data = { calibration: record.label, file: record.document.file, progressPercent }
  if (progressPercent === null) {
    // An unsuccessful run need not show how far it came: that it did not complete is said elsewhere.
    if (procedure.values.reportsProgress !== true || outcome === 'failed' || outcome === 'aborted') return null
    const sources = sourcesOf(procedure, 'reportsProgress')
    return { state: 'unmet', message: 'not-stated', data, evidence, sources }
  }
  if (progressPercent >= 100) return { state: 'met', message: 'full', data, evidence }
  return { state: 'unmet', message: 'below-full', data, evidence }
}
