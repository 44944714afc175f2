/**
 * Hands packets over: one bag with a bag for each packet, the reports, a load file, and the custody of it all.
 *
 * The payload is written first. Then the log says what is handed over, to whom, by the digest of the list of the payload;
 * only then the proofs are added, and the bag gets its name. So nothing leaves without an entry.
 */
import { createHash } from 'node:crypto'
import { namesFile, writeNames } from '../../facts/original-names.ts'
import { nameFiles } from '../../seal/bag/names.ts'
import { writeOxum } from '../../seal/bag/tags.ts'
import { type BagSink, putLists, putSeal, putTagLists, type WrittenFile } from '../../seal/bag/write.ts'
import type { Signer } from '../../seal/signer.ts'
import { type Actor, type Archive, act, putObject } from '../archive.ts'
import { ArchiveError } from '../archive-error.ts'
import type { KeptSeal } from '../seals.ts'
import { entryPath, putCustody } from './custody.ts'
import type { ExportPacket } from './packets.ts'
import { writeExportReadme } from './readme.ts'

/** A file of a packet as it goes out: what the archive keeps, or a copy that was derived from it. */
export interface OutgoingFile {
  /** As it goes out. */
  path: string
  /** As in the packet, without what is kept back, where it goes out under another name. */
  original?: string
  /** Of what the archive keeps. */
  sha256: string
  /** What goes out in its place. */
  derived?: Uint8Array
}

export interface OutgoingPacket {
  packet: ExportPacket
  /** In a derived copy, its name without what was taken out. */
  name: string
  files: readonly OutgoingFile[]
  /** `report.json`, `report.html`. */
  reports: readonly { path: string; content: Uint8Array }[]
  /** Files that do not go out, with the reason. */
  left: readonly { path: string; sha256: string; reason: string }[]
}

/** A row of the load file. */
export interface HandedFile {
  packet: ExportPacket
  /** In the export; null where it was left out. */
  path: string | null
  /** As received; null for a report. */
  original: string | null
  bytes: number | null
  sha256: string | null
  /** Of what the archive keeps, where a derived copy went out or nothing. */
  originalSha256: string | null
  note: string
}

export interface ExportSource {
  to: string
  agent: string
  packets: readonly OutgoingPacket[]
  loadFile(files: readonly HandedFile[]): Uint8Array
  seal: { signer: Signer; stamp: ((bytes: Uint8Array) => Promise<Uint8Array>) | null } | null
  redaction: {
    /** What was taken out, in words. */
    words: string
    /** Whether bytes hold nothing of it. */
    isClean(bytes: Uint8Array): boolean
  } | null
  /** Told the index of the entry as soon as it stands. */
  logged(index: number): void
}

export interface ExportResult {
  index: number
  files: number
  bytes: number
  /** SHA-256 of manifest-sha256.txt, as the entry has it. */
  manifest: string
  left: number
  /** Why there is no stamp, where one was asked for. */
  unstamped: Error | null
}

