import type { Check } from '../check.ts'
import { declareScanMessages, judgeScanPresence } from './scan-presence.ts'

export const preScanPresent: Check = {
  id: 'pre-scan-present',
  group: 'completeness',
  claim: 'The vehicle was scanned before the work began.',
  messages: declareScanMessages('pre-scan'),
  parameters: {},
  remedy:
    'Add the report of the scan that was made on arrival, or declare which file it is; it cannot be made good afterwards.',
  exposes: ['shop', 'insurer'],
  run: (packet) => [judgeScanPresence(packet, 'pre-scan')],
}
