/** Whether a packet holds the scan before, or after, the work: one rule for both. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import type { MessageDeclaration, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { findPhotographs, findPossibleRecords, listFiles, placeFiles, wasRead } from '../unread.ts'

export type ScanKind = 'pre-scan' | 'post-scan'

/** The messages of a check that asks for a scan of this kind. */
export function declareScanMessages(kind: ScanKind): Record<string, MessageDeclaration> {
  return {
    present: { state: 'met', text: `The ${kind} is {files}.` },
    'by-name': { state: 'unmet', text: `{files} is taken for the ${kind} by its file name alone.` },
    inferred: {
      state: 'unmet',
      text: `{files} is taken for the ${kind} only by inference: neither its heading nor a declaration says so.`,
    },
    'not-read': { state: 'unmet', text: `{files} is held out as the ${kind}, but its words could not be read.` },
    none: { state: 'unmet', text: `No ${kind} is in the packet.` },
    'none-but-photos': {
      state: 'unmet',
      text: `No ${kind} is in the packet, unless one of its photographs ({files}) shows it: the words on them are not read.`,
    },
    'scan-undecided': {
      state: 'undecided',
      text: `{files} is a scan, and nothing tells whether it is the ${kind}.`,
    },
    'maybe-unread': {
      state: 'undecided',
      text: `No ${kind} was recognised; {files} could not be read or recognised and may be it.`,
    },
  }
}

/** One outcome: the best that the packet has to show for a scan of this kind. */
export function judgeScanPresence(packet: Packet, kind: ScanKind): Outcome {
  const scans = packet.documents.filter((document) => document.kind === kind)
  const read = scans.filter(
    (document) => wasRead(document) || document.modules !== undefined || document.codes !== undefined,
  )
  const strong = read.filter(({ kindFrom }) => kindFrom !== 'name' && kindFrom !== 'inferred')
  if (strong.length > 0) return describe('met', 'present', strong)
  const named = read.filter(({ kindFrom }) => kindFrom === 'name')
  if (named.length > 0) return describe('unmet', 'by-name', named)
  if (read.length > 0) return describe('unmet', 'inferred', read)
  if (scans.length > 0) return describe('unmet', 'not-read', scans)
  const undecided = packet.documents.filter((document) => document.kind === 'scan')
  if (undecided.length > 0) return describe('undecided', 'scan-undecided', undecided)
  const possible = findPossibleRecords(packet, [])
  if (possible.length > 0) return describe('undecided', 'maybe-unread', possible)
  const photographs = findPhotographs(packet)
  return photographs.length > 0
    ? describe('unmet', 'none-but-photos', photographs)
    : { ...describe('unmet', 'none', []), evidence: placeFiles(packet.documents) }
}

function describe(state: Outcome['state'], message: string, documents: readonly DocumentFacts[]): Outcome {
  const evidence =
    state === 'met' ? documents.flatMap((document) => findPlaces(document, 'kind')) : placeFiles(documents)
  return { state, message, data: { files: listFiles(documents) }, evidence }
}
