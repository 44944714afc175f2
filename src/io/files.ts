/** The file system, as intake sees it: links are never followed, pipes never waited for. */
import { constants } from 'node:fs'
import { type FileHandle, lstat, open, opendir, realpath } from 'node:fs/promises'
import { join } from 'node:path'

// The shapes are those of `Storage` in src/intake/storage.ts, which this fulfils without importing it.
type Kind = 'file' | 'folder' | 'link' | 'other'

interface Sight {
  kind: Kind
  bytes: number
  identity: string
}

interface Listing extends Sight {
  name: Uint8Array
  path: string
  trouble?: string
}

interface OpenFile {
  bytes: number
  read(target: Uint8Array, position: number): Promise<number>
  close(): Promise<void>
}

interface FileSystemStorage {
  look(path: string): Promise<Sight & { path: string }>
  list(folder: string, identity: string, most: number): Promise<Listing[]>
  open(path: string, identity: string): Promise<OpenFile>
}

/** The machine's files, for `openPacket`. Rejects with Node's system errors, and `ESTALE` as `Storage` asks. */
export const fileSystem: FileSystemStorage = { look, list, open: openFile }

async function look(path: string): Promise<Sight & { path: string }> {
  const real = await realpath(path)
  return { path: real, ...describe(await lstat(real, { bigint: true })) }
}

async function list(folder: string, identity: string, most: number): Promise<Listing[]> {
  const listed: Listing[] = []
  // Node hands out names as bytes here, though its types know only of text.
  const directory = await opendir(folder, { encoding: 'buffer' as BufferEncoding })
  try {
    if (describe(await lstat(folder, { bigint: true })).identity !== identity) throw stale(folder)
    for await (const entry of directory) {
      listed.push(await lookAt(folder, entry.name as unknown as Buffer))
      if (listed.length > most) break
    }
  } finally {
    await directory.close().catch(ignoreClosed)
  }
  return listed
}

/** Leaving the loop closes the directory already. */
function ignoreClosed(error: NodeJS.ErrnoException): void {
  if (error.code !== 'ERR_DIR_CLOSED') throw error
}

async function lookAt(folder: string, name: Buffer): Promise<Listing> {
  const path = join(folder, name.toString('utf8'))
  try {
    const raw = Buffer.concat([Buffer.from(join(folder, '/')), name])
    return { name, path, ...describe(await lstat(raw, { bigint: true })) }
  } catch (error) {
    const trouble = (error as NodeJS.ErrnoException).code ?? String(error)
    return { name, path, kind: 'other', bytes: 0, identity: '', trouble }
  }
}

type Stats = Awaited<ReturnType<typeof lstatBig>>
const lstatBig = (path: string) => lstat(path, { bigint: true })

function describe(stats: Stats): Sight {
  const kind: Kind = stats.isFile()
    ? 'file'
    : stats.isDirectory()
      ? 'folder'
      : stats.isSymbolicLink()
        ? 'link'
        : 'other'
  return { kind, bytes: kind === 'file' ? Number(stats.size) : 0, identity: `${stats.dev}:${stats.ino}` }
}

// Windows has neither flag; there the identity alone catches a link put in the file's place.
const openFlags = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0)

async function openFile(path: string, identity: string): Promise<OpenFile> {
  const handle = await open(path, openFlags)
  try {
    const sight = describe(await handle.stat({ bigint: true }))
    if (sight.kind !== 'file' || sight.identity !== identity) throw stale(path)
    return {
      bytes: sight.bytes,
      read: async (target, position) => (await handle.read(target, 0, target.length, position)).bytesRead,
      close: () => handle.close(),
    }
  } catch (error) {
    await closeQuietly(handle)
    throw error
  }
}

/** The first error is the one to report. */
const closeQuietly = (handle: FileHandle): Promise<void> => handle.close().catch(() => {})

function stale(path: string): NodeJS.ErrnoException {
  const error: NodeJS.ErrnoException = new Error(`${path} is not what it was a moment ago`)
  error.code = 'ESTALE'
  return error
}
