/** Archives in temporary folders, which go when the tests of a file are done. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll } from 'vitest'
import { type Archive, type ArchiveOutside, closeArchive, initArchive, openArchive } from '../../src/archive/archive.ts'
import { type Clock, clerk, outsideOf } from './archive-place.ts'

export * from './archive-place.ts'

const folders: string[] = []
const open: Archive[] = []

afterAll(async () => {
  for (const archive of open) await closeArchive(archive).catch(() => undefined)
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

export async function makeFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'archive-'))
  folders.push(folder)
  return folder
}

/** A new archive, empty but for its beginning. */
export async function makeArchive(
  clock?: Clock,
): Promise<{ folder: string; archive: Archive; outside: ArchiveOutside }> {
  const folder = await makeFolder()
  const outside = outsideOf(folder, clock)
  const archive = await initArchive(outside, 'archive.example/bay', clerk)
  open.push(archive)
  return { folder, archive, outside }
}

export async function reopen(outside: ArchiveOutside): Promise<Archive> {
  const archive = await openArchive(outside)
  open.push(archive)
  return archive
}
