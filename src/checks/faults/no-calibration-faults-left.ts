/**
 * Codes of the last post-scan that speak of the calibration itself, by failure type byte (SAE J2012-DA) or by words.
 * A stored or history code says that the sensor was once misaligned, not that it is: those statuses are left out by the
 * rulebook's default.
 */
import type { CodeReading } from '../../facts/document.ts'
import type { Check } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { commonMessages, judgePostScans } from './post-scan-codes.ts'

export const noCalibrationFaultsLeft: Check = {
  id: 'no-calibration-faults-left',
  group: 'faults',
  claim: 'No code of the last post-scan says that a sensor is not calibrated, not configured, misaligned or blocked.',
  messages: {
    'failure-type': {
      state: 'unmet',
      text: '{code} in {module} ({status}): failure type "{meaning}"{said}.',
    },
    wording: { state: 'unmet', text: '{code} in {module} ({status}) reads "{text}".' },
    ...commonMessages('code about calibration, configuration, alignment or a blocked sensor'),
  },
  parameters: {
    failureTypes: 'Failure type bytes, two hexadecimal digits each, that speak of calibration.',
    wordings: 'Phrases in the text of a code that say the same, in lower case.',
    statuses: 'Statuses that count as left.',
  },
  remedy: 'A later post-scan without the code, or a record that the calibration was repeated after it.',
  suppliers: ['calibrator'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'a calibration that the vehicle itself says is missing',
    owner: 'driving with a sensor that does not know where it looks',
  },
  collect: [],
  run(packet, parameters) {
    const failureTypes = listParameter(parameters, 'failureTypes')
    const wordings = listParameter(parameters, 'wordings')
    const statuses = listParameter(parameters, 'statuses')
    return judgePostScans(packet, {
      code(code) {
        if (!statuses.includes(code.status)) return null
        if (code.failureType !== null && failureTypes.includes(code.failureType.toUpperCase())) return 'failure-type'
        return reads(code, wordings) ? 'wording' : null
      },
    })
  },
}

function reads(code: CodeReading, wordings: readonly string[]): boolean {
  const words = (code.text ?? '').toLowerCase().replace(/[^a-z0-9]+/g, ' ')
  return wordings.some((phrase) => words.includes(phrase))
}
