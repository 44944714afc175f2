/**
 * Copies of a living archive, and an archive from a copy. A copy holds the log as it was at one moment, every content that
 * the log names and that is kept, and the key; the register is made from these. A copy that stands already is brought up to
 * date, if the log continues the one in it.
 */
import {
  type Actor,
  type Archive,
  type ArchiveOutside,
  act,
  closeArchive,
  damaged,
  holdToEmpty,
  openArchive,
} from './archive.ts'
import { ArchiveError } from './archive-error.ts'
import { checkpointPath, type LogStorage, openLog, rootAt } from './log/log.ts'
import type { ArchiveStorage, ObjectStorage, StoredObject } from './storage.ts'
import { tellingStorage } from './trouble.ts'

export interface BackupResult {
  /** Entries in the log that was copied. */
  size: number
  /** Contents that were copied; others stood in the copy already. */
  copied: number
  bytes: number
  /** Contents that the archive has lost, or that are not what they were: the copy lacks them. */
  lacking: string[]
}

const rootFiles = ['archive.json', 'log-key.pem'] as const

/** Copies the archive to `target`. Throws ArchiveError `not-empty` where something else, or a later state, stands there, `full`, `read-only` or `in-the-way`. */
export async function backUp(
  archive: Archive,
  actor: Actor,
  copy: ArchiveStorage,
  place: string,
  progress: (done: number, of: number) => void = () => undefined,
): Promise<BackupResult> {
  const target = tellingStorage({ storage: copy, troubleOf: archive.outside.troubleOf })
  await holdToSame(archive, target)
  const { storage } = archive.outside
  // With the log locked: the copy is of one moment, and contents that its entries name are on the disk.
  const size = await act(archive, actor, async () => {
    const head = await openLog(storage.log, archive.key)
    await copyLog(storage.log, target.log)
    for (const name of rootFiles) await copyFile(storage, target, name)
    return { entries: [], result: head.size }
  })
  const kept = await archive.db.selectFrom('objects').select('sha256').orderBy('sha256').execute()
  const names = kept.map(({ sha256 }) => sha256)
  const { copied, bytes, lacking } = await copyObjects(names, storage.objects, target.objects, progress)
  await act(archive, actor, async () => ({ entries: [{ act: 'backed-up', place, size }], result: undefined }))
  return { size, copied, bytes, lacking }
}

/** What stands at the target must be an earlier state of this archive, or nothing. */
async function holdToSame({ outside, key }: Archive, target: ArchiveStorage): Promise<void> {
  if ((await target.readFile('archive.json')) === null && (await target.log.read(checkpointPath)) === null)
    return holdToEmpty(target)
  const inTheWay = (message: string, cause: unknown) =>
    new ArchiveError('not-empty', message, 'Name an empty folder, or an earlier copy of this archive.', { cause })
  const [theirs, ours] = [
    await openLog(target.log, key).catch((error) => {
      throw inTheWay('Another archive stands there', error)
    }),
    await openLog(outside.storage.log, key),
  ]
  if (theirs.size > ours.size) throw inTheWay('A later state of this archive stands there', null)
  if (Buffer.compare(await rootAt(outside.storage.log, ours, theirs.size), theirs.root) !== 0)
    throw inTheWay('The copy there has another log than this archive', null)
}

/** Tiles first, the checkpoint last: a copy that is interrupted is one of the state before. */
async function copyLog(from: LogStorage, to: LogStorage): Promise<void> {
  const paths = (await from.list()).filter((path) => path !== checkpointPath)
  for (const path of [...paths, checkpointPath]) {
    const bytes = await from.read(path)
    const held = await to.read(path)
    if (bytes !== null && (held === null || Buffer.compare(bytes, held) !== 0)) await to.write(path, bytes)
  }
}

async function copyFile(from: ArchiveStorage, to: ArchiveStorage, name: (typeof rootFiles)[number]): Promise<void> {
  const bytes = await from.readFile(name)
  if (bytes === null) throw damaged(`${name} is lost`, null)
  if ((await to.readFile(name)) !== null) return
  await (name === 'log-key.pem' ? to.writeSecret(name, bytes) : to.writeFile(name, bytes))
}

async function copyObjects(
  names: readonly string[],
  from: ObjectStorage,
  to: ObjectStorage,
  progress: (done: number, of: number) => void,
): Promise<Omit<BackupResult, 'size'>> {
  const result: Omit<BackupResult, 'size'> = { copied: 0, bytes: 0, lacking: [] }
  for (const [at, sha256] of names.entries()) {
    if ((await to.size(sha256)) === null) {
      const object = await copyObject(sha256, from, to)
      if (object === null) result.lacking.push(sha256)
      else {
        result.copied++
        result.bytes += object.bytes
      }
    }
    progress(at + 1, names.length)
  }
  return result
}

/** Null for one that is lost or damaged: a bad content is not spread under a good name. */
async function copyObject(sha256: string, from: ObjectStorage, to: ObjectStorage): Promise<StoredObject | null> {
  if ((await from.size(sha256)) === null) return null
  // What it has become is kept under its own name, where nothing asks for it.
  const object = await to.put(from.chunks(sha256))
  return object.sha256 === sha256 ? object : null
}

/**
 * Makes an archive in an empty place from a copy, and logs that it was. Throws ArchiveError `not-empty` where something
 * stands there, `no-archive` where no copy is, `damaged` where it is not whole.
 */
export async function restoreFrom(
  copy: ArchiveStorage,
  outside: ArchiveOutside,
  actor: Actor,
  place: string,
  progress: (done: number, of: number) => void = () => undefined,
): Promise<BackupResult> {
  const storage = tellingStorage(outside)
  if ((await storage.readFile('archive.json')) !== null)
    throw new ArchiveError('not-empty', 'An archive stands here already', 'Name an empty folder.')
  await holdToEmpty(storage)
  if ((await copy.readFile('archive.json')) === null)
    throw new ArchiveError(
      'no-archive',
      `There is no copy of an archive in ${copy.place}`,
      'Name the folder that "archive backup" wrote.',
    )
  const names: string[] = []
  for await (const sha256 of copy.objects.list()) names.push(sha256)
  const { copied, bytes, lacking } = await copyObjects(names, copy.objects, storage.objects, progress)
  if (lacking.length > 0) throw damaged(`The copy has ${lacking.length} contents that are not what they were`, null)
  await copyLog(copy.log, storage.log)
  for (const name of [...rootFiles].reverse()) await copyFile(copy, storage, name)
  const archive = await openArchive(outside)
  try {
    const { size } = await openLog(storage.log, archive.key)
    await act(archive, actor, async () => ({ entries: [{ act: 'restored', place, size }], result: undefined }))
    return { size, copied, bytes, lacking }
  } finally {
    await closeArchive(archive)
  }
}
