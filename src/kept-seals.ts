/** Seals of packets that an archive keeps: made of what was received and found, stamped again, and verified. */
import { type Actor, type Archive, putObject } from './archive/archive.ts'
import { ArchiveError } from './archive/archive-error.ts'
import { type ExportPacket, findForExport } from './archive/export/packets.ts'
import { fillObjects, type KeptSeal, listSeals, logSeal } from './archive/seals.ts'
import { storedPacket } from './archiving.ts'
import type { SealPart } from './facts/seal.ts'
import type { Report } from './findings/report.ts'
import { IntakeError } from './intake/errors.ts'
import type { Storage } from './intake/storage.ts'
import type { BagSource, FilledBag } from './seal/bag/write.ts'
import { parseCertificate } from './seal/certificates/certificate.ts'
import { SealError } from './seal/seal-error.ts'
import { planStamp, receivePacket, type StampBytes, type VerificationOptions, verifyBag } from './sealing.ts'

/** What is put beside the packet: its last report, and the rules by which that came about. */
export type Attach = (report: Report, packet: { name: string; storage: Storage }) => Promise<BagSource['attachments']>

export interface KeptSealing extends Pick<BagSource, 'signer' | 'stamp' | 'agent' | 'tags'> {
  attach: Attach
}

export type SealedKept =
  | { again: false; index: number; report: Report; filled: FilledBag }
  /** The same signer sealed the same report already, by this entry; nothing was done. */
  | { again: true; index: number }

/**
 * Seals a packet as it is kept, with its last report, and keeps the bag. A stamp that is refused leaves it without one.
 * Throws ArchiveError `unknown`, `gone`, `damaged` where a file is not what was received, and `incomplete` where there is
 * no report or the packet came as a bag; what `attach` throws.
 */
export async function sealKept(
  archive: Archive,
  actor: Actor,
  accession: string,
  { attach, ...options }: KeptSealing,
): Promise<SealedKept> {
  const packet = await findOne(archive, accession)
  const report = reportToSeal(packet)
  const { subject, fingerprint } = parseCertificate(options.signer.certificate).facts
  const { seals } = packet
  const done = seals.findLast(
    ({ act, signer, index }) => act === 'sealed' && signer === subject && index > report.index,
  )
  if (done !== undefined) return { again: true, index: done.index }
  const { name } = packet
  const storage = storedPacket({ ...packet, files: packet.contents }, archive.outside.storage.objects)
  for (const { path, sha256, bytes } of packet.contents)
    if ((await archive.outside.storage.objects.size(sha256)) !== bytes) throw notReceived(`${accession}/${path}`)
  const attachments = await attach(report.value, { name, storage })
  const { sink, files } = fillObjects(archive)
  const { intake, finish } = await receivePacket(name, storage, sink)
  if (intake.digest !== packet.digest) throw notReceived(accession)
  const filled = await finish({ attachments, signed: archive.outside.now(), ...options })
  const by = { ...actor.by, certificate: fingerprint }
  const { digest } = packet
  const after = seals.at(-1)?.index ?? null
  const seal = { act: 'sealed', accession, signer: subject, packet: { name, digest }, files, after } as const
  return { again: false, index: await logSeal(archive, { ...actor, by }, seal), report: report.value, filled }
}

const notReceived = (what: string): ArchiveError =>
  new ArchiveError(
    'damaged',
    `${what} is lost or not what was received, so the packet is not sealed`,
    'See "witnessmark archive verify" and "archive repair-plan".',
  )

async function findOne(archive: Archive, accession: string): Promise<ExportPacket> {
  const [packet] = await findForExport(archive, [accession])
  if (packet === undefined) throw new RangeError(`${accession} was neither found nor missed`)
  return packet
}

function reportToSeal({ accession, bag, report }: ExportPacket): NonNullable<ExportPacket['report']> {
  if (bag)
    throw new ArchiveError(
      'incomplete',
      `${accession} came as a bag, and is kept as that`,
      'Verify it as it was handed over, or carry its seal on: witnessmark archive stamp.',
    )
  if (report === null)
    throw new ArchiveError(
      'incomplete',
      `${accession} was never checked, so there is no report to seal with it`,
      `Check it first: witnessmark archive check ARCHIVE ${accession}`,
    )
  return report
}

