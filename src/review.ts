/** The main job from end to end: a packet is opened, its files are read, facts recognised, events ordered, checks judged. */
import { checks } from './checks/index.ts'
import type { PacketSource, Submission } from './compare/submission.ts'
import type { AlgorithmRule } from './facts/algorithms.ts'
import type { DocumentFacts } from './facts/document.ts'
import { type Layout, placeOfCells } from './facts/layout.ts'
import type { Reading } from './facts/reading.ts'
import { recogniseDocument } from './facts/recognise/document.ts'
import { settleDocuments } from './facts/recognise/settle.ts'
import { sightOf } from './facts/sight.ts'
import type { TroubleCode } from './facts/trouble-code.ts'
import type { Vocabulary } from './facts/vocabulary.ts'
import { judge } from './findings/judge.ts'
import type { Report } from './findings/report.ts'
import { makeGate } from './gate.ts'
import { digestEvidence } from './intake/content.ts'
import { IntakeError } from './intake/errors.ts'
import type { DeclarationFile, EvidenceFile, IntakePacket } from './intake/evidence.ts'
import { openPacket } from './intake/open.ts'
import type { Storage } from './intake/storage.ts'
import { buildPacket } from './packet/build.ts'
import { declarationFile, formatFaults, parseDeclaration } from './packet/declaration.ts'
import type { ArchiveAnswer, Declaration, FileContent, Packet } from './packet/packet.ts'
import { readParts } from './pdf-parts.ts'
import { decodeText } from './reading/decode-text.ts'
import { layOut } from './reading/layout.ts'
import { hasReader } from './reading/read.ts'
import type { Rulebook } from './rulebook/rulebook.ts'
import { findDigestLists } from './seal/bag/digest-list.ts'
import type { BagEntry } from './seal/bag/examine.ts'
import { examineDigestLists, listAlgorithms } from './seal/bag/examine-lists.ts'
import { examineSeal } from './seal/examine.ts'
import { anyAlgorithm } from './seal/pdf/reading/index.ts'
import type { Evidence } from './seal/revocation/evidence.ts'
import { nobody, type TrustList } from './seal/signer.ts'

/** What the review needs of the world outside. */
export interface Outside {
  storage: Storage
  /** Reads one file; never rejects for what a file holds. */
  read(bytes: Uint8Array, hint: { path: string; media: string }): Promise<Reading>
  /** Told how far long work has come. */
  progress?(done: number, of: number, path: string): void
  /** An archive that is asked what of the packet it has seen before; without one, nothing is said of that. */
  archive?: { lookUp(packet: Packet): Promise<ArchiveAnswer> }
}

/** What a packet is read by. */
export interface ReadingOptions {
  vocabulary: Vocabulary
  /** The day of review, `YYYY-MM-DD`. */
  reviewed: string
  /** What a seal may rest on: those of a rulebook. Without them no seal holds. */
  algorithms?: readonly AlgorithmRule[]
  /** Whose seals, signatures and stamps the reviewer trusts; nobody's when left out. */
  trust?: TrustList
  /** Revocation lists and answers of authorities, beside those in files and seals. */
  evidence?: readonly Evidence[]
}

/** `packet.yaml` cannot be used; the message lists every fault with its line and column. */
export class DeclarationError extends Error {
  override name = 'DeclarationError'
}

const baseName = (path: string) => path.slice(path.lastIndexOf('/') + 1)

interface ReadDocument {
  facts: DocumentFacts
  layout: Layout
  content: FileContent
  /** Of a scan in a picture: its facts anew, where doubtful codes may be those that other documents list. */
  settle?(known: readonly TroubleCode[]): DocumentFacts
}

function fontsOf({ pages }: Reading): Pick<FileContent, 'fonts'> {
  const names = new Set(pages.flatMap(({ words }) => words.flatMap(({ font }) => font ?? [])))
  return names.size === 0 ? {} : { fonts: [...names].sort() }
}

function contentOf(reading: Reading, layout: Layout): FileContent {
  return {
    lines: layout.lines.map(({ cells }) => placeOfCells(cells)),
    pageNumbers: layout.pageNumbers,
    track: reading.track ?? null,
    information: reading.information ?? null,
    ...fontsOf(reading),
    sight: sightOf(reading),
  }
}

