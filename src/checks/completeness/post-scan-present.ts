import type { Check } from '../check.ts'
import { postScanLine } from '../shared-lines.ts'
import { declareScanMessages, judgeScanPresence } from './scan-presence.ts'

export const postScanPresent: Check = {
  id: 'post-scan-present',
  group: 'completeness',
  claim: 'The vehicle was scanned after the work had ended.',
  messages: declareScanMessages('post-scan'),
  parameters: {},
  remedy: 'Add the report of the scan that was made before release, declare which file it is, or scan the vehicle now.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle in a state that nobody recorded',
    insurer: 'paying for a repair whose result is not shown',
    owner: 'driving with faults that nobody looked for',
  },
  collect: [postScanLine],
  run: (packet) => [judgeScanPresence(packet, 'post-scan')],
}
