/**
 * Where one sensor had a static and a dynamic calibration, the static one comes first (common practice). Each static run
 * needs a dynamic one after it: a dynamic run that came too early is mended by one repeated later. A procedure that does
 * not ask for that order allows the other.
 */
import { groupCalibrations, performedCalibrations, samePlace } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { nameSensor } from '../places.ts'
import { findProcedure, sourcesOf } from '../procedures.ts'
import { bestOf, judgePrecedence, worstOf } from './precedence.ts'
import { nothingToCompare, outcomeOf, precedenceMessages } from './precedence-outcome.ts'

export const staticPrecedesDynamic: Check = {
  id: 'static-precedes-dynamic',
  group: 'order',
  claim: 'Where a sensor had both, its static calibration ended before its dynamic calibration started.',
  messages: {
    ...precedenceMessages,
    'other-order-allowed': {
      state: 'undecided',
      text: 'The procedure that applies to the {sensor} does not ask for the static calibration to come first.',
    },
    'not-both': { state: 'undecided', text: 'No sensor had both a static and a dynamic calibration.' },
  },
  parameters: {},
  remedy:
    "A dynamic calibration repeated after the static one, or the vehicle maker's procedure that allows the order.",
  suppliers: ['calibrator', 'vehicle-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a calibration that may have to be repeated',
  },
  collect: [],
  run(packet, _parameters, procedures) {
    const dynamics = performedCalibrations(packet).filter(({ reading }) => reading.method === 'dynamic')
    const statics = groupCalibrations(packet).filter(([{ reading }]) => reading.method === 'static')
    const outcomes = statics.flatMap((group): Outcome[] => {
      const each = group.map((record) => {
        const later = dynamics.filter((other) => samePlace(record.reading, other.reading))
        return bestOf(later.map((other) => judgePrecedence(packet, record.event, other.event)))
      })
      const worst = worstOf(each.filter((precedence) => precedence !== null))
      if (worst === null) return []
      const { sensor } = group[0].reading
      const procedure = findProcedure(procedures, packet, sensor, 'dynamic')
      const sources = sourcesOf(procedure, 'staticFirst')
      if (procedure.values.staticFirst === true) return [{ ...outcomeOf(worst, { sensor }), sources }]
      const data = { sensor: nameSensor(sensor) }
      return [{ state: 'undecided', message: 'other-order-allowed', data, evidence: worst.evidence, sources }]
    })
    return outcomes.length > 0 ? outcomes : nothingToCompare('not-both')
  },
}