/** By what the signatures in files are judged; without algorithms, none is doubted. */
type Judging = Partial<Pick<ReadingOptions, 'reviewed' | 'algorithms' | 'trust' | 'evidence'>>

/** Where a file is only read, and no day is given. */
const endOfTime = '9999-12-30'

/** What a PDF is made of, and its signatures, each with what came after it. */
async function readPdfParts(
  bytes: Uint8Array,
  reading: Reading,
  facts: DocumentFacts,
  outside: Outside,
  recognise: (part: Reading) => DocumentFacts,
  { trust = nobody, algorithms = anyAlgorithm, reviewed = endOfTime, evidence = [] }: Judging,
): Promise<Pick<DocumentFacts, 'pdf' | 'signatures'>> {
  const { file: path, media } = facts
  if (media !== 'application/pdf') return {}
  const days = { at: endOfDay(reviewed), freshAt: startOfDay(reviewed) }
  const { pdf, signatures } = await readParts(
    {
      bytes,
      whole: reading,
      facts: facts.evidence,
      read: (end) => outside.read(bytes.slice(0, end), { path, media }),
      recognise: (part) => recognise(part).evidence,
    },
    { trust, policy: algorithms, file: path, evidence, ...days },
  )
  return { ...(pdf ? { pdf } : {}), ...(signatures.length > 0 ? { signatures } : {}) }
}

async function readEvidence(
  file: EvidenceFile,
  outside: Outside,
  vocabulary: Vocabulary,
  declaration: Declaration | null,
  judging: Judging,
): Promise<ReadDocument> {
  const bytes = hasReader(file.media) ? await file.read() : new Uint8Array()
  const reading = await outside.read(bytes, { path: file.path, media: file.media })
  const declared = declaration?.files?.[file.path] ?? declaration?.files?.[baseName(file.path)]
  const source = {
    file: file.path,
    sha256: file.sha256,
    bytes: file.bytes,
    media: file.media,
    ...(declared ? { kind: declared.kind } : {}),
    ...(declared?.shows ? { shows: declared.shows } : {}),
  }
  const layout = layOut(reading.pages)
  const facts = recogniseDocument(reading, layout, source, vocabulary)
  const recognise = (part: Reading) => recogniseDocument(part, layOut(part.pages), source, vocabulary)
  const parts = await readPdfParts(bytes, reading, facts, outside, recognise, judging)
  Object.assign(facts, parts)
  const document = { facts, layout, content: contentOf(reading, layout) }
  if (facts.codes === undefined || !reading.problems.some(({ code }) => code === 'read-from-picture')) return document
  return {
    ...document,
    settle: (known) => ({ ...recogniseDocument(reading, layout, source, vocabulary, known), ...parts }),
  }
}

/** The facts of each document, by what the others list where a picture leaves a code in doubt. */
function settlePictured(read: readonly ReadDocument[]): DocumentFacts[] {
  return read.map(({ facts, settle }) => {
    if (settle === undefined) return facts
    const known = read.flatMap((other) => (other.facts === facts ? [] : (other.facts.codes ?? [])))
    return known.length === 0 ? facts : settle(known)
  })
}

/** A file that intake would not take is still a document of the packet: one with a problem and without facts. */
function refusedDocument(
  problem: { path: string; code: string; message: string; mend: string },
  vocabulary: Vocabulary,
): ReadDocument {
  const reading: Reading = {
    media: 'application/octet-stream',
    pages: [],
    problems: [{ code: problem.code, message: `${problem.message}. ${problem.mend}` }],
  }
  const layout = layOut([])
  const source = { file: problem.path, sha256: '', bytes: 0, media: reading.media }
  return { facts: recogniseDocument(reading, layout, source, vocabulary), layout, content: contentOf(reading, layout) }
}

/** Files that packet.yaml names and the packet does not hold: they are missed, not passed over. */
function findMissing(intake: IntakePacket, declaration: Declaration | null) {
  const held = new Set([...intake.files, ...intake.problems].flatMap(({ path }) => [path, baseName(path)]))
  return Object.keys(declaration?.files ?? {})
    .filter((path) => !held.has(path))
    .map((path) => ({
      path,
      code: 'missing',
      message: `packet.yaml names ${path}, and the packet does not hold it`,
      mend: 'Put the file in, or mend its name in packet.yaml',
    }))
}

