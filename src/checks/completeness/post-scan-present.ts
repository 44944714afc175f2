import type { Check } from '../check.ts'
import { declareScanMessages, judgeScanPresence } from './scan-presence.ts'

export const postScanPresent: Check = {
  id: 'post-scan-present',
  group: 'completeness',
  claim: 'The vehicle was scanned after the work had ended.',
  messages: declareScanMessages('post-scan'),
  parameters: {},
  remedy: 'Add the report of the scan that was made before release, declare which file it is, or scan the vehicle now.',
  exposes: ['shop', 'insurer', 'owner'],
  run: (packet) => [judgeScanPresence(packet, 'post-scan')],
}
