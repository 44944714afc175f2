/** Modules that the last post-scan could not reach. A module that is not fitted is not expected to answer. */
import type { Check } from '../check.ts'
import { judgePostScans } from './post-scan-codes.ts'

export const modulesRespond: Check = {
  id: 'modules-respond',
  group: 'faults',
  claim: 'Every fitted module answered the last post-scan.',
  messages: {
    'assistance-silent': { state: 'unmet', text: '{module}, a driver-assistance module, did not respond in {file}.' },
    'module-silent': { state: 'unmet', text: '{module} did not respond in {file}.' },
    none: { state: 'met', text: 'None of the {modules} modules listed in {file} failed to answer.' },
    'not-read': { state: 'undecided', text: '{file} does not tell which modules answered.' },
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan.' },
  },
  parameters: {},
  remedy: 'A post-scan in which the module answers, or proof that the vehicle does not have it.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle with a module that does not answer',
    owner: 'driving with a system that may not work',
  },
  collect: [],
  run(packet) {
    const outcomes = judgePostScans(packet, {
      code: () => null,
      module({ state, system }) {
        if (state !== 'no-response') return null
        return system === 'driver-assistance' ? 'assistance-silent' : 'module-silent'
      },
    })
    return outcomes.map((outcome) => {
      if (outcome.state !== 'met' || Number(outcome.data.modules) > 0) return outcome
      return { ...outcome, state: 'undecided', message: 'not-read' }
    })
  },
}
