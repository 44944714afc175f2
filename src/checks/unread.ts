/**
 * Files that were not read, or not understood: what is not found may stand in one of them.
 *
 * "No such record" may only be said of a packet whose files were all read. A scanned page without words, a damaged file,
 * or a readable file of unknown role that speaks of this job can each be the record that seems to be missing.
 */
import type { DocumentFacts, DocumentKind } from '../facts/document.ts'
import type { Packet } from '../packet/packet.ts'

/** Problems after which nothing of the file was read. */
const closedCodes: ReadonlySet<string> = new Set([
  'damaged',
  'encrypted',
  'empty',
  'timed-out',
  'out-of-memory',
  'crashed',
  'too-large',
  'unreadable',
])

/** Problems after which some of the file was not read. */
const partialCodes: ReadonlySet<string> = new Set(['no-text-layer', 'truncated', 'unknown-format', 'not-read'])

/** The problems that kept all (`closed`) or some (`partial`) of a file from being read. */
export function findReadingProblems(document: DocumentFacts): { closed: string[]; partial: string[] } {
  const codes = document.problems.map((problem) => problem.code)
  return {
    closed: codes.filter((code) => closedCodes.has(code)),
    partial: codes.filter((code) => partialCodes.has(code)),
  }
}

/** True when all of the file's words were read, so that what it does not say is not said. */
export function wasRead(document: DocumentFacts): boolean {
  const { closed, partial } = findReadingProblems(document)
  return closed.length === 0 && partial.length === 0
}

/** True when the file says something of a vehicle or a job, whatever its role is. */
function speaksOfJob(document: DocumentFacts): boolean {
  const { vin, vins, plate, jobNumber, modules, codes, calibrations, instrument, drive } = document
  return [vin, vins, plate, jobNumber, modules, codes, calibrations, instrument, drive].some(
    (fact) => fact !== undefined,
  )
}

/**
 * The files that may be a missing record of one of `kinds`: those of that kind or of no known role that were not read in
 * full, and readable ones of no known role that speak of a vehicle or job. Photographs are not among them.
 */
export function findPossibleRecords(packet: Packet, kinds: readonly DocumentKind[]): DocumentFacts[] {
  return packet.documents.filter((document) => {
    if (document.kind !== 'other') return kinds.includes(document.kind) && !wasRead(document)
    return !wasRead(document) || speaksOfJob(document)
  })
}

/** Photographs whose words were not read: one may show a screen or a printed page. */
export function findPhotographs(packet: Packet): DocumentFacts[] {
  return packet.documents.filter((document) => document.kind === 'photo')
}
