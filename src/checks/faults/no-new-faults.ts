/** Codes of the last post-scan that no pre-scan shows; see `showsCode` for when two codes are the same. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { codesWereRead, commonMessages, judgePostScans } from './post-scan-codes.ts'
import { showsCode, wasSilent } from './same-code.ts'

export const noNewFaults: Check = {
  id: 'no-new-faults',
  group: 'faults',
  claim: 'The last post-scan shows no code that the pre-scan did not.',
  messages: {
    'new-active': { state: 'unmet', text: '{code} is active in {module} after the work; no pre-scan shows it{said}.' },
    'new-stored': {
      state: 'unmet',
      text: '{code} ({status}) is in {module} after the work; no pre-scan shows it{said}.',
    },
    'module-silent-before': {
      state: 'undecided',
      text: '{code} is in {module} after the work; that module did not answer the pre-scan, so the code may be older.',
    },
    ...commonMessages('code that the pre-scan did not'),
    'no-pre-scan': { state: 'undecided', text: 'The packet holds no pre-scan to compare with.' },
    'pre-scan-not-read': { state: 'undecided', text: 'No pre-scan was read well enough to compare with.' },
  },
  parameters: {},
  remedy: 'A pre-scan that shows the code, or a repair of its cause and a later post-scan without it.',
  suppliers: ['shop'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'answering for a fault that came with the work',
    owner: 'driving with a fault that was not there before',
  },
  collect: [],
  run(packet) {
    const before = packet.documents.filter((document) => document.kind === 'pre-scan')
    if (before.length === 0) return [{ state: 'undecided', message: 'no-pre-scan', data: {}, evidence: [] }]
    const outcomes = judgePostScans(packet, {
      code(code) {
        if (before.some((scan) => showsCode(scan, code))) return null
        if (before.some((scan) => wasSilent(scan, code))) return 'module-silent-before'
        return code.status === 'active' ? 'new-active' : 'new-stored'
      },
    })
    const evidence = before.flatMap((scan) => findPlaces(scan, 'codes'))
    return outcomes.map((outcome) => qualify(outcome, before, evidence))
  },
}

/** A code can only be called new beside a pre-scan that was read; every outcome also points at the pre-scans. */
function qualify(outcome: Outcome, before: readonly DocumentFacts[], evidence: Outcome['evidence']): Outcome {
  const both = { ...outcome, evidence: [...outcome.evidence, ...evidence] }
  if (outcome.state === 'unmet' && !before.every(codesWereRead))
    return { ...both, state: 'undecided', message: 'pre-scan-not-read' }
  return outcome.message === 'module-silent-before' ? { ...both, state: 'undecided' } : both
}
