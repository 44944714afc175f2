/** Reports that are pictures: scanned, or photographed. The file that an instrument or office saved says more than a picture of it. */
import type { DocumentFacts, DocumentKind } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { filesLine } from '../shared-lines.ts'

export const originalsNotCopies: Check = {
  id: 'originals-not-copies',
  group: 'documents',
  claim: 'Every report is the file that its program saved, not a picture of it.',
  messages: {
    originals: { state: 'met', text: '{files} have text of their own.' },
    picture: {
      state: 'unmet',
      text: '{file} is a picture of paper, without text of its own: who made it, and when, cannot be told from it.',
    },
    'some-pages': {
      state: 'unmet',
      text: '{file} holds pages that are pictures without text of their own ({because}).',
    },
    photographed: {
      state: 'unmet',
      text: '{file} is a photo of a report ({kind}), not the report itself.',
    },
    'no-report': { state: 'undecided', text: 'No report of the packet could be looked at.' },
  },
  parameters: {},
  remedy: 'The report as the file that the instrument or office saved.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: { calibrator: 'a record whose file cannot be examined' },
  collect: [filesLine],
  run(packet) {
    const outcomes = packet.documents.flatMap((document) => judge(document))
    const originals = packet.documents.filter((document) => isReport(document) && judge(document).length === 0)
    const met: Outcome[] =
      originals.length === 0
        ? []
        : [
            {
              state: 'met',
              message: 'originals',
              data: { files: originals.map(({ file }) => file) },
              evidence: originals.map(({ file }) => ({ file, text: '' })),
            },
          ]
    const all = [...met, ...outcomes]
    return all.length > 0 ? all : [{ state: 'undecided', message: 'no-report', data: {}, evidence: [] }]
  },
}

const reports: ReadonlySet<DocumentKind> = new Set([
  'pre-scan',
  'post-scan',
  'scan',
  'calibration',
  'alignment',
  'drive-log',
  'estimate',
  'invoice',
])

/** Read, and of a kind that a program saves. A letter may be signed on paper. */
const isReport = ({ kind, media, pages, problems }: DocumentFacts): boolean =>
  reports.has(kind) && media === 'application/pdf' && (pages ?? 0) > 0 && !problems.some(({ code }) => closed.has(code))

const closed: ReadonlySet<string> = new Set(['encrypted', 'damaged', 'empty', 'truncated', 'blank'])
/** Of pages without words of their own; words that were read in their pictures are none. */
const wordless: ReadonlySet<string> = new Set(['no-text-layer', 'page-without-text', 'read-from-picture'])

function judge(document: DocumentFacts): Outcome[] {
  const { file, kind, media, problems } = document
  const evidence = [{ file, text: '' }]
  if (media.startsWith('image/')) {
    // A label or a bay is no report; only what was read of a picture tells that it shows one.
    if (!reports.has(kind) || document.photo === undefined) return []
    return [{ state: 'unmet', message: 'photographed', data: { file, kind }, evidence }]
  }
  if (media !== 'application/pdf' || kind === 'photo' || kind === 'statement') return []
  const told = problems.filter(({ code }) => wordless.has(code))
  const count = told.reduce((sum, { message }) => sum + countPages(message), 0)
  if (count === 0) return []
  if (count >= (document.pages ?? 0)) return [{ state: 'unmet', message: 'picture', data: { file }, evidence }]
  if (!reports.has(kind)) return []
  const because = told.map(({ message }) => (message.split(':')[0] ?? '').toLowerCase())
  return [{ state: 'unmet', message: 'some-pages', data: { file, because }, evidence }]
}

/** Of `Page 3` or `Pages 1-4, 7` at the head of a problem. */
function countPages(message: string): number {
  const list = /^Pages? ([\d, –-]+)/.exec(message)?.[1] ?? ''
  return list.split(',').reduce((sum, part) => {
    const [from, to = from] = part.split(/[–-]/).map((number) => Number(number.trim()))
    return from === undefined || to === undefined || !(from > 0) ? sum : sum + to - from + 1
  }, 0)
}
