/** Pending codes of the last post-scan: the fault was seen once and its test may yet confirm it. */
import type { Check } from '../check.ts'
import { commonMessages, judgePostScans } from './post-scan-codes.ts'

export const noPendingFaults: Check = {
  id: 'no-pending-faults',
  group: 'faults',
  claim: 'The last post-scan shows no pending trouble code.',
  messages: {
    pending: { state: 'unmet', text: '{code} is pending in {module}{said}.' },
    ...commonMessages('pending code'),
  },
  parameters: {},
  remedy: 'A post-scan after another drive, in which the code is gone.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'a fault that shows itself after release',
    calibrator: 'a calibration that may not last',
  },
  collect: [],
  run(packet) {
    return judgePostScans(packet, { code: (code) => (code.status === 'pending' ? 'pending' : null) })
  },
}
