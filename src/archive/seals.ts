/**
 * Seals that are kept beside a packet: each a sealed bag whose files are objects of the archive, so that the packet's own
 * files are kept once. A seal that is stamped again is kept as it was, too.
 */
import { createHash } from 'node:crypto'
import type { BagSink } from '../seal/bag/write.ts'
import { type Actor, type Archive, act, findEntry, putObject } from './archive.ts'
import { ArchiveError } from './archive-error.ts'
import type { Sealed } from './entry.ts'
import { noSuch } from './holds.ts'
import { formatManifest, type Manifest, type ManifestFile } from './manifest.ts'
import { holdToKept } from './receive.ts'
import type { Writing } from './register/project.ts'
import { filesOf } from './register/search.ts'

/** A sealed bag that is kept. */
export interface KeptSeal {
  accession: string
  /** Index of the entry by which it was made. */
  index: number
  act: 'sealed' | 're-stamped'
  /** RFC 3339, UTC. */
  at: string
  by: string
  /** Subject of the certificate that signed it; null where whoever handed the packet over had sealed it. */
  signer: string | null
  manifest: string
  /** Paths from the root of the bag. */
  files: ManifestFile[]
  /** Index of the seal that is this one, stamped again; null for the last. */
  renewedBy: number | null
}

/** Seals of one packet, or of all packets that are kept, oldest first. */
export async function listSeals(archive: Archive, accession?: string): Promise<KeptSeal[]> {
  const { db } = archive
  let query = db.selectFrom('manifests').select(['manifest', 'accession', 'idx']).where('kind', '=', 'bag')
  if (accession !== undefined) query = query.where('accession', '=', accession)
  const rows = await query.orderBy('idx').execute()
  const last = new Map<string, KeptSeal>()
  const seals: KeptSeal[] = []
  for (const { manifest, accession, idx } of rows) {
    const entry = await findEntry(archive, idx)
    if (entry?.act !== 'sealed' && entry?.act !== 're-stamped') continue
    const { act, at, by } = entry
    const renewed = act === 're-stamped' ? last.get(accession) : undefined
    const signer = entry.signer ?? renewed?.signer ?? null
    const files = await filesOf(db, manifest)
    const seal = { accession, index: idx, act, at, by: by.name, signer, manifest, files, renewedBy: null }
    if (renewed !== undefined) renewed.renewedBy = idx
    last.set(accession, seal)
    seals.push(seal)
  }
  return seals
}

/** A bag that is filled into the archive. Nothing names what is put there before `logSeal` does. */
export function fillObjects({ outside }: Archive): { sink: BagSink; files: ManifestFile[] } {
  const files: ManifestFile[] = []
  const sink: BagSink = {
    async put(path, content) {
      const sha512 = createHash('sha512')
      const { sha256, bytes } = await outside.storage.objects.put(pass(content, (chunk) => sha512.update(chunk)))
      files.push({ path, bytes, sha256 })
      return { path, bytes, sha256, sha512: sha512.digest('hex') }
    },
  }
  return { sink, files }
}

async function* pass(content: AsyncIterable<Uint8Array> | Uint8Array, see: (chunk: Uint8Array) => void) {
  for await (const chunk of content instanceof Uint8Array ? [content] : content) {
    see(chunk)
    yield chunk
  }
}

export interface NewSeal extends Pick<Sealed, 'act' | 'accession' | 'signer'> {
  /** What the list of its files is called, and the digest of the packet in it. */
  packet: Pick<Manifest, 'name' | 'digest'>
  files: readonly ManifestFile[]
  /** Index of the packet's last seal when the work was begun; null where it had none. */
  after: number | null
}

/**
 * Logs a bag whose files are kept, as a seal of its packet; gives the index of its entry. Throws ArchiveError `unknown`,
 * and `gone` where the packet was destroyed or sealed by somebody else meanwhile.
 */
export async function logSeal(archive: Archive, actor: Actor, seal: NewSeal): Promise<number> {
  const { act: what, accession, signer, packet, after } = seal
  const files = seal.files.toSorted((a, b) => (a.path < b.path ? -1 : 1))
  const manifest = await putObject(archive.outside.storage, formatManifest({ manifest: 1, ...packet, files, left: [] }))
  return act(archive, actor, async (writing) => {
    await holdToPresent(writing, accession)
    if ((await lastSeal(writing, accession)) !== after)
      throw new ArchiveError('gone', `${accession} was sealed or stamped by somebody else meanwhile`, 'Try again.')
    await holdToKept(archive, files)
    const { size } = await writing.selectFrom('state').select('size').executeTakeFirstOrThrow()
    const entry = { act: what, accession, manifest, ...(signer === undefined ? {} : { signer }) }
    return { entries: [entry], result: size }
  })
}

async function holdToPresent(writing: Writing, accession: string): Promise<void> {
  const packet = await writing
    .selectFrom('packets')
    .select('disposed_idx')
    .where('accession', '=', accession)
    .executeTakeFirst()
  if (packet === undefined) throw noSuch(accession)
  if (packet.disposed_idx !== null)
    throw new ArchiveError('gone', `${accession} was destroyed meanwhile`, 'Leave it out.')
}

async function lastSeal(writing: Writing, accession: string): Promise<number | null> {
  const row = await writing
    .selectFrom('manifests')
    .select('idx')
    .where('accession', '=', accession)
    .where('kind', '=', 'bag')
    .orderBy('idx', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.idx ?? null
}
