/** What an archive does with a packet: it is received with what it says of itself, and checked as it is kept. */

import { type Actor, type Archive, act, putObject } from './archive/archive.ts'
import { ArchiveError } from './archive/archive-error.ts'
import { type Receipt, type ReceivedPacket, receiveKept } from './archive/receive.ts'
import { filesOf } from './archive/register/search.ts'
import { askArchive, keepPrints } from './archive/seen/ask.ts'
import { storedPacket, type TakenPacket } from './archiving.ts'
import type { Report } from './findings/report.ts'
import { formatJson } from './report/terminal-text.ts'
import { type Outside, type ReviewOptions, reviewPacket } from './review.ts'

/**
 * Logs the receipt of a packet that `takePacket` took. Shop, job and claim are what `receipt` says, else what the packet's
 * own packet.yaml does. Errors as for `receiveKept`.
 */
export function receiveTaken(
  archive: Archive,
  actor: Actor,
  { packet, declaration }: TakenPacket,
  receipt: Receipt,
): Promise<ReceivedPacket> {
  const { shop = declaration?.shop?.name, job = declaration?.job, claim = declaration?.claim } = receipt
  const stated = Object.entries({ ...receipt, shop, job, claim }).filter(([, value]) => value !== undefined)
  return receiveKept(archive, actor, packet, Object.fromEntries(stated))
}

/** By what a kept packet is checked. `program`: version of witnessmark. */
export interface KeptReview extends ReviewOptions, Pick<Outside, 'read' | 'progress'> {
  program: string
}

/**
 * Checks a packet that the archive keeps, keeps the report, and logs that it was checked. Throws ArchiveError `unknown` for
 * a packet that is not here or was destroyed, and what `reviewPacket` throws.
 */
export async function checkKept(
  archive: Archive,
  actor: Actor,
  accession: string,
  { read, progress, program, ...options }: KeptReview,
): Promise<Report> {
  const { storage } = archive.outside
  const kept = await findKept(archive, accession)
  const outside: Outside = {
    storage: storedPacket(kept, storage.objects),
    read,
    archive: askArchive(archive, accession),
    ...(progress ? { progress } : {}),
  }
  const { packet, report } = await reviewPacket(kept.name, outside, options)
  const prints = await keepPrints(archive, packet)
  const digest = await putObject(storage, Buffer.from(formatJson(report)))
  const { name, version, sha256 } = options.rulebook
  const entry = {
    act: 'checked',
    accession,
    report: digest,
    prints,
    rulebook: { name, version, sha256 },
    reviewed: options.reviewed,
    verdict: report.verdict,
    program,
  } as const
  await act(archive, actor, async () => ({ entries: [entry], result: undefined }))
  return report
}

/** What `storedPacket` opens. Throws ArchiveError `unknown` for a packet that is not here or was destroyed. */
export async function findKept({ db }: Archive, accession: string) {
  const packet = await db.selectFrom('packets').selectAll().where('accession', '=', accession).executeTakeFirst()
  if (packet === undefined || packet.disposed_idx !== null)
    throw new ArchiveError(
      'unknown',
      packet === undefined ? `The archive has no packet ${accession}` : `${accession} was destroyed`,
      'See "witnessmark archive list".',
    )
  const files = await filesOf(db, packet.manifest)
  return { name: packet.name, form: packet.form as 'folder' | 'zip' | 'file', files }
}
