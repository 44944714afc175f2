/** Opens a packet: a folder, a zip, or a single file. */
import { assemble, refuseSize } from './assemble.ts'
import { describeProblem, type FoundFile } from './content.ts'
import { IntakeError } from './errors.ts'
import type { Copier, IntakePacket } from './evidence.ts'
import { codeOf, type Inventory, readChunks, walkFolder } from './folder.ts'
import { defaultIntakeLimits, type IntakeLimits } from './limits.ts'
import { findNameProblem } from './names.ts'
import { sniff } from './sniff.ts'
import type { Sight, Storage } from './storage.ts'
import { listZip } from './zip.ts'

/**
 * Opens the packet at `path`, a folder, a zip (by content) or one file, and hashes all that is in it. A link given as
 * `path` itself is followed; none inside is. Nothing is written but by `copier`, and nothing is kept open.
 * @throws IntakeError when the packet as a whole is refused; a fault of one file is an entry of `problems`. What `copier`
 * throws.
 */
export async function openPacket(
  storage: Storage,
  path: string,
  limits: Partial<IntakeLimits> = {},
  copier: Copier | null = null,
): Promise<IntakePacket> {
  const bounds = { ...defaultIntakeLimits, ...limits }
  const sight = await look(storage, path)
  const name = /[^./\\]/.test(path) ? baseName(path) : baseName(sight.path)
  const take = (form: IntakePacket['form'], own: string, inventory: Inventory) =>
    assemble({ name: own, form, where: path, copier }, inventory, bounds)
  if (sight.kind === 'folder') return take('folder', name, await walkFolder(storage, sight, bounds))
  if (sight.kind !== 'file') {
    throw new IntakeError(
      'not-a-packet',
      path,
      `${path} is neither a folder nor a file`,
      'Name a folder, a zip or a file.',
    )
  }
  if (await isZip(storage, path, sight)) {
    refuseSize(sight.bytes, path, bounds)
    const inventory = await listZip(storage, { sight, where: name }, bounds).catch((error) => {
      throw error instanceof IntakeError ? error : unreadable(path, error)
    })
    return take('zip', name.replace(/\.zip$/i, ''), inventory)
  }
  const file: FoundFile = {
    path: name,
    bytes: sight.bytes,
    chunks: () => readChunks(storage, { ...sight, packetPath: name }),
  }
  const problem = findNameProblem(name, bounds)
  const inventory: Inventory = problem
    ? { files: [], problems: [describeProblem(name, problem.code, problem.message)] }
    : { files: [file], problems: [] }
  return take('file', name, inventory)
}

type LocatedSight = Sight & { path: string }

async function look(storage: Storage, path: string): Promise<LocatedSight> {
  try {
    return await storage.look(path)
  } catch (error) {
    const missing = ['ENOENT', 'ENOTDIR'].includes(codeOf(error))
    if (!missing) throw unreadable(path, error)
    throw new IntakeError('not-found', path, `${path} does not exist`, 'Check the spelling of the path.', {
      cause: error,
    })
  }
}

const unreadable = (path: string, error: unknown): IntakeError =>
  new IntakeError('unreadable', path, `${path} cannot be read (${codeOf(error)})`, 'Allow yourself to read it.', {
    cause: error,
  })

/** The last step of a path on either family of systems, in NFC. */
const baseName = (path: string): string =>
  (
    path
      .replace(/[/\\]+$/, '')
      .split(/[/\\]/)
      .at(-1) || path
  ).normalize('NFC')

async function isZip(storage: Storage, path: string, sight: LocatedSight): Promise<boolean> {
  const head = new Uint8Array(64)
  const file = await storage.open(sight.path, sight.identity).catch((error) => {
    throw unreadable(path, error)
  })
  const count = await file.read(head, 0).finally(() => file.close())
  if (sniff(head.subarray(0, count)) === 'application/zip') return true
  if (!/\.zip$/i.test(path)) return false
  throw new IntakeError(
    'not-a-zip',
    path,
    `${path} is named .zip and is none`,
    'Get it again from where it was packed.',
  )
}