/** Writes the export into the sink. Throws ArchiveError `damaged` for content that is not what was received, and `unknown`. */
export async function writeExport(
  archive: Archive,
  actor: Actor,
  sink: BagSink,
  source: ExportSource,
): Promise<ExportResult> {
  const { to, packets, agent, redaction } = source
  const at = archive.outside.now()
  const payload: WrittenFile[] = []
  const rows: HandedFile[] = []
  for (const outgoing of packets) rows.push(...(await putPacket(archive, within(sink, payload), outgoing, source, at)))
  payload.push(await sink.put('data/load-file.csv', source.loadFile(rows)))
  const info = [
    { label: 'Bag-Software-Agent', value: agent },
    { label: 'Bagging-Date', value: at.toISOString().slice(0, 10) },
    {
      label: 'External-Description',
      value: `${redaction === null ? 'Packets' : `Derived copies, without ${redaction.words},`} of the archive ${archive.key.name}, handed over to ${to}`,
    },
    { label: 'Payload-Oxum', value: writeOxum(payload) },
  ]
  const { tagFiles, manifest } = await putLists(sink, payload, info)
  const index = await logExport(archive, actor, source, manifest)
  source.logged(index)
  const accessions = packets.map(({ packet }) => packet.accession)
  const custody = await putCustody(archive, sink, accessions, index, redaction?.isClean ?? (() => true))
  const digest = createHash('sha256').update(manifest).digest('hex')
  const readme = writeExportReadme({
    to,
    by: actor.by.name,
    at: `${at.toISOString().slice(0, 19)}Z`,
    origin: archive.key.name,
    key: custody.key,
    witnesses: custody.witnesses,
    accessions,
    seals: redaction === null && packets.some(({ packet }) => packet.seals.length > 0),
    entry: entryPath(index),
    manifest: digest,
    sealed: source.seal !== null,
    redacted: redaction?.words ?? null,
    entriesLeft: custody.left,
  })
  tagFiles.push(...custody.files, await sink.put('README.txt', Buffer.from(readme)))
  const tags = await putTagLists(sink, tagFiles)
  const unstamped = source.seal === null ? null : await putSeal(sink, tags.manifest, { ...source.seal, signed: at })
  const bytes = payload.reduce((sum, file) => sum + file.bytes, 0)
  const left = rows.filter(({ path }) => path === null).length
  return { index, files: payload.length, bytes, manifest: digest, left, unstamped }
}

/** A sink that notes what it was given. */
const within = (sink: BagSink, written: WrittenFile[]): BagSink => ({
  put: async (path, content) => {
    const file = await sink.put(path, content)
    written.push(file)
    return file
  },
})

async function putPacket(
  archive: Archive,
  sink: BagSink,
  outgoing: OutgoingPacket,
  source: ExportSource,
  at: Date,
): Promise<HandedFile[]> {
  const { packet, files, reports, left } = outgoing
  const folder = `data/packets/${packet.accession}`
  const rows: HandedFile[] = []
  for (const seal of source.redaction === null ? packet.seals : [])
    if (seal.renewedBy === null) rows.push(...(await putSealed(archive, sink, packet, seal)))
  const asReceived = packet.bag && source.redaction === null
  const names = asReceived
    ? files.map(({ path }) => ({ path, original: path }))
    : nameFiles(files.map(({ path }) => path))
  const byOriginal = new Map(files.map((file) => [file.path, file]))
  const payload: WrittenFile[] = []
  for (const { path, original } of names) {
    const file = byOriginal.get(original)
    if (file === undefined) continue
    const written = await putFile(archive, sink, `${folder}/${path}`, file)
    payload.push({ ...written, path })
    rows.push(rowOf(packet, written, file))
  }
  if (!asReceived) await finishPacket(sink, folder, outgoing, { payload, names, source, at })
  for (const { path, content } of reports) {
    const written = await sink.put(`data/reports/${packet.accession}/${path}`, content)
    rows.push({ packet, ...written, original: null, originalSha256: null, note: 'last report' })
  }
  for (const { path, sha256, reason } of left)
    rows.push({
      packet,
      path: null,
      original: path,
      bytes: null,
      sha256: null,
      originalSha256: sha256,
      note: `left out: ${reason}`,
    })
  return rows
}

/** The bag of a seal, whole: it holds the packet's files once more, because it is verified with them. */
async function putSealed(
  archive: Archive,
  sink: BagSink,
  packet: ExportPacket,
  { index, files }: KeptSeal,
): Promise<HandedFile[]> {
  const rows: HandedFile[] = []
  for (const file of files) {
    const path = `${sealPath(packet.accession, index)}/${file.path}`
    const written = await putFile(archive, sink, path, file)
    rows.push({ packet, ...written, original: null, originalSha256: null, note: `seal, entry ${index}` })
  }
  return rows
}

