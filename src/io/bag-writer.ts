/** Writes a bag as a folder or as one zip, so that it is there whole or not at all. */
import { createHash } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { type FileHandle, lstat, mkdir, open, rename, rm } from 'node:fs/promises'
import { dirname, join, posix } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { ZipFile } from 'yazl'
import { nameTemporary, publishNew, syncFolder, writeNewAtomically } from './atomic-write.ts'

// The shapes are those of `BagSink` in src/seal/bag/write.ts, which this fulfils without importing it.
interface WrittenFile {
  path: string
  bytes: number
  sha256: string
  sha512: string
}

type Content = AsyncIterable<Uint8Array> | Uint8Array

interface Sink {
  put(path: string, content: Content): Promise<WrittenFile>
}

/**
 * Writes a folder: into a new one beside `target`, each file synced, then each folder, then renamed, then the parent
 * synced. Rejects with code `EEXIST` where something stands, and with what `fill` rejects with; `target` is then as it
 * was, and what was written is gone. A process that is killed leaves at most `.NAME.….tmp` behind.
 */
export async function writeBagFolder<Result>(target: string, fill: (sink: Sink) => Promise<Result>): Promise<Result> {
  await refuseExisting(target)
  const temporary = nameTemporary(target)
  const folders = new Set([temporary])
  await mkdir(temporary)
  const put = async (path: string, content: Content) => {
    for (let folder = posix.dirname(path); folder !== '.'; folder = posix.dirname(folder))
      folders.add(join(temporary, folder))
    const file = join(temporary, path)
    await mkdir(dirname(file), { recursive: true })
    const handle = await open(file, 'wx')
    try {
      const meter = makeMeter()
      for await (const chunk of piecesOf(content)) {
        // The disk works while the digests are computed.
        const written = writeFully(handle, chunk)
        meter.take(chunk)
        await written
      }
      await handle.sync()
      return meter.read(path)
    } finally {
      await handle.close()
    }
  }
  try {
    const result = await fill({ put })
    for (const folder of folders) await syncFolder(folder)
    await refuseExisting(target)
    await rename(temporary, target)
    await syncFolder(dirname(target))
    return result
  } catch (error) {
    await rm(temporary, { recursive: true, force: true })
    throw error
  }
}

/** Renaming a folder replaces an empty one, and nothing else: what little can come between is no loss. */
async function refuseExisting(target: string): Promise<void> {
  const sight = await lstat(target).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null
    throw error
  })
  if (sight === null) return
  throw Object.assign(new Error(`${target} exists`), { code: 'EEXIST' })
}

async function writeFully(handle: FileHandle, chunk: Uint8Array): Promise<void> {
  for (let start = 0; start < chunk.length; ) start += (await handle.write(chunk, start)).bytesWritten
}

/** Digests of what passes, and how much of it. */
function makeMeter() {
  const [sha256, sha512] = [createHash('sha256'), createHash('sha512')]
  let bytes = 0
  return {
    take(chunk: Uint8Array): void {
      sha256.update(chunk)
      sha512.update(chunk)
      bytes += chunk.length
    },
    read: (path: string): WrittenFile => ({ path, bytes, sha256: sha256.digest('hex'), sha512: sha512.digest('hex') }),
  }
}

const piecesOf = (content: Content): AsyncIterable<Uint8Array> | Iterable<Uint8Array> =>
  content instanceof Uint8Array ? [content] : content

/**
 * Adds files to a bag that is a folder: a file at its root by itself, files of one new folder together, each whole or not
 * at all. Rejects with code `EEXIST` where something stands under a name.
 */
export async function addToBagFolder(
  bag: string,
  files: readonly { path: string; content: Uint8Array }[],
): Promise<void> {
  const byFolder = Map.groupBy(files, ({ path }) => posix.dirname(path))
  for (const [folder, own] of byFolder) {
    if (folder === '.') {
      for (const { path, content } of own) await writeNewAtomically(join(bag, path), content)
      continue
    }
    await writeBagFolder(join(bag, folder), async (sink) => {
      for (const { path, content } of own) await sink.put(posix.basename(path), content)
    })
  }
}

/** Entries carry this time, so that the same bag gives the same zip: the first that a zip can state. */
const zipTime = new Date(Date.UTC(1980, 0, 1))

/**
 * Writes one zip with everything in the folder `top` (RFC 8493, section 4: one serialised bag), stored, not deflated, so
 * that no decompressor comes between. Errors and guarantees as for a folder; with `replace`, what stands under the name
 * stays until the new zip takes its place.
 */
export async function writeBagZip<Result>(
  target: string,
  top: string,
  fill: (sink: Sink) => Promise<Result>,
  { replace = false } = {},
): Promise<Result> {
  if (!replace) await refuseExisting(target)
  const temporary = nameTemporary(target)
  const zip = new ZipFile()
  const written = pipeline(zip.outputStream, createWriteStream(temporary, { flags: 'wx', flush: true }))
  // Told below; it may fail while nobody waits for it.
  written.catch(() => {})
  const put = (path: string, content: Content): Promise<WrittenFile> =>
    new Promise((resolve, reject) => {
      const source = Readable.from(meterOnTheWay(path, content, resolve), { objectMode: false })
      source.once('error', reject)
      written.catch(reject)
      zip.addReadStream(source, `${top}/${path}`, {
        compress: false,
        mtime: zipTime,
        mode: 0o100644,
        forceDosTimestamp: true,
      })
    })
  try {
    const result = await fill({ put })
    zip.end()
    await written
    await (replace ? rename(temporary, target) : publishNew(temporary, target))
    await syncFolder(dirname(target))
    return result
  } catch (error) {
    zip.outputStream.unpipe()
    await rm(temporary, { force: true })
    throw error
  }
}

async function* meterOnTheWay(
  path: string,
  content: Content,
  done: (written: WrittenFile) => void,
): AsyncGenerator<Uint8Array> {
  const meter = makeMeter()
  for await (const chunk of piecesOf(content)) {
    meter.take(chunk)
    // Whoever reads the stream may still hold it when the next piece overwrites this one.
    yield new Uint8Array(chunk)
  }
  done(meter.read(path))
}
