/** Archives in folders, with a clock that the test sets. */
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { Kysely } from 'kysely'
import { type Archive, type ArchiveOutside, migrate } from '../../src/archive/archive.ts'
import type { ManifestFile } from '../../src/archive/manifest.ts'
import { type Receipt, type ReceivedPacket, receiveKept } from '../../src/archive/receive.ts'
import type { Register } from '../../src/archive/register/tables.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { openRegisterFile, troubleOf } from '../../src/io/archive/register-file.ts'

export const clerk = { by: { name: 'Ada Quill' } }
export const counsel = { by: { name: 'Ada Quill' }, why: 'Letter before claim', authority: 'General counsel' }

export interface Clock {
  now: Date
}

export function outsideOf(folder: string, clock: Clock = { now: new Date('2026-03-15T10:00:00Z') }): ArchiveOutside {
  return {
    storage: archiveFolder(folder),
    register: () => openRegisterFile(join(folder, 'register.sqlite')),
    now: () => clock.now,
    pause: (milliseconds) => setTimeout(milliseconds),
    troubleOf,
  }
}

/** Keeps texts as the files of a packet, and logs their receipt. */
export async function receiveTexts(
  archive: Archive,
  name: string,
  texts: Readonly<Record<string, string>>,
  receipt: Receipt = {},
): Promise<ReceivedPacket> {
  const files: ManifestFile[] = []
  for (const [path, text] of Object.entries(texts))
    files.push({ path, ...(await archive.outside.storage.objects.put(once(Buffer.from(text)))) })
  const digest = `sha256:${Buffer.from(name.padEnd(32, '.').slice(0, 32)).toString('hex')}`
  return receiveKept(archive, clerk, { name, form: 'folder', digest, bag: false, files, left: [], notKept: 0 }, receipt)
}

export async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes
}

/** An empty register in memory. */
export async function freshRegister(): Promise<Kysely<Register>> {
  const db = new Kysely<Register>({ dialect: openRegisterFile(':memory:') })
  await migrate(db)
  return db
}
