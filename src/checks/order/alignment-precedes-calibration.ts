/**
 * Wheel alignment against the calibrations that take the vehicle's thrust line as their reference. A steering angle set
 * to zero may lie on either side of it, and so is not among them. Each alignment needs, for each such calibration, one
 * run after it: a calibration repeated after the alignment mends one done too early.
 */
import { groupCalibrations } from '../calibrations.ts'
import type { Check } from '../check.ts'
import { findProcedure, sourcesOf } from '../procedures.ts'
import { bestOf, judgePrecedence, worstOf } from './precedence.ts'
import { nothingToCompare, outcomeOf, precedenceMessages } from './precedence-outcome.ts'

export const alignmentPrecedesCalibration: Check = {
  id: 'alignment-precedes-calibration',
  group: 'order',
  claim: 'Wheel alignment ended before the first calibration that depends on it.',
  messages: {
    ...precedenceMessages,
    'no-alignment': { state: 'undecided', text: 'The packet holds no record of a wheel alignment.' },
    'no-calibration': { state: 'undecided', text: 'No recorded calibration depends on wheel alignment.' },
  },
  parameters: {},
  remedy: 'The alignment report with its times, or the calibration repeated after the alignment.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'calibrations that may have to be repeated',
  },
  collect: [
    {
      step: 'alignment',
      per: 'alignment',
      text: 'The alignment report, with its time, made before the calibrations that depend on it',
    },
  ],
  run(packet, _parameters, procedures) {
    const alignments = packet.events.filter((event) => event.kind === 'alignment')
    if (alignments.length === 0) return nothingToCompare('no-alignment')
    const groups = groupCalibrations(packet).flatMap((group) => {
      const procedure = findProcedure(procedures, packet, group[0].reading.sensor, group[0].reading.method)
      return procedure.values.alignmentFirst === true
        ? [{ group, sources: sourcesOf(procedure, 'alignmentFirst') }]
        : []
    })
    const outcomes = alignments.flatMap((alignment) => {
      const best = groups.flatMap(({ group, sources }) => {
        const precedence = bestOf(group.map(({ event }) => judgePrecedence(packet, alignment, event)))
        return precedence === null ? [] : [{ ...precedence, sources }]
      })
      const worst = worstOf(best)
      return worst === null ? [] : [{ ...outcomeOf(worst), sources: worst.sources }]
    })
    return outcomes.length > 0 ? outcomes : nothingToCompare('no-calibration')
  },
}
