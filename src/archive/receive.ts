/** Receiving packets: every file is kept by its digest, then the receipt is logged. */
import { type Actor, type Archive, act, putObject } from './archive.ts'
import { ArchiveError } from './archive-error.ts'
import type { Received } from './entry.ts'
import { formatManifest, type Manifest, type ManifestFile } from './manifest.ts'
import type { Writing } from './register/project.ts'

/** A packet whose files are objects of the archive already. */
export interface KeptPacket {
  name: string
  form: 'folder' | 'zip' | 'file'
  /** `sha256:…` */
  digest: string
  bag: boolean
  files: readonly ManifestFile[]
  left: Manifest['left']
  /** How many of what is left could not be taken, though it may be evidence. */
  notKept: number
}

export interface Receipt {
  from?: string
  shop?: string
  job?: string
  claim?: string
  /** An earlier packet of the same job; found by the job's number where it is left out. */
  follows?: string
}

export interface ReceivedPacket {
  accession: string
  manifest: string
  /** True where the very same packet had been received before, and nothing was logged. */
  again: boolean
  follows: string | null
}

const byPath = (a: ManifestFile, b: ManifestFile): number => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0)

/**
 * Logs the receipt of a packet. One that is here already, file for file, is not received twice. Throws ArchiveError
 * `unknown` where `follows` names no packet, and `gone` where a file was destroyed while it was being received.
 */
export async function receiveKept(
  archive: Archive,
  actor: Actor,
  packet: KeptPacket,
  { from, shop, job, claim, follows }: Receipt = {},
): Promise<ReceivedPacket> {
  const { name, form, digest, bag, left, notKept } = packet
  const files = [...packet.files].sort(byPath)
  const manifest = await putObject(archive.outside.storage, formatManifest({ manifest: 1, name, digest, files, left }))
  return act<ReceivedPacket>(archive, actor, async (writing, at) => {
    const held = await findSame(writing, digest, files)
    if (held !== null) return { entries: [], result: { accession: held, manifest, again: true, follows: null } }
    await holdToKept(archive, files)
    const accession = await nextAccession(writing, at)
    const earlier = await findEarlier(writing, { follows, job })
    const bytes = files.reduce((sum, file) => sum + file.bytes, 0)
    const entry: Omit<Received, 'entry' | 'at' | 'by'> = {
      act: 'received',
      accession,
      packet: { name, form, digest, bag },
      manifest,
      files: files.length,
      bytes,
      ...(from ? { from } : {}),
      ...(shop ? { shop } : {}),
      ...(job ? { job } : {}),
      ...(claim ? { claim } : {}),
      ...(earlier === null ? {} : { follows: earlier }),
      ...(notKept > 0 ? { notKept } : {}),
    }
    return { entries: [entry], result: { accession, manifest, again: false, follows: earlier } }
  })
}

/** A packet that is kept and has the same files; a bag has another list of them than the packet that was put into it. */
async function findSame(writing: Writing, digest: string, files: readonly ManifestFile[]): Promise<string | null> {
  const found = await writing
    .selectFrom('packets')
    .select(['accession', 'manifest'])
    .where('digest', '=', digest)
    .where('disposed_idx', 'is', null)
    .execute()
  const wanted = listFiles(files)
  for (const { accession, manifest } of found) {
    const held = await writing.selectFrom('contents').selectAll().where('manifest', '=', manifest).execute()
    if (listFiles(held) === wanted) return accession
  }
  return null
}

const listFiles = (files: readonly { path: string; sha256: string }[]): string =>
  files
    .map(({ path, sha256 }) => `${sha256} ${path}`)
    .sort()
    .join('\n')

/** Between keeping a file and logging it, a disposal may have destroyed it as nobody's. Throws ArchiveError `gone`. */
export async function holdToKept({ outside }: Archive, files: readonly ManifestFile[]): Promise<void> {
  for (const { path, sha256, bytes } of files)
    if ((await outside.storage.objects.size(sha256)) !== bytes)
      throw new ArchiveError(
        'gone',
        `${path} was destroyed while it was being kept, with a packet that had it too`,
        'Try again.',
      )
}

/** Numbers run through a year: 2026-0001, 2026-0002, … */
async function nextAccession(writing: Writing, at: string): Promise<string> {
  const year = at.slice(0, 4)
  const last = await writing
    .selectFrom('packets')
    .select('accession')
    .orderBy('idx', 'desc')
    .limit(1)
    .executeTakeFirst()
  const [lastYear, lastNumber] = last?.accession.split('-') ?? []
  // A clock that was set back gives numbers of a year that has some already.
  for (let number = lastYear === year ? Number(lastNumber) + 1 : 1; ; number++) {
    const accession = `${year}-${String(number).padStart(4, '0')}`
    const taken = await writing
      .selectFrom('packets')
      .select('idx')
      .where('accession', '=', accession)
      .executeTakeFirst()
    if (taken === undefined) return accession
  }
}

/** What was last received for the same job. */
async function findEarlier(
  writing: Writing,
  { follows, job }: Pick<Receipt, 'follows' | 'job'>,
): Promise<string | null> {
  if (follows !== undefined) {
    const found = await writing
      .selectFrom('packets')
      .select('accession')
      .where('accession', '=', follows)
      .executeTakeFirst()
    if (found === undefined)
      throw new ArchiveError('unknown', `The archive has no packet ${follows}`, 'See "witnessmark archive list".')
    return follows
  }
  if (job === undefined) return null
  const found = await writing
    .selectFrom('packets')
    .select('accession')
    .where('job', '=', job)
    .orderBy('idx', 'desc')
    .limit(1)
    .executeTakeFirst()
  return found?.accession ?? null
}
