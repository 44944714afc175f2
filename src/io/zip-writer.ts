/** Writes a bag as one zip, so that it is there whole or not at all. */
import { once } from 'node:events'
import { createWriteStream } from 'node:fs'
import { rename, rm } from 'node:fs/promises'
import { dirname } from 'node:path'
import { type PassThrough, Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { ZipFile } from 'yazl'
import { nameTemporary, publishNew, syncFolder } from './atomic-write.ts'
import { type Content, makeMeter, makePathGuard, piecesOf, refuseExisting, type Sink } from './bag-sink.ts'

/**
 * Entries carry this time, so that the same bag gives the same zip: the first that a zip can state, which it does in
 * local time. Stored, not deflated, so that no decompressor comes between.
 */
const entryOptions = { compress: false, mtime: new Date(1980, 0, 1), mode: 0o100644, forceDosTimestamp: true } as const

/**
 * A file of no more bytes is collected first, so that its header can state size and checksum: a stored entry that states
 * them behind its content is refused by readers that read a zip as it comes.
 */
const mostCollected = 8 * 1024 * 1024

/**
 * Writes one zip with everything in the folder `top` (RFC 8493, section 4: one serialised bag), Zip64 where it must be:
 * into a new file beside `target`, which is synced and renamed. Rejects with code `EEXIST` where something stands, and
 * with what `fill` rejects with; `target` is then as it was, and what was written is gone. A process that is killed leaves
 * at most `.NAME.….tmp` behind. With `replace`, what stands under the name stays until the new zip takes its place.
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
  const output = createWriteStream(temporary, { flags: 'wx', flush: true })
  const written = pipeline(zip.outputStream, output)
  // What is still on its way when the writing is given up has nowhere to go.
  zip.outputStream.on('error', () => {})
  const put = makePut(zip, top, written)
  try {
    const result = await fill({ put })
    zip.end()
    await written
    await (replace ? rename(temporary, target) : publishNew(temporary, target))
    await syncFolder(dirname(target))
    return result
  } catch (error) {
    output.destroy()
    // Until it is closed, the file may still come into being.
    if (!output.closed) await once(output, 'close').catch(() => {})
    await rm(temporary, { force: true })
    throw error
  }
}

function makePut(zip: ZipFile, top: string, written: Promise<void>): Sink['put'] {
  // Rejects when the disk fails, and never resolves.
  const broken = Promise.all([written, new Promise<never>(() => {})]).then(([, never]) => never)
  broken.catch(() => {})
  const drain = async () => {
    const outputStream = zip.outputStream as PassThrough
    if (outputStream.writableNeedDrain) await Promise.race([once(outputStream, 'drain'), broken])
  }
  const guard = makePathGuard()
  return async (path, content) => {
    guard(path)
    const meter = makeMeter()
    const pieces = copyThrough(content, meter)
    try {
      const { head, ended } = await Promise.race([collect(pieces), broken])
      if (ended) zip.addBuffer(Buffer.concat(head), `${top}/${path}`, entryOptions)
      else await Promise.race([addStream(zip, `${top}/${path}`, head, pieces), broken])
      await drain()
      return meter.read(path)
    } finally {
      // Not waited for: a source that hangs must not hold up the failure of the disk.
      void pieces.return(undefined).catch(() => {})
    }
  }
}

/** Whoever takes a piece may still hold it when the next overwrites the one that it was copied from. */
async function* copyThrough(content: Content, meter: ReturnType<typeof makeMeter>): AsyncGenerator<Uint8Array> {
  for await (const piece of piecesOf(content)) {
    meter.take(piece)
    yield new Uint8Array(piece)
  }
}

async function collect(pieces: AsyncGenerator<Uint8Array>): Promise<{ head: Uint8Array[]; ended: boolean }> {
  const head: Uint8Array[] = []
  for (let bytes = 0; bytes <= mostCollected; ) {
    const { value, done } = await pieces.next()
    if (done) return { head, ended: true }
    head.push(value)
    bytes += value.length
  }
  return { head, ended: false }
}

/** Resolves when the content was taken; the zip may still be writing the last of it. */
function addStream(
  zip: ZipFile,
  path: string,
  head: readonly Uint8Array[],
  pieces: AsyncGenerator<Uint8Array>,
): Promise<void> {
  return new Promise((resolve, reject) => {
    async function* whole() {
      yield* head
      yield* pieces
      resolve()
    }
    const source = Readable.from(whole(), { objectMode: false })
    source.once('error', reject)
    zip.addReadStream(source, path, entryOptions)
  })
}
