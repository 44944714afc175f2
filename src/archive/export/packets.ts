/** Which packets are to be handed over, and what the archive knows of each. */
import type { Report } from '../../findings/report.ts'
import { type Archive, readObject } from '../archive.ts'
import { ArchiveError } from '../archive-error.ts'
import { noSuch } from '../holds.ts'
import type { ManifestFile } from '../manifest.ts'
import { filesOf, type PacketRow, searchPackets } from '../register/search.ts'
import { type KeptSeal, listSeals } from '../seals.ts'

export interface ExportPacket extends PacketRow {
  form: 'folder' | 'zip' | 'file'
  /** `sha256:…` of the packet as received. */
  digest: string
  /** Whether it was received as a bag. */
  bag: boolean
  claim: string | null
  contents: ManifestFile[]
  /** The last report on it, as it was kept; null where it was never checked. */
  report: { bytes: Uint8Array; value: Report /** Index of the entry by which it was made. */; index: number } | null
  /** Oldest first. */
  seals: KeptSeal[]
}

/** Entries of the log have an end: see `formatEntry`. */
export const mostPackets = 4000

/** Numbers of the packets that a hold is for. Throws ArchiveError `unknown` for one that never was. */
export async function packetsOfHold({ db }: Pick<Archive, 'db'>, hold: string): Promise<string[]> {
  const found = await db.selectFrom('holds').select('hold').where('hold', '=', hold).executeTakeFirst()
  if (found === undefined)
    throw new ArchiveError('unknown', `There is no hold ${hold}`, 'See "witnessmark archive holds".')
  const rows = await db
    .selectFrom('hold_packets')
    .select('accession')
    .where('hold', '=', hold)
    .orderBy('accession')
    .execute()
  return rows.map(({ accession }) => accession)
}

/**
 * Looks the packets up. Throws ArchiveError `unknown` for one that the archive does not have or has no more, `damaged` where
 * a report is lost, `too-many` for more than an entry can name.
 */
export async function findForExport(archive: Archive, accessions: readonly string[]): Promise<ExportPacket[]> {
  const wanted = [...new Set(accessions)].sort()
  if (wanted.length > mostPackets)
    throw new ArchiveError(
      'too-many',
      `An export has at most ${mostPackets} packets, and these are ${wanted.length}`,
      'Hand them over in parts.',
    )
  const packets: ExportPacket[] = []
  for (const accession of wanted) packets.push(await findOne(archive, accession))
  return packets
}

async function findOne(archive: Archive, accession: string): Promise<ExportPacket> {
  const { db } = archive
  const [row] = await searchPackets(db, { accessions: [accession], disposed: true })
  if (row === undefined) throw noSuch(accession)
  if (row.disposed) throw new ArchiveError('unknown', `${accession} was destroyed`, 'Leave it out.')
  const { manifest, form, bag, digest, claim } = await db
    .selectFrom('packets')
    .select(['manifest', 'form', 'bag', 'digest', 'claim'])
    .where('accession', '=', accession)
    .executeTakeFirstOrThrow()
  return {
    ...row,
    form: form as ExportPacket['form'],
    digest,
    bag: bag === 1,
    claim,
    contents: await filesOf(db, manifest),
    report: await readReport(archive, accession),
    seals: await listSeals(archive, accession),
  }
}

async function readReport(archive: Archive, accession: string): Promise<ExportPacket['report']> {
  const last = await archive.db
    .selectFrom('reports')
    .select(['report', 'idx'])
    .where('accession', '=', accession)
    .orderBy('idx', 'desc')
    .limit(1)
    .executeTakeFirst()
  if (last === undefined) return null
  const bytes = await readObject(archive.outside.storage, last.report)
  if (bytes === null)
    throw new ArchiveError(
      'damaged',
      `The last report on ${accession} is lost or not what it was`,
      'See "witnessmark archive repair-plan", or check the packet again.',
    )
  return { bytes, value: JSON.parse(Buffer.from(bytes).toString('utf8')) as Report, index: last.idx }
}
