import type { Check } from '../check.ts'
import { preScanLine } from '../shared-lines.ts'
import { declareScanMessages, judgeScanPresence } from './scan-presence.ts'

export const preScanPresent: Check = {
  id: 'pre-scan-present',
  group: 'completeness',
  claim: 'The vehicle was scanned before the work began.',
  messages: declareScanMessages('pre-scan'),
  parameters: {},
  remedy:
    'Add the report of the scan that was made on arrival, or declare which file it is; it cannot be made good afterwards.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'answering for faults that the vehicle came with',
    insurer: 'paying for faults that are not of this loss',
  },
  collect: [preScanLine],
  run: (packet) => [judgeScanPresence(packet, 'pre-scan')],
}
