/** The files whose role a person should say. */
import { measureReach } from '../checks/unread.ts'
import { type DocumentFacts, documentKinds } from '../facts/document.ts'
import type { Packet } from '../packet/packet.ts'
import type { DraftPart } from './draft-part.ts'

/** Entries to fill in where the role is open; an entry with the role where it was only worked out. */
export function draftFiles({ documents, declaration }: Packet): DraftPart {
  const unclear = documents.filter(({ kindFrom }) => kindFrom !== 'declared').flatMap(judgeRole)
  const entries = unclear.map(({ file, kind }) => [file, { kind }] as const)
  const roles = unclear.some(({ kind }) => kind === null) ? [`A kind is one of ${documentKinds.join(', ')}.`] : []
  return {
    key: 'files',
    questions: unclear.map(({ question }) => question),
    notes: entries.length > 0 && declaration?.files === undefined ? roles : [],
    ...(entries.length > 0 && { suggestion: Object.fromEntries(entries) }),
  }
}

interface Unclear {
  file: string
  /** Null where the files do not tell. */
  kind: DocumentFacts['kind'] | null
  question: string
}

function judgeRole(document: DocumentFacts): Unclear[] {
  const { file, kind, kindFrom, problems } = document
  if (kind === 'scan') return [{ file, kind: null, question: `Is ${file} the pre-scan or the post-scan?` }]
  if (kindFrom === 'inferred')
    return [{ file, kind, question: `Is ${file} the ${kind}? It does not say so; its time and its codes do.` }]
  if (kind !== 'other') return []
  const reach = measureReach(document)
  if (reach === 'whole' || reach === 'part') return [{ file, kind: null, question: `What is ${file}?` }]
  // A file that the packet does not hold is named in packet.yaml, and mended there.
  if (problems.some(({ code }) => code === 'missing')) return []
  return [{ file, kind: null, question: `What is ${file}? Its words could not be read.` }]
}
