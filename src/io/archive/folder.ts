/** A folder that holds an archive: objects by their digests, the tiles of its log, and a few files at its root. */
import { createHash, randomBytes } from 'node:crypto'
import { chmod, type FileHandle, mkdir, open, readdir, readFile, rename, rm, stat } from 'node:fs/promises'
import { dirname, join, relative, sep } from 'node:path'
import { syncFolder, writeAtomically, writeNewAtomically } from '../atomic-write.ts'

// The shapes are those of src/archive/storage.ts, which this fulfils without importing it.

interface StoredObject {
  sha256: string
  bytes: number
}

const codeOf = (error: unknown): string => (error as NodeJS.ErrnoException).code ?? ''

/** What `path` holds; null where nothing stands. */
async function readOrNull(path: string): Promise<Uint8Array | null> {
  try {
    return new Uint8Array(await readFile(path))
  } catch (error) {
    if (codeOf(error) === 'ENOENT' || codeOf(error) === 'ENOTDIR') return null
    throw error
  }
}

/** Makes a folder and what is missing above it, each entered durably in the one above. */
async function makeFolder(path: string): Promise<void> {
  const first = await mkdir(path, { recursive: true })
  if (first === undefined) return
  for (let folder = path; folder.length >= first.length; folder = dirname(folder)) await syncFolder(dirname(folder))
}

async function writeDurably(path: string, bytes: Uint8Array): Promise<void> {
  await makeFolder(dirname(path))
  await writeAtomically(path, bytes)
}

/** Every file below a folder, as paths with `/`; those of a write that never ended are left out. */
async function listFiles(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true }).catch((error) => {
    if (codeOf(error) === 'ENOENT') return []
    throw error
  })
  return entries
    .filter((entry) => !entry.isDirectory() && !/^\..*\.tmp$/.test(entry.name))
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
}

/** What an archive keeps at its root, what systems put into any folder, and what a disk of its own has. */
const ownNames = /^(?:\..*|archive\.json|log|log-key\.pem|objects|register\.sqlite.*|lost\+found)$/

/** The folder at `root`, as `ArchiveStorage` asks. Nothing is made before the first write. */
export function archiveFolder(root: string) {
  const logFolder = join(root, 'log')
  return {
    place: root,
    log: {
      read: (path: string) => readOrNull(join(logFolder, path)),
      write: (path: string, bytes: Uint8Array) => writeDurably(join(logFolder, path), bytes),
      list: () => listFiles(logFolder),
      remove: (path: string) => rm(join(logFolder, path), { force: true }),
    },
    objects: objectFolder(join(root, 'objects')),
    readFile: (name: string) => readOrNull(join(root, name)),
    writeFile: (name: string, bytes: Uint8Array) => writeDurably(join(root, name), bytes),
    async strangers(): Promise<string[]> {
      const names = await readdir(root).catch((error) => {
        ignoreMissing(error)
        return []
      })
      return names.filter((name) => !ownNames.test(name)).sort()
    },
    async writeSecret(name: string, bytes: Uint8Array): Promise<void> {
      await makeFolder(root)
      await writeNewAtomically(join(root, name), bytes, 0o600)
    },
  }
}

const isName = /^[0-9a-f]{64}$/

function objectFolder(folder: string) {
  const pathOf = (sha256: string) => {
    if (!isName.test(sha256)) throw new TypeError(`${sha256} is no SHA-256`)
    return join(folder, sha256.slice(0, 2), sha256)
  }
  const incoming = join(folder, 'incoming')
  return {
    async put(chunks: AsyncIterable<Uint8Array>): Promise<StoredObject> {
      await makeFolder(incoming)
      const temporary = join(incoming, randomBytes(12).toString('hex'))
      try {
        const object = await writeHashing(temporary, chunks)
        const path = pathOf(object.sha256)
        if (await isWhole(path, object)) {
          await rm(temporary)
          await syncFolder(dirname(path))
          return object
        }
        await makeFolder(dirname(path))
        await chmod(temporary, 0o444)
        await rename(temporary, path)
        await syncFolder(dirname(path))
        return object
      } catch (error) {
        await rm(temporary, { force: true })
        throw error
      }
    },
    async size(sha256: string): Promise<number | null> {
      const found = await stat(pathOf(sha256)).catch((error) => {
        if (codeOf(error) === 'ENOENT' || codeOf(error) === 'ENOTDIR') return null
        throw error
      })
      return found?.isFile() ? found.size : null
    },
    chunks: (sha256: string) => readChunks(pathOf(sha256)),
    async read(sha256: string, position: number, target: Uint8Array): Promise<number> {
      const file = await open(pathOf(sha256), 'r')
      try {
        return (await file.read(target, 0, target.length, position)).bytesRead
      } finally {
        await file.close()
      }
    },
    async remove(sha256: string): Promise<void> {
      await rm(pathOf(sha256), { force: true })
      await syncFolder(dirname(pathOf(sha256))).catch(ignoreMissing)
    },
    async *list(): AsyncGenerator<string> {
      const folders = await readdir(folder).catch((error) => {
        ignoreMissing(error)
        return []
      })
      for (const name of folders.filter((own) => /^[0-9a-f]{2}$/.test(own)).sort())
        for (const own of (await readdir(join(folder, name))).sort()) if (isName.test(own)) yield own
    },
    async sweep(): Promise<number> {
      const left = await readdir(incoming).catch((error) => {
        ignoreMissing(error)
        return []
      })
      for (const name of left) await rm(join(incoming, name), { force: true })
      return left.length
    },
  }
}

function ignoreMissing(error: unknown): void {
  if (codeOf(error) !== 'ENOENT') throw error
}

async function writeHashing(path: string, chunks: AsyncIterable<Uint8Array>): Promise<StoredObject> {
  const file = await open(path, 'wx', 0o600)
  try {
    const hash = createHash('sha256')
    let bytes = 0
    for await (const chunk of chunks) {
      hash.update(chunk)
      await writeAll(file, chunk)
      bytes += chunk.length
    }
    await file.sync()
    return { sha256: hash.digest('hex'), bytes }
  } finally {
    await file.close()
  }
}

async function writeAll(file: FileHandle, chunk: Uint8Array): Promise<void> {
  for (let at = 0; at < chunk.length; ) at += (await file.write(chunk, at)).bytesWritten
}

/** Whether the object stands already, as it should be. */
async function isWhole(path: string, { sha256, bytes }: StoredObject): Promise<boolean> {
  const size = await stat(path).then(({ size }) => size, ignoreMissing)
  if (size !== bytes) return false
  const hash = createHash('sha256')
  for await (const chunk of readChunks(path)) hash.update(chunk)
  return hash.digest('hex') === sha256
}

const chunkBytes = 1024 * 1024

async function* readChunks(path: string): AsyncGenerator<Uint8Array> {
  const file = await open(path, 'r')
  try {
    const buffer = new Uint8Array(chunkBytes)
    for (;;) {
      const { bytesRead } = await file.read(buffer, 0, buffer.length, null)
      if (bytesRead === 0) return
      yield buffer.subarray(0, bytesRead)
    }
  } finally {
    await file.close()
  }
}