const sealPath = (accession: string, index: number): string =>
  `data/seals/${accession}/entry-${String(index).padStart(6, '0')}`

const rowOf = (packet: ExportPacket, { path, bytes, sha256 }: WrittenFile, file: OutgoingFile): HandedFile => ({
  packet,
  path,
  original: file.original ?? file.path,
  bytes,
  sha256,
  originalSha256: file.derived === undefined ? null : file.sha256,
  note: file.derived === undefined ? '' : derivedNote(file.sha256),
})

export const derivedNote = (sha256: string): string =>
  `derived copy; the sealed original is kept under SHA-256 ${sha256}`

/** What the archive keeps is held to its digest once more. */
async function putFile(archive: Archive, sink: BagSink, path: string, file: OutgoingFile): Promise<WrittenFile> {
  const { objects } = archive.outside.storage
  if (file.derived !== undefined) return sink.put(path, file.derived)
  const lost = new ArchiveError(
    'damaged',
    `${path.slice('data/'.length)} is lost or not what was received, and cannot be handed over`,
    'See "witnessmark archive fixity" and "archive repair-plan".',
  )
  if ((await objects.size(file.sha256)) === null) throw lost
  const written = await sink.put(path, objects.chunks(file.sha256))
  if (written.sha256 !== file.sha256) throw lost
  return written
}

interface Filled {
  payload: readonly WrittenFile[]
  names: readonly { path: string; original: string }[]
  source: ExportSource
  at: Date
}

/** Makes a bag of what was put into the folder of one packet. */
async function finishPacket(
  sink: BagSink,
  folder: string,
  { packet, name }: OutgoingPacket,
  { payload, names, source: { agent, redaction }, at }: Filled,
): Promise<void> {
  const own: BagSink = {
    put: async (path, content) => ({ ...(await sink.put(`${folder}/${path}`, content)), path }),
  }
  const { tagFiles } = await putLists(own, payload, [
    { label: 'Bag-Software-Agent', value: agent },
    { label: 'Bagging-Date', value: at.toISOString().slice(0, 10) },
    {
      label: 'External-Description',
      value:
        redaction === null
          ? `Calibration records: ${name}`
          : `Derived copy, without ${redaction.words}, of calibration records: ${name}. The originals are kept in the archive`,
    },
    { label: redaction === null ? 'External-Identifier' : 'Derived-From', value: packet.digest },
    { label: 'Payload-Oxum', value: writeOxum(payload) },
  ])
  tagFiles.push(await own.put(namesFile, Buffer.from(writeNames(names))))
  await putTagLists(own, tagFiles)
}

/** Appends the entry, and keeps the list that it names. What was destroyed meanwhile is not handed over. */
async function logExport(
  archive: Archive,
  actor: Actor,
  { packets, to, redaction }: ExportSource,
  list: Uint8Array,
): Promise<number> {
  const accessions = packets.map(({ packet }) => packet.accession)
  const manifest = await putObject(archive.outside.storage, list)
  return act(archive, actor, async (writing) => {
    const gone = await writing
      .selectFrom('packets')
      .select('accession')
      .where('accession', 'in', accessions)
      .where('disposed_idx', 'is not', null)
      .executeTakeFirst()
    if (gone !== undefined)
      throw new ArchiveError('gone', `${gone.accession} was destroyed meanwhile`, 'Leave it out, and try again.')
    const { size } = await writing.selectFrom('state').select('size').executeTakeFirstOrThrow()
    return { entries: [{ act: 'exported', accessions, to, manifest, redacted: redaction !== null }], result: size }
  })
}

/** Says in the log that what an entry says was handed over was not. */
export async function noteFailedExport(
  archive: Archive,
  actor: Actor,
  index: number,
  accessions: readonly string[],
): Promise<void> {
  await act(archive, actor, async () => ({
    entries: [{ act: 'export-failed', export: index, accessions }],
    result: undefined,
  }))
}
