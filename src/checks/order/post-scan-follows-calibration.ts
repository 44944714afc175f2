/** The post-scan against every calibration performed. One post-scan that follows them all suffices. */
import { calibrationEvents } from '../calibrations.ts'
import type { Check } from '../check.ts'
import { postScanLine } from '../shared-lines.ts'
import { bestOf, judgePrecedence, worstOf } from './precedence.ts'
import { nothingToCompare, outcomeOf, precedenceMessages } from './precedence-outcome.ts'

export const postScanFollowsCalibration: Check = {
  id: 'post-scan-follows-calibration',
  group: 'order',
  claim: 'A post-scan started after the last calibration ended.',
  messages: {
    ...precedenceMessages,
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan.' },
    'no-calibration': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {},
  remedy: 'A scan of the whole vehicle after the last calibration, with date, time and zone.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle in a state that nobody recorded',
    calibrator: 'faults of the calibration that no scan could show',
    owner: 'driving with faults that nobody looked for',
  },
  collect: [postScanLine],
  run(packet) {
    const scans = packet.events.filter((event) => event.kind === 'post-scan')
    if (scans.length === 0) return nothingToCompare('no-post-scan')
    const calibrations = calibrationEvents(packet)
    const worst = scans.map((scan) => worstOf(calibrations.map((event) => judgePrecedence(packet, event, scan))))
    const best = bestOf(worst.filter((precedence) => precedence !== null))
    return best === null ? nothingToCompare('no-calibration') : [outcomeOf(best)]
  },
}
