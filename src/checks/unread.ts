/**
 * Files that were not read, or not understood: what is not found may stand in one of them.
 *
 * "No such record" may only be said of a packet whose files were all read. A scanned page without words, a damaged file,
 * or a readable file of unknown role that holds what only records hold can each be the record that seems to be missing.
 */
import type { DocumentFacts, DocumentKind } from '../facts/document.ts'
import type { Packet } from '../packet/packet.ts'

/** Problems after which nothing of a file was read, unless some of its facts were found all the same. */
const closingCodes: ReadonlySet<string> = new Set([
  'blank',
  'damaged',
  'empty',
  'empty-file',
  'encrypted',
  'missing',
  'out-of-memory',
  'reader-crashed',
  'reader-failed',
  'timed-out',
  'truncated',
  'unreadable',
])

/** Formats that no reader reads: such a file need not be evidence at all. */
const foreignCodes: ReadonlySet<string> = new Set(['nested-archive', 'unknown-format', 'unsupported-compression'])

/**
 * Problems that say how something was read, and lose no words. Any other problem, also one that is not known here, is
 * taken to have kept some of the file from being read.
 */
const remarks: ReadonlySet<string> = new Set([
  'ambiguous-date',
  'bad-time',
  'blank-page',
  'control-characters',
  'date-from-name',
  'duplicate-key',
  'look-alikes-chosen',
  'no-date',
  'no-fix',
  'no-points',
  'no-time',
  'speed-without-unit',
  'time-without-zone',
])

/**
 * How much of a file was read: `closed` nothing, though it is a format that is read; `foreign` nothing, as its format is
 * not read; `wordless` a picture of a document, whose words were not read; `part` some of it; `whole` all of it.
 */
export type Reach = 'closed' | 'foreign' | 'wordless' | 'part' | 'whole'

/** How much of the file was read. */
export function measureReach(document: DocumentFacts): Reach {
  const codes = document.problems.map((problem) => problem.code)
  if (codes.some((code) => closingCodes.has(code))) return speaksOfJob(document) ? 'part' : 'closed'
  if (codes.some((code) => foreignCodes.has(code))) return 'foreign'
  if (document.kind !== 'photo' && (codes.includes('no-text-layer') || isBarePicture(document))) return 'wordless'
  // A picture without words is what a photograph is.
  const ofPhotos = ['no-text-layer', 'read-from-picture']
  const losing = codes.filter((code) => !remarks.has(code) && !(document.kind === 'photo' && ofPhotos.includes(code)))
  return losing.length > 0 ? 'part' : 'whole'
}

/** A record saved as a picture: its words are not read. */
function isBarePicture(document: DocumentFacts): boolean {
  return document.media.startsWith('image/') && !speaksOfJob(document)
}

/** True when all of the file's words were read, so that what it does not say is not said. */
export function wasRead(document: DocumentFacts): boolean {
  return measureReach(document) === 'whole'
}

/** True when the file says something of a vehicle or a job, whatever its role is. */
function speaksOfJob(document: DocumentFacts): boolean {
  const { vin, vins, plate, jobNumber, odometer, modules, codes, calibrations, instrument, drive, operations } =
    document
  return [vin, vins, plate, jobNumber, odometer, modules, codes, calibrations, instrument, drive, operations].some(
    isTold,
  )
}

/** A list that the reader of a kind always gives tells nothing while it is empty. */
function isTold(fact: unknown): boolean {
  return Array.isArray(fact) ? fact.length > 0 : fact !== undefined
}

/** True when the file holds what instruments print and letters do not. */
function looksLikeRecord(document: DocumentFacts): boolean {
  const { modules, codes, statedCodeCount, calibrations, alignment, instrument, drive } = document
  return [modules, codes, statedCodeCount, calibrations, alignment, instrument, drive].some(isTold)
}

/**
 * The files that may be a missing record of one of `kinds`: those of that kind or of no known role that were not read in
 * full, and readable ones of no known role that look like a record. Photographs are not among them.
 */
export function findPossibleRecords(packet: Packet, kinds: readonly DocumentKind[]): DocumentFacts[] {
  return packet.documents.filter((document) => {
    if (document.kind !== 'other') return kinds.includes(document.kind) && !wasRead(document)
    return !wasRead(document) || looksLikeRecord(document)
  })
}

/** Photographs, whose words are not read: one may show a screen or a printed page. */
export function findPhotographs(packet: Packet): DocumentFacts[] {
  return packet.documents.filter((document) => document.kind === 'photo')
}

/** The names of files, for a sentence. */
export function listFiles(documents: readonly DocumentFacts[]): string[] {
  return documents.map((document) => document.file)
}

/** The files themselves as places, where no words can be pointed at. */
export function placeFiles(documents: readonly DocumentFacts[]): { file: string; text: string }[] {
  return documents.map(({ file }) => ({ file, text: '' }))
}
