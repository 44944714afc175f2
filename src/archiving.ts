/** Between a packet and the archive that keeps it: taking its files in, and opening it again as it was received. */

import type { ManifestFile } from './archive/manifest.ts'
import type { Candidate } from './archive/mend.ts'
import type { KeptPacket } from './archive/receive.ts'
import type { ObjectStorage } from './archive/storage.ts'
import type { IntakePacket } from './intake/evidence.ts'
import { defaultIntakeLimits } from './intake/limits.ts'
import { openPacket } from './intake/open.ts'
import type { OpenFile, Sight, Storage } from './intake/storage.ts'
import { parseDeclaration } from './packet/declaration.ts'
import type { Declaration } from './packet/packet.ts'
import { bagLimits } from './sealing.ts'

/** A packet whose files are kept, and what its own packet.yaml says of it. */
export interface TakenPacket {
  packet: KeptPacket
  declaration: Declaration | null
}

/** A custodian takes in whatever a bag can hold; packet.yaml is read all the same. */
const limits = { ...bagLimits, declarationBytes: defaultIntakeLimits.declarationBytes }

/**
 * Keeps every file of the packet at `path`, a bag or not, and tells what it consisted of; `receiveKept` logs it. Files are
 * hashed and copied in one pass. Rejects with IntakeError where the packet cannot be opened, with what the storages reject
 * with, and keeps then at most contents that nothing names.
 */
export async function takePacket(path: string, storage: Storage, objects: ObjectStorage): Promise<TakenPacket> {
  const intake = await openPacket(storage, path, limits, {
    begin: () => undefined,
    copy: async (_, chunks) => (await objects.put(chunks)).sha256,
  })
  const files = intake.bag === null ? filesOf(intake) : await keepBag(intake.bag, objects)
  const problems = intake.bag === null ? intake.problems : [...intake.bag.problems]
  const left = [
    ...intake.ignored.map(({ path: own, reason }) => ({ path: own, reason })),
    ...problems.map(({ path: own, message }) => ({ path: own, reason: message })),
  ]
  const { name, form, digest } = intake
  const packet = { name, form, digest, bag: intake.bag !== null, files, left, notKept: problems.length }
  return { packet, declaration: readDeclaration(intake) }
}

const filesOf = ({ files, declaration }: IntakePacket): ManifestFile[] =>
  [...files, ...(declaration === null ? [] : [declaration])].map(({ path, bytes, sha256 }) => ({ path, bytes, sha256 }))

async function keepBag({ entries }: NonNullable<IntakePacket['bag']>, objects: ObjectStorage): Promise<ManifestFile[]> {
  const files: ManifestFile[] = []
  for (const { path, chunks } of entries) files.push({ path, ...(await objects.put(chunks())) })
  return files
}

/** Faults of a packet.yaml are the check's to tell: here it then says nothing. */
function readDeclaration({ declaration }: IntakePacket): Declaration | null {
  if (declaration === null) return null
  return parseDeclaration(new TextDecoder().decode(declaration.data)).declaration
}

/** A packet that an archive keeps. */
export interface StoredPacket {
  name: string
  form: 'folder' | 'zip' | 'file'
  files: readonly ManifestFile[]
}

/** The packet as a place for `openPacket`, under its name: what is read there is proved against its digests as ever. */
export function storedPacket({ name, form, files }: StoredPacket, objects: ObjectStorage): Storage {
  const byPath = new Map(files.map((file) => [file.path, file]))
  const [only] = files
  const single = form === 'file' && files.length === 1 && only !== undefined ? only : null
  return {
    look: async () =>
      single === null
        ? { kind: 'folder', bytes: 0, identity: '', path: '' }
        : { kind: 'file', bytes: single.bytes, identity: single.sha256, path: single.path },
    list: async (folder) => listFolder(folder, files),
    open: async (path) => openObject(byPath.get(path) ?? single, objects, name),
  }
}

function listFolder(folder: string, files: readonly ManifestFile[]) {
  const prefix = folder === '' ? '' : `${folder}/`
  const listed = new Map<string, Sight>()
  for (const { path, bytes, sha256 } of files) {
    if (!path.startsWith(prefix)) continue
    const [name = '', ...below] = path.slice(prefix.length).split('/')
    if (below.length === 0) listed.set(name, { kind: 'file', bytes, identity: sha256 })
    else listed.set(name, { kind: 'folder', bytes: 0, identity: '' })
  }
  return [...listed].map(([name, sight]) => ({
    name: new TextEncoder().encode(name),
    path: `${prefix}${name}`,
    ...sight,
  }))
}

async function openObject(file: ManifestFile | null, objects: ObjectStorage, packet: string): Promise<OpenFile> {
  if (file === null || (await objects.size(file.sha256)) === null)
    throw Object.assign(new Error(`The archive has lost a file of ${packet}`), { code: 'ENOENT' })
  return {
    bytes: file.bytes,
    read: (target, position) => objects.read(file.sha256, position, target),
    close: async () => undefined,
  }
}

/** Every file of a packet, a bag or a copy of an archive, by its digest: good copies for `mend`. */
export async function openCandidates(path: string, storage: Storage): Promise<Candidate[]> {
  const { files, bag } = await openPacket(storage, path, { ...bagLimits, declarationBytes: null })
  const inBag = bag?.entries.flatMap(({ digests, chunks }) => {
    const sha256 = digests['sha-256']
    return sha256 === undefined ? [] : [{ sha256, chunks }]
  })
  return [...files, ...(inBag ?? [])].map(({ sha256, chunks }) => ({ sha256, chunks }))
}
