/** An archive in which each act can be done once: `archive` in a folder, its copies beside it, its custodians' keys too. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Archive, closeArchive, initArchive, openArchive } from '../../src/archive/archive.ts'
import { ArchiveError } from '../../src/archive/archive-error.ts'
import { backUp } from '../../src/archive/backup.ts'
import { agreeToDisposal, nameCustodian, proposeDisposal } from '../../src/archive/disposal.ts'
import { placeHold } from '../../src/archive/holds.ts'
import type { ArchiveStorage } from '../../src/archive/storage.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { createIdentity, makeSigner, openIdentity } from '../../src/seal/identity/identity.ts'
import { formatPem } from '../../src/seal/identity/pem.ts'
import { clerk, counsel, outsideOf, receiveTexts } from './archive-place.ts'

export const acts = ['add', 'hold', 'dispose', 'back up'] as const
export type ActName = (typeof acts)[number]

const now = new Date('2026-03-15T10:00:00Z')
const basis = 'Invented.'
const rules = {
  retention: [{ name: 'at once', keepYears: 0, basis }],
  algorithms: (['sha-256', 'ecdsa-p256'] as const).map((name) => ({ name, basis })),
}

/** More than any file of the log or a small register. */
const photo = 'P'.repeat(300_000)
export const archiveIn = (place: string): string => join(place, 'archive')
export const copyIn = (place: string): string => join(place, 'copy')

/** Packets 2026-0001 to -0003, of which a disposal of the second is proposed. */
export async function prepare(place: string): Promise<void> {
  const archive = await initArchive(outsideOf(archiveIn(place)), 'archive.example/bay', clerk)
  for (const name of ['one', 'two', 'three'])
    await receiveTexts(archive, name, { own: `own ${name}`, shared: 'shared', photo: `${photo}${name}` })
  for (const [file, commonName] of [
    ['proposes.pem', 'Noor Vance'],
    ['agrees.pem', 'Ilse Brandt'],
  ] as const) {
    const identity = await createIdentity('ecdsa-p256', { commonName }, { now, days: 9 })
    const key = identity.key.export({ format: 'pem', type: 'pkcs8' }).toString()
    writeFileSync(join(place, file), `${formatPem('CERTIFICATE', identity.certificate)}${key}`)
    await nameCustodian(archive, clerk, identity.certificate)
  }
  const signer = await openSigner(place, 'proposes.pem')
  await proposeDisposal(archive, { signer, why: 'A test', authority: 'A test' }, ['2026-0002'], rules)
  await closeArchive(archive)
}

const openSigner = async (place: string, name: string) =>
  makeSigner(await openIdentity([new Uint8Array(readFileSync(join(place, name)))], null, now), now)

/** The entry of the log by which `prepare` proposed. */
const proposal = 6

/** Does one act; a second time, it does what is left of it, or throws ArchiveError. */
export async function doOnce(
  archive: Archive,
  place: string,
  act: ActName,
  copy: ArchiveStorage = archiveFolder(copyIn(place)),
): Promise<void> {
  if (act === 'add') await receiveTexts(archive, 'four', { own: 'own four', photo: `${photo}four` })
  else if (act === 'hold') await placeHold(archive, counsel, 'A matter', { accessions: ['2026-0001'] })
  else if (act === 'dispose') await agreeToDisposal(archive, await openSigner(place, 'agrees.pem'), proposal, rules)
  else await backUp(archive, clerk, copy, 'copy')
}

/** What whoever acts is told. */
export type Told = { code: 'done' } | { code: string; message: string; mend: string }

/** Opens the archive, does one act, and tells what a user would be told. */
export async function openAndDo(place: string, act: ActName): Promise<Told> {
  try {
    const archive = await openArchive(outsideOf(archiveIn(place)))
    try {
      await doOnce(archive, place, act)
    } finally {
      await closeArchive(archive)
    }
    return { code: 'done' }
  } catch (error) {
    return tell(error)
  }
}

export function tell(error: unknown): Told {
  if (!(error instanceof ArchiveError)) throw error
  const { code, message, mend } = error
  return { code, message, mend }
}