/** Of the contents of files in memory; a larger file is read alone. */
const mostBytesAtOnce = 48 * 1024 * 1024

async function readAll(
  intake: IntakePacket,
  outside: Outside,
  vocabulary: Vocabulary,
  declaration: Declaration | null,
  judging: Judging = {},
): Promise<ReadDocument[]> {
  let done = 0
  const gate = makeGate(mostBytesAtOnce)
  const documents = await Promise.all(
    intake.files.map(async (file) => {
      const document = await gate(file.bytes, () => readEvidence(file, outside, vocabulary, declaration, judging))
      done++
      outside.progress?.(done, intake.files.length, file.path)
      return document
    }),
  )
  const problems = [...intake.problems, ...findMissing(intake, declaration)]
  return [...documents, ...problems.map((problem) => refusedDocument(problem, vocabulary))]
}

function readDeclaration(intake: IntakePacket): Declaration | null {
  if (intake.declaration === null) return null
  const { declaration, faults } = parseDeclaration(new TextDecoder().decode(intake.declaration.data))
  if (faults.length > 0) throw new DeclarationError(formatFaults(faults))
  return declaration
}

/**
 * Reads a packet (folder, zip or single file) into documents, events and a timeline.
 *
 * `reviewed` is the day of review, `YYYY-MM-DD`. Throws IntakeError when the packet cannot be opened and
 * DeclarationError when its packet.yaml has faults; a fault of one file is a problem of that document.
 */
export async function readPacket(path: string, outside: Outside, options: ReadingOptions): Promise<Packet> {
  return readIntake(await openPacket(outside.storage, path), outside, options)
}

async function readIntake(intake: IntakePacket, outside: Outside, options: ReadingOptions): Promise<Packet> {
  const declaration = readDeclaration(intake)
  const read = await readAll(intake, outside, options.vocabulary, declaration, options)
  const documents = settleDocuments(
    settlePictured(read),
    read.map(({ layout }) => layout),
    declaration?.job ?? null,
    declaration?.zone ?? null,
  )
  const content = Object.fromEntries(read.map(({ facts, content }) => [facts.file, content]))
  const { name, digest } = intake
  const seal = await examineIntake(intake, options)
  return buildPacket({ name, digest, reviewed: options.reviewed, documents, declaration, content, seal })
}

/** By the end of the day of review, wherever on earth it is: twelve hours after it ended in UTC. */
const endOfDay = (day: string): Date => new Date(Date.parse(`${day}T00:00:00Z`) + 36 * 3_600_000)

const startOfDay = (day: string): Date => new Date(`${day}T00:00:00Z`)

async function examineIntake(intake: IntakePacket, options: ReadingOptions) {
  const { reviewed, algorithms: policy = [], trust = nobody, evidence = [] } = options
  if (intake.bag === null) return examineLists(intake)
  const days = { at: endOfDay(reviewed), freshAt: startOfDay(reviewed) }
  return examineSeal(intake.bag, { trust, policy, evidence, ...days }).examination
}

/** Lists of digests are far smaller. */
const largestList = 4 * 1024 * 1024
const listMedia: ReadonlySet<string> = new Set([
  'text/plain',
  'text/csv',
  'text/tab-separated-values',
  'application/json',
  'application/yaml',
  'application/xml',
])

async function examineLists({ form, files, declaration }: IntakePacket) {
  if (form === 'file') return null
  const candidates = files.filter(({ media, bytes }) => listMedia.has(media) && bytes <= largestList)
  const texts = await Promise.all(
    candidates.map(async (file) => ({ file: file.path, text: decodeText(await file.read()).text })),
  )
  const all = declaration === null ? files : [...files, declaration]
  const lists = findDigestLists(
    texts,
    all.map(({ path }) => path),
  )
  if (lists.length === 0) return null
  const wanted = listAlgorithms(lists)
  const entries: BagEntry[] = []
  for (const file of all)
    entries.push({ path: file.path, bytes: file.bytes, digests: await digestEvidence(file, wanted) })
  return examineDigestLists(lists, entries)
}

