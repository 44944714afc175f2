/** Which scan was taken before the work and which after it, where the packet decides it. */
import type { DocumentFacts, DocumentKind } from '../facts/document.ts'
import { usualClockErrors } from './clocks.ts'
import { draftEvents } from './events.ts'
import type { Declaration, EventKind, OrderAnswer } from './packet.ts'
import { buildTimeline } from './timeline.ts'
import type { TimelineOptions } from './timeline-model.ts'

const baseName = (path: string): string => path.slice(path.lastIndexOf('/') + 1)

/** Kinds that `files:` of packet.yaml declares, by path in the packet or else by base name. */
function applyDeclaredKinds(documents: readonly DocumentFacts[], declaration: Declaration | null): DocumentFacts[] {
  const declared = new Map(Object.entries(declaration?.files ?? {}))
  return documents.map((document) => {
    const entry = declared.get(document.file) ?? declared.get(baseName(document.file))
    return entry === undefined ? document : { ...document, kind: entry.kind, kindFrom: 'declared' }
  })
}

const isScan = (kind: DocumentKind): boolean => kind === 'scan' || kind === 'pre-scan' || kind === 'post-scan'
const workKinds: readonly EventKind[] = ['repair', 'clearing', 'alignment', 'calibration', 'drive']

const countCodes = (document: DocumentFacts | undefined): number | null =>
  document?.codes?.length ?? document?.statedCodeCount ?? null

/** What the timeline says of a packet's scans, by index into its documents. */
interface ScanOrder {
  /** It certainly ended before some of the work began, and may have ended before all of it. */
  precedesWork(scan: number): boolean
  /** It certainly began after a calibration (after other work where there is none) had ended, and may have after all. */
  followsWork(scan: number): boolean
  precedes(scan: number, other: number): OrderAnswer['answer']
}

function orderScans(
  documents: readonly DocumentFacts[],
  declaration: Declaration | null,
  options: TimelineOptions,
): ScanOrder {
  // Any scan is drafted as a scan before the work, so that it stands on the timeline at all.
  const drafted = documents.map((document) =>
    isScan(document.kind) ? { ...document, kind: 'pre-scan' as const } : document,
  )
  const drafts = draftEvents(drafted, declaration)
  const { timeline } = buildTimeline(drafts, options)
  const eventOf = (scan: number): string =>
    drafts.find((draft) => draft.kind === 'pre-scan' && draft.document === scan)?.id ?? ''
  const work = drafts.filter((draft) => workKinds.includes(draft.kind))
  const calibrations = work.filter((draft) => draft.kind === 'calibration')
  const order = (before: string, after: string): OrderAnswer['answer'] =>
    timeline.order({ event: before, edge: 'end' }, { event: after, edge: 'start' }).answer
  const holds = (answers: readonly OrderAnswer['answer'][]): boolean =>
    answers.includes('certain') && !answers.includes('impossible')
  const finished = calibrations.length > 0 ? calibrations : work
  return {
    precedesWork: (scan) => holds(work.map(({ id }) => order(eventOf(scan), id))),
    followsWork: (scan) => holds(finished.map(({ id }) => order(id, eventOf(scan)))),
    precedes: (scan, other) => order(eventOf(scan), eventOf(other)),
  }
}

type Assignment = Map<number, 'pre-scan' | 'post-scan'>

/**
 * Takes every rule in turn; a rule only fills a place that is still empty.
 *
 * 1. The earliest scan that precedes the work is the pre-scan, the latest that follows every calibration the post-scan.
 * 2. Of scans in a certain order, the first is the pre-scan unless it follows a calibration, the last the post-scan; a
 *    last scan that precedes all work counts as one only if it shows fewer codes, as if taken after they were cleared.
 * 3. Of two scans in no certain order, the one that shows more codes is the pre-scan and the other the post-scan.
 */
function assign(documents: readonly DocumentFacts[], order: ScanOrder): Assignment {
  const assigned: Assignment = new Map()
  const kindAt = (index: number): DocumentKind | undefined => assigned.get(index) ?? documents[index]?.kind
  const scans = [...documents.keys()].filter((index) => isScan(documents[index]?.kind ?? 'other'))
  const open = (): number[] => scans.filter((index) => kindAt(index) === 'scan')
  const holderOf = (kind: 'pre-scan' | 'post-scan'): number | undefined => scans.find((index) => kindAt(index) === kind)
  const place = (kind: 'pre-scan' | 'post-scan', index: number | undefined): void => {
    if (index !== undefined && holderOf(kind) === undefined) assigned.set(index, kind)
  }
  const firstOf = (some: readonly number[]): number | undefined =>
    some.find((one) => some.every((other) => other === one || order.precedes(one, other) === 'certain'))
  const lastOf = (some: readonly number[]): number | undefined =>
    some.find((one) => some.every((other) => other === one || order.precedes(other, one) === 'certain'))
  const fewerCodes = (one: number, other: number): boolean => {
    const [ours, theirs] = [countCodes(documents[one]), countCodes(documents[other])]
    return ours !== null && theirs !== null && ours < theirs
  }

  place('pre-scan', firstOf(open().filter((scan) => order.precedesWork(scan) && !order.followsWork(scan))))
  place('post-scan', lastOf(open().filter((scan) => order.followsWork(scan) && !order.precedesWork(scan))))
  if (scans.length < 2) return assigned

  const first = firstOf(scans)
  if (first !== undefined && open().includes(first) && !order.followsWork(first)) place('pre-scan', first)
  const last = lastOf(scans)
  const before = holderOf('pre-scan')
  if (last !== undefined && open().includes(last) && before !== undefined)
    if (!order.precedesWork(last) || fewerCodes(last, before)) place('post-scan', last)

  const [one, other] = scans
  if (scans.length === 2 && one !== undefined && other !== undefined) {
    const [fewer, more] = fewerCodes(one, other) ? [one, other] : [other, one]
    if (fewerCodes(fewer, more) && order.precedes(more, fewer) !== 'impossible') {
      if (kindAt(more) === 'scan') place('pre-scan', more)
      if (kindAt(fewer) === 'scan') place('post-scan', fewer)
    }
  }
  return assigned
}

/**
 * Gives every document its final kind: declared kinds win, and a scan that no heading tells becomes a pre-scan or a
 * post-scan where the packet decides it (`kindFrom: 'inferred'`); else it stays a scan. Documents sorted by path.
 */
export function assignScanKinds(
  documents: readonly DocumentFacts[],
  declaration: Declaration | null,
  options: TimelineOptions = { clockErrors: usualClockErrors, zone: declaration?.zone ?? null },
): DocumentFacts[] {
  const declared = applyDeclaredKinds(documents, declaration)
  const undecided = declared.filter(({ kind, kindFrom }) => kind === 'scan' && kindFrom !== 'declared')
  if (undecided.length === 0) return declared
  const assigned = assign(declared, orderScans(declared, declaration, options))
  return declared.map((document, index) => {
    const kind = document.kindFrom === 'declared' ? undefined : assigned.get(index)
    return kind === undefined ? document : { ...document, kind, kindFrom: 'inferred' }
  })
}
