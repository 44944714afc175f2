import type { DocumentFacts } from '../../facts/document.ts'
import { lookAlikesChosen } from '../../facts/look-alikes.ts'
import type { Check, Outcome } from '../check.ts'
import { filesLine } from '../shared-lines.ts'
import { listFiles, measureReach, placeFiles } from '../unread.ts'

export const filesReadable: Check = {
  id: 'files-readable',
  group: 'completeness',
  claim: 'Every file of the packet could be opened and read in full.',
  messages: {
    'all-read': { state: 'met', text: 'All {count} files could be opened and read in full.' },
    closed: { state: 'unmet', text: '{file} could not be read ({problems}).' },
    'picture-only': {
      state: 'unmet',
      text: '{file} was read only in part: its pages are pictures, and the words on them were not read.',
    },
    'from-picture': {
      state: 'unmet',
      text: '{file} is a picture of a document; the words that could be read surely were used ({problems}).',
    },
    partial: { state: 'unmet', text: '{file} was read only in part ({problems}).' },
    'format-not-read': { state: 'unmet', text: '{file} was not read: its format is none that is read ({problems}).' },
    'no-files': { state: 'undecided', text: 'The packet holds no files.' },
  },
  parameters: {},
  remedy: 'Save the file again from the instrument or program that made it, as a PDF with text, without a password.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'evidence that nobody can open',
  },
  collect: [filesLine],
  run(packet) {
    const { documents } = packet
    if (documents.length === 0) return [{ state: 'undecided', message: 'no-files', data: {}, evidence: [] }]
    const outcomes = documents.flatMap(describeProblem)
    if (outcomes.length > 0) return outcomes
    const data = { count: documents.length, files: listFiles(documents) }
    return [{ state: 'met', message: 'all-read', data, evidence: placeFiles(documents) }]
  },
}

function describeProblem(document: DocumentFacts): Outcome[] {
  const reach = measureReach(document)
  if (reach === 'whole') return []
  const problems = document.problems.map((problem) => problem.message.replace(/\.$/, '')).join('; ')
  const data = { file: document.file, problems, codes: document.problems.map((problem) => problem.code) }
  // A file whose role the packet declares is evidence whatever its format is.
  const foreign = document.kindFrom === 'declared' ? 'closed' : 'format-not-read'
  const onlyPicture = data.codes.every((code) => code === 'read-from-picture' || code === lookAlikesChosen)
  const part = onlyPicture ? 'from-picture' : 'partial'
  const messages = { closed: 'closed', foreign, wordless: 'picture-only', part }
  return [{ state: 'unmet', message: messages[reach], data, evidence: placeFiles([document]) }]
}