/** Of a stamp that is to be added: `renew` as for `planStamp`. */
export interface KeptStamping extends Omit<VerificationOptions, 'at'> {
  stamp: StampBytes
  renew: boolean
}

/**
 * Adds a stamp to the last seal of a packet, or to the bag that it came as, and keeps the outcome beside what was there.
 * Gives the index of the entry and the files that were added. Throws ArchiveError as `sealKept` does, SealError and what
 * `stamp` rejects with as `planStamp` does.
 */
export async function stampKept(
  archive: Archive,
  actor: Actor,
  accession: string,
  options: KeptStamping,
): Promise<{ index: number; added: string[] }> {
  const packet = await findOne(archive, accession)
  const { name, digest, contents, bag, seals } = packet
  const last = seals.at(-1)
  if (last === undefined && !bag)
    throw new ArchiveError(
      'incomplete',
      `${accession} has no seal to be stamped`,
      `Seal it first: witnessmark archive seal ARCHIVE ${accession}`,
    )
  const held = last?.files ?? contents
  const at = archive.outside.now()
  const plan = await planStamp(accession, bagOf(archive, accession, held), options.stamp, { ...options, at })
  const files = [...held]
  for (const { path, content } of plan.files)
    files.push({ path, bytes: content.length, sha256: await putObject(archive.outside.storage, content) })
  const seal = { act: 're-stamped', accession, packet: { name, digest }, files, after: last?.index ?? null } as const
  return { index: await logSeal(archive, actor, seal), added: plan.files.map(({ path }) => path) }
}

const bagOf = ({ outside }: Archive, name: string, files: KeptSeal['files']): Storage =>
  storedPacket({ name, form: 'folder', files }, outside.storage.objects)

/** What is found of one seal. */
export interface SealAnswer {
  accession: string
  /** Index of the entry by which it was made. */
  index: number
  parts: readonly SealPart[]
}

/**
 * Verifies every seal that the archive keeps; of those that were stamped again the last, which holds the earlier ones. One
 * that cannot be opened has one part, which is `broken`.
 */
export async function verifyKept(
  archive: Archive,
  options: Omit<VerificationOptions, 'at'>,
  progress: (done: number, of: number) => void = () => undefined,
): Promise<SealAnswer[]> {
  const heads = (await listSeals(archive)).filter(({ renewedBy }) => renewedBy === null)
  const answers: SealAnswer[] = []
  for (const { accession, index, files } of heads) {
    answers.push({ accession, index, parts: await examine(archive, accession, files, options) })
    progress(answers.length, heads.length)
  }
  return answers
}

/** One seal of a packet, and what is found of it. */
export interface PacketSeal extends Pick<KeptSeal, 'at' | 'signer'>, Pick<SealAnswer, 'parts'> {
  /** Index of the entry by which it was made; null for the bag that the packet was handed over in. */
  index: number | null
}

/**
 * Verifies the seals of one packet, as `verifyKept` does, or the bag that it was handed over in where nothing was added to
 * that. Throws ArchiveError `unknown` for a packet that is not there.
 */
export async function verifySealsOf(
  archive: Archive,
  accession: string,
  options: Omit<VerificationOptions, 'at'>,
): Promise<PacketSeal[]> {
  const { bag, seals, contents, receivedAt } = await findOne(archive, accession)
  const own = { at: receivedAt, signer: null, index: null, files: contents }
  const heads = bag && seals.length === 0 ? [own] : seals.filter(({ renewedBy }) => renewedBy === null)
  const found: PacketSeal[] = []
  for (const { at, signer, index, files } of heads)
    found.push({ at, signer, index, parts: await examine(archive, accession, files, options) })
  return found
}

async function examine(
  archive: Archive,
  accession: string,
  files: KeptSeal['files'],
  options: Omit<VerificationOptions, 'at'>,
): Promise<SealAnswer['parts']> {
  try {
    const storage = bagOf(archive, accession, files)
    const { examination } = await verifyBag(accession, storage, { ...options, at: archive.outside.now() })
    return examination.parts
  } catch (error) {
    if (!(error instanceof IntakeError || error instanceof SealError)) throw error
    const { message: text } = error
    return [{ part: 'structure', state: 'broken', code: 'not-opened', text, file: null, faults: [] }]
  }
}
