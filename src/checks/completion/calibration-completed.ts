/**
 * The outcome of each recorded calibration's last attempt. An unsuccessful record that a completed one of the same
 * sensor, position and method follows is settled by it; that an attempt failed before is another check's matter.
 */
import { agreesInPosition } from '../../facts/position.ts'
import {
  type CalibrationRecord,
  calibrationRecords,
  completedAfter,
  finalAttempt,
  isMention,
  placesOfRecord,
} from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import { recordLine } from '../shared-lines.ts'

export const calibrationCompleted: Check = {
  id: 'calibration-completed',
  group: 'completion',
  claim: 'The last attempt at each recorded calibration came to its end.',
  messages: {
    completed: { state: 'met', text: '{calibration}: the record says {outcome}.' },
    failed: { state: 'unmet', text: '{calibration}: the last attempt is recorded as failed ("{words}").' },
    aborted: { state: 'unmet', text: '{calibration}: the last attempt was broken off ("{words}").' },
    'not-performed': { state: 'unmet', text: '{calibration}: the record says that it was not performed ("{words}").' },
    'not-stated': { state: 'unmet', text: '{calibration}: {file} does not say how it ended.' },
    'order-unclear': {
      state: 'unmet',
      text: '{calibration}: {file} says {outcome}, {otherFile} says completed, and it is not certain which came last.',
    },
    'no-calibration': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {},
  remedy: "The instrument's own final record of the calibration, or a repeated calibration that ends as completed.",
  suppliers: ['calibrator'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'a calibration that counts as not done',
    shop: 'releasing a vehicle that is not ready',
    owner: 'driving with a sensor that did not finish learning',
  },
  collect: [recordLine],
  run(packet) {
    const records = calibrationRecords(packet)
    const outcomes = records.flatMap((record): Outcome[] => {
      const outcome = judge(record)
      if (outcome.state === 'met') return [outcome]
      if (outcome.message === 'not-stated' && isMention(record, records)) return []
      if (outcome.message === 'not-performed') return isDoneOtherwise(record, records) ? [] : [outcome]
      const later = completedAfter(packet, records, record)
      if (later?.certain) return []
      if (later === null || outcome.message === 'not-stated') return [outcome]
      const evidence = [...outcome.evidence, ...placesOfRecord(later.record, 'outcome')]
      const data = { ...outcome.data, otherFile: later.record.document.file }
      return [{ state: 'unmet', message: 'order-unclear', data, evidence: distinctPlaces(evidence) }]
    })
    if (outcomes.length > 0) return outcomes
    return [{ state: 'undecided', message: 'no-calibration', data: {}, evidence: [] }]
  },
}

function judge(record: CalibrationRecord): Outcome {
  const { outcome } = finalAttempt(record.reading)
  const evidence = placesOfRecord(record, 'outcome')
  const words = evidence[0]?.text || outcome
  const data = { calibration: record.label, file: record.document.file, outcome, words }
  if (outcome === 'completed') return { state: 'met', message: 'completed', data, evidence }
  return { state: 'unmet', message: outcome === 'unknown' ? 'not-stated' : outcome, data, evidence }
}

/** "Static: not performed" beside a completed dynamic calibration of the same sensor is a list of choices, not a fault. */
function isDoneOtherwise(record: CalibrationRecord, records: readonly CalibrationRecord[]): boolean {
  return records.some(
    ({ reading }) =>
      reading.sensor === record.reading.sensor &&
      agreesInPosition(reading.position, record.reading.position) &&
      finalAttempt(reading).outcome === 'completed',
  )
}
