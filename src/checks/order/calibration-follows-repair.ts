/**
 * Each calibration against the repairs that call for it. What a repair calls for is told from its words; a repair whose
 * words tell nothing may call for any calibration, so that one dated after a calibration is worth a look, no more.
 */
import type { PacketEvent } from '../../packet/packet.ts'
import { type CalibrationGroup, groupCalibrations } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { listsParameter } from '../parameters.ts'
import { findPhrases } from '../wording.ts'
import { bestOf, judgePrecedence, type Precedence, worstOf } from './precedence.ts'
import { nothingToCompare, outcomeOf, precedenceMessages } from './precedence-outcome.ts'

export const calibrationFollowsRepair: Check = {
  id: 'calibration-follows-repair',
  group: 'order',
  claim: 'Every repair that calls for a calibration ended before that calibration.',
  messages: {
    ...precedenceMessages,
    'unclear-repair-after': {
      state: 'unmet',
      text: '{before} ({beforeTime}) did not end before {after} ({afterTime}); its words do not tell whether it bears on it.',
    },
    'no-repair': { state: 'undecided', text: 'No repair is declared or stated with a time.' },
    'no-calibration': { state: 'undecided', text: 'The packet holds no calibration record.' },
    'none-called-for': {
      state: 'undecided',
      text: 'No repair with a time calls for any of the recorded calibrations.',
    },
  },
  parameters: { calls: 'Words of a repair, in lower case, to the sensors whose calibration they usually call for.' },
  remedy: 'The times of the repair, or the calibration repeated after it.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'calibrations that may have to be repeated',
    owner: 'driving with a sensor that was moved after it was calibrated',
  },
  collect: [
    { step: 'repair', per: 'repair', text: 'When “{subject}” began and ended, in packet.yaml or on the job sheet' },
  ],
  run(packet, parameters) {
    const repairs = packet.events.filter((event) => event.kind === 'repair')
    if (repairs.length === 0) return nothingToCompare('no-repair')
    const groups = groupCalibrations(packet)
    if (groups.length === 0) return nothingToCompare('no-calibration')
    const calls = listsParameter(parameters, 'calls')
    const outcomes = groups.flatMap((group): Outcome[] => {
      const judge = (list: readonly PacketEvent[]) =>
        worstOf(
          list.flatMap((repair) => bestOf(group.map(({ event }) => judgePrecedence(packet, repair, event))) ?? []),
        )
      const clear = judge(repairs.filter((repair) => calledBy(repair, calls)?.includes(sensorOf(group))))
      const unclear = judge(repairs.filter((repair) => calledBy(repair, calls) === null))
      if (clear !== null && !isMet(clear)) return [outcomeOf(clear)]
      if (unclear !== null && contradicts(unclear)) return [soften(outcomeOf(unclear))]
      const rest = clear ?? unclear
      return rest === null ? [] : [outcomeOf(rest)]
    })
    return outcomes.length > 0 ? outcomes : nothingToCompare('none-called-for')
  },
}

function isMet({ verdict }: Precedence): boolean {
  return verdict === 'certain' || verdict === 'presumed'
}

function contradicts({ verdict }: Precedence): boolean {
  return verdict === 'impossible' || verdict === 'presumed-reversed' || verdict === 'doubtful'
}

function sensorOf(group: CalibrationGroup): string {
  return group[0].reading.sensor
}

/** The sensors that a repair's words call for; null where they tell of none. */
function calledBy(repair: PacketEvent, calls: Record<string, readonly string[]>): readonly string[] | null {
  const found = findPhrases(repair.label, Object.keys(calls))
  return found.length === 0 ? null : found.flatMap((phrase) => calls[phrase] ?? [])
}

function soften(outcome: Outcome): Outcome {
  return outcome.message.startsWith('out-of-order') ? { ...outcome, message: 'unclear-repair-after' } : outcome
}