/**
 * Reads a packet as it stands before or during the work: a packet.yaml alone will do, by itself or in its folder. Errors
 * as for `readPacket`.
 */
export async function readJob(path: string, outside: Outside, options: ReadingOptions): Promise<Packet> {
  return readIntake(await openJob(outside.storage, path), outside, options)
}

async function openJob(storage: Storage, path: string): Promise<IntakePacket> {
  const intake = await openPacket(storage, path).catch((error) => {
    if (!(error instanceof IntakeError) || error.code !== 'empty') throw error
    return openPacket(storage, `${path}/${declarationFile}`).catch(() => {
      throw error
    })
  })
  const [file] = intake.files
  if (intake.form !== 'file' || file?.path !== declarationFile) return intake
  const { bytes, sha256, chunks } = file
  const declaration = { path: declarationFile, bytes, sha256, data: await file.read(), chunks } as const
  return { ...intake, files: [], declaration }
}

/** What a packet is read and judged by; algorithms are those of the rulebook. */
export interface ReviewOptions extends Omit<ReadingOptions, 'algorithms'> {
  rulebook: Rulebook
}

/** Reads a packet and judges it by a rulebook. Errors as for `readPacket`. */
export async function checkPacket(path: string, outside: Outside, options: ReviewOptions): Promise<Report> {
  return (await reviewPacket(path, outside, options)).report
}

/** As `checkPacket`, of a packet that is open. */
export async function reviewIntake(intake: IntakePacket, outside: Outside, options: ReviewOptions): Promise<Report> {
  return (await reviewBoth(intake, outside, options)).report
}

/** As `checkPacket`, and gives the packet as it was read too: an archive keeps its prints. */
export async function reviewPacket(
  path: string,
  outside: Outside,
  options: ReviewOptions,
): Promise<{ packet: Packet; report: Report }> {
  return reviewBoth(await openPacket(outside.storage, path), outside, options)
}

async function reviewBoth(
  intake: IntakePacket,
  outside: Outside,
  options: ReviewOptions,
): Promise<{ packet: Packet; report: Report }> {
  const { rulebook } = options
  const read = await readIntake(intake, outside, { ...options, algorithms: rulebook.algorithms })
  const packet = outside.archive === undefined ? read : { ...read, archive: await outside.archive.lookUp(read) }
  return { packet, report: judge(packet, checks, rulebook) }
}

/** A packet at a path on storage, as one side of a comparison. */
export const packetAt = (storage: Storage, path: string): PacketSource => ({ open: () => openPacket(storage, path) })

/** Reads and judges one of two packets that are to be compared. Errors as for `readPacket`. */
export async function readSubmission(
  source: PacketSource,
  outside: Outside,
  options: ReviewOptions,
): Promise<Submission> {
  const intake = await source.open()
  const { packet, report } = await reviewBoth(intake, outside, options)
  const declaration = packet.declaration && intake.declaration && describeDeclaration(intake.declaration, packet)
  return { report, content: packet.content, declaration }
}

function describeDeclaration(file: DeclarationFile, { declaration }: Packet): Submission['declaration'] {
  if (declaration === null) return null
  const lines = new TextDecoder().decode(file.data).split(/\r?\n/)
  const places = lines.map((text, at) => ({ page: 1, box: [1, at + 1, text.length + 1, at + 1] as const, text }))
  return { sha256: file.sha256, bytes: file.bytes, declared: declaration, lines: places }
}

/** Reads one file by itself. Throws IntakeError when `path` is no file that can be read, or a whole packet. */
export async function readDocument(path: string, outside: Outside, vocabulary: Vocabulary): Promise<DocumentFacts> {
  const intake = await openPacket(outside.storage, path)
  if (intake.form !== 'file') {
    const what = intake.form === 'zip' ? 'a zip' : 'a folder'
    throw new IntakeError(
      'not-a-packet',
      path,
      `${path} is ${what}, not a single file`,
      'Name one file, or check the whole as a packet.',
    )
  }
  const read = await readAll(intake, outside, vocabulary, null)
  const [document] = settleDocuments(
    settlePictured(read),
    read.map(({ layout }) => layout),
    null,
  )
  if (!document) throw new Error(`${path} holds no file that can be read`)
  return document
}
