/** Walks a folder without following links, and lists what it holds. */
import { changed, describeProblem, FileFault, type FoundFile } from './content.ts'
import { IntakeError } from './errors.ts'
import type { FileProblem } from './evidence.ts'
import type { IntakeLimits } from './limits.ts'
import { compareCodeUnits, decodeName, findEscape, findNameProblem, showBytes, showName } from './names.ts'
import type { Listing, Storage } from './storage.ts'

/** What a folder or a zip holds, before any content was read. */
export interface Inventory {
  files: FoundFile[]
  problems: FileProblem[]
}

const chunkBytes = 1024 * 1024

interface Folder {
  /** Where storage has it. */
  location: string
  identity: string
  /** In the packet. */
  path: string
}

/**
 * Lists a folder and all below it.
 * @throws IntakeError `unreadable` for the folder itself, `too-many-entries`.
 */
export async function walkFolder(
  storage: Storage,
  { path: folder, identity }: { path: string; identity: string },
  limits: IntakeLimits,
): Promise<Inventory> {
  const inventory: Inventory = { files: [], problems: [] }
  const waiting: Folder[] = [{ location: folder, identity, path: '' }]
  let entries = 0
  for (let next = waiting.shift(); next; next = waiting.shift()) {
    const listed = await listFolder(storage, next, limits.entries - entries, inventory)
    entries += listed.length
    if (entries > limits.entries) throw tooManyEntries(folder, limits)
    for (const entry of listed) {
      const path = acceptName(entry, next.path, inventory, limits)
      if (path === null) continue
      if (entry.kind === 'folder') waiting.push({ location: entry.path, identity: entry.identity, path })
      else takeEntry(storage, entry, path, inventory)
    }
  }
  return inventory
}

/** The error for a packet that holds more than `limits.entries`. */
export const tooManyEntries = (where: string, limits: IntakeLimits): IntakeError =>
  new IntakeError(
    'too-many-entries',
    where,
    `${where} holds more than ${limits.entries} files and folders`,
    'Check one vehicle at a time, and leave out what is not part of its packet.',
  )

async function listFolder(
  storage: Storage,
  { location, identity, path }: Folder,
  most: number,
  { problems }: Inventory,
): Promise<Listing[]> {
  try {
    const listed = await storage.list(location, identity, most)
    return listed.sort((a, b) => compareCodeUnits(a.path, b.path))
  } catch (error) {
    const message = `${path === '' ? location : showName(path)} cannot be listed (${codeOf(error)})`
    if (path === '')
      throw new IntakeError('unreadable', location, message, 'Allow yourself to read it.', { cause: error })
    problems.push(describeProblem(path, 'unreadable', message))
    return []
  }
}

/** The packet-relative path of an entry, or null after its problem was noted. */
function acceptName(entry: Listing, above: string, { problems }: Inventory, limits: IntakeLimits): string | null {
  const prefix = above === '' ? '' : `${above}/`
  const name = decodeName(entry.name)
  if (name === null) {
    const shown = prefix + showBytes(entry.name)
    problems.push(describeProblem(shown, 'unsafe-name', `${shown}: its name is not valid Unicode`))
    return null
  }
  const path = (prefix + name).normalize('NFC')
  const astray = findEscape(path)
  const problem = astray
    ? { code: 'unsafe-name' as const, message: `${showName(path)}: its name ${astray}` }
    : findNameProblem(path, limits)
  if (problem) problems.push(describeProblem(path, problem.code, problem.message))
  return problem ? null : path
}

function takeEntry(storage: Storage, entry: Listing, path: string, { files, problems }: Inventory): void {
  if (entry.trouble) {
    problems.push(describeProblem(path, 'unreadable', `${path} cannot be looked at (${entry.trouble})`))
  } else if (entry.kind === 'link') {
    problems.push(describeProblem(path, 'link', `${path} is a link, and links are not followed`))
  } else if (entry.kind === 'other') {
    problems.push(describeProblem(path, 'not-a-file', `${path} is a pipe, socket or device, not a file`))
  } else {
    files.push({ path, bytes: entry.bytes, chunks: () => readChunks(storage, { ...entry, packetPath: path }) })
  }
}

/** A stored file from start to end. Throws `FileFault` when it cannot be read, `IntakeError` when it changed. */
export async function* readChunks(
  storage: Storage,
  file: { path: string; identity: string; bytes: number; packetPath: string },
): AsyncGenerator<Uint8Array> {
  const open = await storage.open(file.path, file.identity).catch((error) => {
    throw explain(error, file.packetPath)
  })
  let pending: Promise<number> = Promise.resolve(0)
  try {
    if (open.bytes !== file.bytes) throw changed(file.packetPath)
    const room = Math.min(chunkBytes, file.bytes + 1)
    let [buffer, other] = [new Uint8Array(room), new Uint8Array(room)]
    pending = open.read(buffer, 0)
    for (let position = 0; ; ) {
      const count = await pending.catch((error) => {
        throw explain(error, file.packetPath)
      })
      if (count === 0) return
      position += count
      if (position > file.bytes) throw changed(file.packetPath)
      // The next piece comes in while this one is worked on.
      pending = open.read(other, position)
      pending.catch(() => {})
      yield buffer.subarray(0, count)
      ;[buffer, other] = [other, buffer]
    }
  } finally {
    await pending.catch(() => {})
    await open.close()
  }
}

function explain(error: unknown, path: string): Error {
  const code = codeOf(error)
  if (code === 'ESTALE' || code === 'ENOENT') return changed(path)
  if (code === 'ELOOP') return new FileFault('link', `${path} is a link, and links are not followed`, { cause: error })
  return new FileFault('unreadable', `${path} cannot be read (${code})`, { cause: error })
}

/** The system's code of an error, or its message. */
export const codeOf = (error: unknown): string =>
  error instanceof Error
    ? 'code' in error && typeof error.code === 'string'
      ? error.code
      : error.message
    : String(error)
