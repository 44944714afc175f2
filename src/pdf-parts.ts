/**
 * PDFs hold what they were before: the part up to an earlier end, or to the end of what a signature covers, is a file of
 * its own. Each is read like any file, and compared with the whole.
 */
import type { PdfFacts, PdfRevision, PdfWriter } from './facts/pdf-history.ts'
import type { PdfSignature } from './facts/pdf-signature.ts'
import type { DocumentInformation, Reading } from './facts/reading.ts'
import {
  compareParts,
  type FactPlaces,
  type HistoryPart,
  listActive,
  listMarks,
  listParts,
  type StateRead,
} from './seal/pdf/history/index.ts'
import { addWords, type ExaminedSignature, examinePdfSignatures, type PdfExamining } from './seal/pdf/reading/index.ts'
import { SyntaxFault } from './seal/pdf/reading/syntax.ts'

/** How the parts of one file are read; every part at most once. */
export interface PartReading {
  bytes: Uint8Array
  /** Of the whole file, and the places of its facts. */
  whole: Reading
  facts: FactPlaces
  /** Reads the bytes up to `end`. */
  read(end: number): Promise<Reading>
  /** The places of the facts of a part. */
  recognise(reading: Reading): FactPlaces
}

/** More parts than these are not read again: the first and the newest are. */
const mostParts = 6
/** Of signatures, by the order of the form: what their objects tell must do for the others. */
const mostSigned = 4

/** What a file is made of, and what its signatures are worth. */
export interface PdfParts {
  /** Absent where how the file is built cannot be followed, or none of its pages was read. */
  pdf?: PdfFacts
  signatures: PdfSignature[]
}

/** Never rejects for what the bytes are. `examining`: by what signatures are judged. */
export async function readParts(reading: PartReading, examining: PdfExamining): Promise<PdfParts> {
  const parts = listParts(reading.bytes)
  const known = new Map<number, Promise<Reading>>()
  const read = (end: number): Promise<Reading> => {
    const found = known.get(end) ?? reading.read(end)
    known.set(end, found)
    return found
  }
  const shared = { ...reading, read }
  const signatures = await readSignatures(shared, examining, parts ?? [])
  // What could not be read must not seem to say nothing.
  if (parts === null || reading.whole.pages.length === 0) return { signatures }
  return { pdf: await readHistory(shared, parts), signatures }
}

/** White space behind an end belongs to one of two parts of the same file. */
const slack = 2

async function readSignatures(
  { bytes, whole, read }: PartReading,
  examining: PdfExamining,
  parts: readonly HistoryPart[],
): Promise<PdfSignature[]> {
  const examined = examinePdfSignatures(bytes, examining)
  const ends = [...new Set(examined.flatMap(({ end }) => end ?? []))].slice(0, mostSigned)
  const readings = new Map<number, Reading>()
  for (const end of ends) {
    const part = parts.find((one) => one.end >= end && one.end - end <= slack)
    readings.set(end, await read(part?.end ?? end))
  }
  return examined.map(({ signature, changes, end }: ExaminedSignature) => ({
    ...signature,
    changes: addWords(changes, end === null ? null : (readings.get(end) ?? null), whole),
  }))
}

async function readHistory(reading: PartReading, parts: readonly HistoryPart[]): Promise<PdfFacts> {
  const last = parts.at(-1) as HistoryPart
  const later: StateRead = { pages: reading.whole.pages, facts: reading.facts }
  const earlier = parts.slice(0, -1)
  const chosen = new Set(
    earlier.length <= mostParts ? earlier : [...earlier.slice(0, 1), ...earlier.slice(1 - mostParts)],
  )
  const revisions: PdfRevision[] = []
  for (const [index, part] of parts.entries()) {
    const common = { number: index + 1, end: part.end, id: part.id }
    if (part === last) revisions.push({ ...common, writer: writerOf(reading.whole.information), changes: [] })
    else if (!chosen.has(part)) revisions.push({ ...common, writer: null, changes: null })
    else revisions.push({ ...common, ...(await compare(reading, part, last, later)) })
  }
  return {
    revisions,
    marks: orElse([], () => listMarks(last.file, later)),
    active: orElse(null, () => listActive(last.file)),
    ...(isMadeForEditing(reading.bytes) ? { madeForEditing: true as const } : {}),
  }
}

async function compare(
  reading: PartReading,
  part: HistoryPart,
  last: HistoryPart,
  later: StateRead,
): Promise<Pick<PdfRevision, 'writer' | 'changes'>> {
  const read = await reading.read(part.end)
  if (read.pages.length === 0) return { writer: writerOf(read.information), changes: null }
  const earlier = { pages: read.pages, facts: reading.recognise(read) }
  return { writer: writerOf(read.information), changes: compareParts(part, last, earlier, later) }
}

function writerOf(information: DocumentInformation | undefined): PdfWriter {
  const { creator, producer, created, modified, tool, documentId, instanceId, saves } = information ?? {}
  const entries = Object.entries({ creator, producer, created, modified, tool, documentId, instanceId, saves })
  return Object.fromEntries(entries.filter(([, value]) => value !== undefined))
}

function orElse<T, U>(otherwise: U, work: () => T): T | U {
  try {
    return work()
  } catch (error) {
    if (error instanceof SyntaxFault) return otherwise
    throw error
  }
}

const isMadeForEditing = (bytes: Uint8Array): boolean =>
  Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(bytes.length, 1024)).includes('%QDF-')
