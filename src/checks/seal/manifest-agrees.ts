/** The lists of digests that came with the packet, against its files. */
import type { Check, Outcome } from '../check.ts'
import { describePart, findPart } from './seal-outcome.ts'

export const manifestAgrees: Check = {
  id: 'manifest-agrees',
  group: 'seal',
  claim: 'The files are those, and all of those, that the list of digests handed over with them names.',
  messages: {
    agrees: { state: 'met', text: '{because} ({digests}).' },
    'not-whole': { state: 'unmet', text: 'The bag is not whole: {because}.' },
    differs: { state: 'unmet', text: 'The files are not those of the list: {because}.' },
    unsettled: { state: 'undecided', text: 'The list of digests does not settle it: {because}.' },
    'no-list': { state: 'undecided', text: 'No list of digests was handed over with the files.' },
  },
  parameters: {},
  remedy: 'The packet again from whoever made the list, or the list again from whoever keeps the packet.',
  suppliers: ['shop', 'insurer'],
  settledWith: 'papers',
  exposes: {
    shop: 'a record that cannot be shown to be the one it handed over',
    calibrator: 'a record that cannot be shown to be the one it handed over',
    insurer: 'deciding on files that are not those that were sent',
    owner: 'a record of the repair that cannot be relied on',
  },
  collect: [],
  run({ seal }) {
    if (seal === null) return [{ state: 'undecided', message: 'no-list', data: {}, evidence: [] }]
    const structure = findPart(seal, 'structure')
    const files = findPart(seal, 'files')
    const outcomes: Outcome[] = []
    if (structure?.state === 'broken') outcomes.push(describePart('unmet', 'not-whole', structure))
    if (files?.state === 'broken') outcomes.push(describePart('unmet', 'differs', files))
    for (const part of [structure, files])
      if (part?.state === 'doubtful') outcomes.push(describePart('undecided', 'unsettled', part))
    if (outcomes.length > 0) return outcomes
    if (files?.state !== 'holds') return [{ state: 'undecided', message: 'no-list', data: {}, evidence: [] }]
    return [describePart('met', 'agrees', files, { digests: seal.digests.join(', ') })]
  },
}
