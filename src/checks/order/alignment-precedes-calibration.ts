/**
 * Wheel alignment against the calibrations that take the vehicle's thrust line as their reference. A steering angle set
 * to zero may lie on either side of it, and so is not among them. Each alignment needs, for each such calibration, one
 * run after it: a calibration repeated after the alignment mends one done too early.
 */
import { groupCalibrations } from '../calibrations.ts'
import type { Check } from '../check.ts'
import { listParameter } from '../parameters.ts'
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
  parameters: {
    sensors: 'Sensors whose calibration depends on wheel alignment.',
    methods: 'Methods of calibration that depend on it.',
  },
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
  run(packet, parameters) {
    const alignments = packet.events.filter((event) => event.kind === 'alignment')
    if (alignments.length === 0) return nothingToCompare('no-alignment')
    const sensors = listParameter(parameters, 'sensors')
    const methods = listParameter(parameters, 'methods')
    const groups = groupCalibrations(packet).filter(([{ reading }]) => {
      return sensors.includes(reading.sensor) && methods.includes(reading.method)
    })
    const outcomes = alignments.flatMap((alignment) => {
      const best = groups.map((group) => bestOf(group.map(({ event }) => judgePrecedence(packet, alignment, event))))
      const worst = worstOf(best.filter((precedence) => precedence !== null))
      return worst === null ? [] : [outcomeOf(worst)]
    })
    return outcomes.length > 0 ? outcomes : nothingToCompare('no-calibration')
  },
}
