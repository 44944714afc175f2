import type { DocumentFacts } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { listFiles, measureReach, placeFiles } from '../unread.ts'

export const filesRecognised: Check = {
  id: 'files-recognised',
  group: 'completeness',
  claim: 'The role of every file in the packet could be told.',
  messages: {
    'all-recognised': { state: 'met', text: 'The role of all {count} files could be told.' },
    'role-unknown': {
      state: 'unmet',
      text: 'The role of {file} could not be told, so nothing that it says was held against the other files.',
    },
    unread: { state: 'undecided', text: 'The role of {file} is unknown, because the file could not be read in full.' },
    'no-files': { state: 'undecided', text: 'The packet holds no files.' },
  },
  parameters: {},
  remedy:
    'Declare the role of the file under "files" in packet.yaml, or leave it out if it does not belong to the job.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'evidence that does not count, as nobody can tell what it is',
  },
  collect: [],
  run(packet) {
    const { documents } = packet
    if (documents.length === 0) return [{ state: 'undecided', message: 'no-files', data: {}, evidence: [] }]
    // A role that the declaration calls "other" is told.
    const unknown = documents.filter(({ kind, kindFrom }) => kind === 'other' && kindFrom !== 'declared')
    if (unknown.length > 0) return unknown.map(describeUnknown)
    const data = { count: documents.length, files: listFiles(documents) }
    return [{ state: 'met', message: 'all-recognised', data, evidence: placeFiles(documents) }]
  },
}

function describeUnknown(document: DocumentFacts): Outcome {
  const data = { file: document.file }
  const evidence = placeFiles([document])
  if (measureReach(document) === 'whole') return { state: 'unmet', message: 'role-unknown', data, evidence }
  return { state: 'undecided', message: 'unread', data, evidence }
}
