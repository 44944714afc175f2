/**
 * Codes that the last post-scan shows as present. Stored and history codes are past, pending ones another check's
 * matter. A status that is not stated may mean present, so it is worth a look, whatever the module.
 */
import type { Check } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { commonMessages, judgePostScans, systemOf } from './post-scan-codes.ts'

export const noFaultsLeft: Check = {
  id: 'no-faults-left',
  group: 'faults',
  claim: 'The last post-scan shows no active or confirmed trouble code.',
  messages: {
    'fault-left': { state: 'unmet', text: '{code} is left as {status} in {module} ({system}){said}.' },
    'fault-left-elsewhere': { state: 'unmet', text: '{code} is left as {status} in {module}{said}.' },
    'status-not-stated': { state: 'unmet', text: '{code} is listed in {module} without saying whether it is present.' },
    'fault-without-code': {
      state: 'unmet',
      text: '{module} is marked as faulty in {file}, and no code is listed for it.',
    },
    ...commonMessages('active or confirmed code'),
  },
  parameters: {
    systems: 'Systems in which a code that is left weighs most: driver-assistance, brake, steering, restraint.',
    statuses: 'Statuses that count as left.',
  },
  remedy: 'A later post-scan without the code, or the reason in writing why it may stay.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle with a fault',
    calibrator: 'a calibration that may not stand',
    owner: 'driving with a system that may not work',
  },
  collect: [],
  run(packet, parameters) {
    const systems = listParameter(parameters, 'systems')
    const statuses = listParameter(parameters, 'statuses')
    return judgePostScans(packet, {
      code(code, document) {
        if (code.status === 'unknown') return 'status-not-stated'
        if (!statuses.includes(code.status)) return null
        return systems.includes(systemOf(document, code) ?? '') ? 'fault-left' : 'fault-left-elsewhere'
      },
      module({ name, state }, document) {
        const listed = (document.codes ?? []).some((code) => code.module === undefined || code.module === name)
        return state === 'fault' && !listed ? 'fault-without-code' : null
      },
    })
  },
}
