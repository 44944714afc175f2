/** What in a PDF acts or is a file of its own. A record needs nothing of it; forms and electronic invoices do. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { PdfActive, PdfActiveKind } from '../../facts/pdf-history.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Check, Outcome } from '../check.ts'

export const noActiveContent: Check = {
  id: 'no-active-content',
  group: 'documents',
  claim: 'No PDF carries scripts, actions that reach outside the file, or files within it.',
  messages: {
    none: { state: 'met', text: '{files} holds nothing that acts, and no file within.' },
    'data-attached': {
      state: 'met',
      text: '{file} carries its own data as a file, as electronic invoices do: {what}.',
    },
    acts: { state: 'unmet', text: '{file} holds what can act: {what}.' },
    attached: {
      state: 'unmet',
      text: '{file} carries other files, which this review does not read: {what}.',
    },
    'not-followed': { state: 'undecided', text: 'Whether {files} holds anything that acts could not be told.' },
    'no-pdf': { state: 'undecided', text: 'The packet holds no PDF.' },
  },
  parameters: {},
  remedy: 'The record as a file without scripts, actions and attached files; attached files as files of the packet.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: { insurer: 'opening files that act by themselves, or that hold more than they show' },
  collect: [],
  run(packet) {
    const files = packet.documents.filter(({ media, bytes }) => media === 'application/pdf' && bytes > 0)
    if (files.length === 0) return [{ state: 'undecided', message: 'no-pdf', data: {}, evidence: [] }]
    const unknown = files.filter(({ pdf }) => (pdf?.active ?? null) === null)
    const quiet = files.filter(({ pdf }) => pdf?.active?.length === 0)
    return [
      ...tellFiles('met', 'none', quiet),
      ...tellFiles('undecided', 'not-followed', unknown),
      ...files.flatMap((document) => judge(document, document.pdf?.active ?? [])),
    ]
  },
}

function tellFiles(state: Outcome['state'], message: string, documents: readonly DocumentFacts[]): Outcome[] {
  if (documents.length === 0) return []
  const files = documents.map(({ file }) => file)
  return [{ state, message, data: { files }, evidence: files.map((file) => ({ file, text: '' })) }]
}

/** How many of a file are named. */
const mostNamed = 6

function judge(document: DocumentFacts, active: readonly PdfActive[]): Outcome[] {
  const [files, acting] = [active.filter(({ kind }) => kind === 'file'), active.filter(({ kind }) => kind !== 'file')]
  const [data, others] = [files.filter(isOwnData), files.filter((one) => !isOwnData(one))]
  return [
    ...tell(document, 'unmet', 'acts', acting),
    ...tell(document, 'unmet', 'attached', others),
    ...tell(document, 'met', 'data-attached', data),
  ]
}

/**
 * The data that a paper was made from, as PDF/A-3 (ISO 19005-3, Annex E) has an electronic invoice carry it: XML that says
 * of itself that it is the source, the data or another form of the paper.
 */
function isOwnData({ relation, media, text }: PdfActive): boolean {
  const isXml = /xml$/i.test(media ?? '') || /\.xml$/i.test(text)
  return isXml && relation !== undefined && ['Source', 'Data', 'Alternative'].includes(relation)
}

function tell(
  { file }: DocumentFacts,
  state: Outcome['state'],
  message: string,
  found: readonly PdfActive[],
): Outcome[] {
  if (found.length === 0) return []
  const rest = found.length - mostNamed
  const what = [...found.slice(0, mostNamed).map(describe), ...(rest > 0 ? [`${rest} more`] : [])]
  return [
    { state, message, data: { file, what }, evidence: found.slice(0, mostNamed).map((one) => placeOf(file, one)) },
  ]
}

const words: Readonly<Record<PdfActiveKind, string>> = {
  script: 'a script',
  launch: 'starting a program',
  send: 'sending or taking in data',
  elsewhere: 'going to another file',
  media: 'active media',
  file: 'a file',
  other: 'an action',
}

function describe({ kind, text, where, object }: PdfActive): string {
  const number = object === null ? '' : `, object ${object}`
  return `${words[kind]}${text === '' ? '' : ` “${text}”`} (${where}${number})`
}

const placeOf = (file: string, { page, text }: PdfActive): FilePlace =>
  page === null ? { file, text } : { file, page, text }
