/**
 * The pre-scan against repairs, clearing of codes and calibrations. One pre-scan that precedes all of them suffices: a
 * second one taken by the calibrator after the repair does no harm.
 */
import { calibrationEvents } from '../calibrations.ts'
import type { Check } from '../check.ts'
import { preScanLine } from '../shared-lines.ts'
import { bestOf, judgePrecedence, type Precedence, worstOf } from './precedence.ts'
import { nothingToCompare, outcomeOf, precedenceMessages } from './precedence-outcome.ts'

export const preScanPrecedesWork: Check = {
  id: 'pre-scan-precedes-work',
  group: 'order',
  claim: 'A pre-scan ended before the first repair, clearing of codes or calibration.',
  messages: {
    ...precedenceMessages,
    'no-pre-scan': { state: 'undecided', text: 'The packet holds no pre-scan.' },
    'no-work': { state: 'undecided', text: 'The packet tells of no repair, clearing of codes or calibration.' },
  },
  parameters: {},
  remedy: 'The report of a scan taken before the work began, with date, time and zone.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'answering for faults that the vehicle came with',
    insurer: 'paying for faults that are not of this loss',
  },
  collect: [preScanLine],
  run(packet) {
    const scans = packet.events.filter((event) => event.kind === 'pre-scan')
    if (scans.length === 0) return nothingToCompare('no-pre-scan')
    const work = [
      ...packet.events.filter((event) => event.kind === 'repair' || event.kind === 'clearing'),
      ...calibrationEvents(packet),
    ]
    const worst = scans.map((scan) =>
      worstOf(setAsideOwnClearing(work.map((event) => judgePrecedence(packet, scan, event)))),
    )
    const best = bestOf(worst.filter((precedence) => precedence !== null))
    return best === null ? nothingToCompare('no-work') : [outcomeOf(best)]
  },
}

/**
 * "Codes cleared" in the report of the scan itself, on the day of the scan: the report lists the codes that it cleared, so
 * the missing time of day leaves nothing open beside other work.
 */
function setAsideOwnClearing(list: readonly Precedence[]): readonly Precedence[] {
  const rest = list.filter(({ before, after, verdict }) => {
    return !(after.kind === 'clearing' && after.file === before.file && verdict === 'coarse')
  })
  return rest.length > 0 ? rest : list
}
