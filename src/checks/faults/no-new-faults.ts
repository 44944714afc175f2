/**
 * Codes of the last post-scan that no pre-scan shows. Codes are the same when code, failure type and module agree;
 * a failure type that one report does not print, and a module that the pre-scan names differently or not at all, are
 * given the benefit of the doubt.
 */
import type { CodeReading, DocumentFacts } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { codesWereRead, commonMessages, judgePostScans } from './post-scan-codes.ts'

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
        if (before.some((scan) => shows(scan, code))) return null
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

function shows(scan: DocumentFacts, code: CodeReading): boolean {
  const known = namesOf(scan)
  return (scan.codes ?? []).some((earlier) => {
    if (earlier.code !== code.code) return false
    const typed = earlier.failureType === null || code.failureType === null || earlier.failureType === code.failureType
    const named = code.module !== undefined && earlier.module !== undefined && known.has(simplify(code.module))
    return typed && (!named || simplify(earlier.module) === simplify(code.module))
  })
}

function wasSilent(scan: DocumentFacts, code: CodeReading): boolean {
  return (scan.modules ?? []).some(
    ({ name, state }) =>
      state === 'no-response' && code.module !== undefined && simplify(name) === simplify(code.module),
  )
}

function namesOf(scan: DocumentFacts): Set<string> {
  const names = [...(scan.modules ?? []).map((module) => module.name), ...(scan.codes ?? []).map((code) => code.module)]
  return new Set(names.map(simplify))
}

/** Module names without case, punctuation, order of words and the words that instruments add to any module. */
function simplify(name: string | undefined): string {
  const words = (name ?? '').toLowerCase().match(/[a-z0-9]+/g) ?? []
  return words
    .filter((word) => !['module', 'control', 'unit', 'system', 'ecu', 'sensor'].includes(word))
    .sort()
    .join(' ')
}
