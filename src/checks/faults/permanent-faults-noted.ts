/** Permanent codes of the last post-scan. No instrument erases them: the vehicle does, once its own test has run and passed. */
import type { Check } from '../check.ts'
import { commonMessages, judgePostScans } from './post-scan-codes.ts'

export const permanentFaultsNoted: Check = {
  id: 'permanent-faults-noted',
  group: 'faults',
  claim: 'The last post-scan shows no permanent trouble code.',
  messages: {
    permanent: {
      state: 'unmet',
      text: '{code} is left as permanent in {module}{said}; only the vehicle itself erases it, after its test has run and passed.',
    },
    ...commonMessages('permanent code'),
  },
  parameters: {},
  remedy: 'A scan after enough driving in which the code is gone, or a note to the owner that it is left and why.',
  suppliers: ['shop', 'owner'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'an emissions inspection that the vehicle does not pass',
    owner: 'an emissions inspection that the vehicle does not pass',
  },
  collect: [],
  run(packet) {
    return judgePostScans(packet, { code: (code) => (code.status === 'permanent' ? 'permanent' : null) })
  },
}
