/** Writes a bag as a folder, so that it is there whole or not at all. */
import { type FileHandle, mkdir, open, rename, rm } from 'node:fs/promises'
import { dirname, join, posix } from 'node:path'
import { nameTemporary, syncFolder, writeNewAtomically } from './atomic-write.ts'
import { type Content, makeMeter, makePathGuard, piecesOf, refuseExisting, type Sink } from './bag-sink.ts'

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
  const guard = makePathGuard()
  let durable = Promise.resolve()
  const put = async (path: string, content: Content) => {
    guard(path)
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
      await durable
      // The disk makes this file durable while the next is written.
      durable = handle.sync().finally(() => handle.close())
      durable.catch(() => {})
      return meter.read(path)
    } catch (error) {
      await handle.close()
      throw error
    }
  }
  try {
    const result = await fill({ put })
    await durable
    for (const folder of folders) await syncFolder(folder)
    // Renaming a folder replaces an empty one, and nothing else: what little can come between is no loss.
    await refuseExisting(target)
    await rename(temporary, target)
    await syncFolder(dirname(target))
    return result
  } catch (error) {
    await durable.catch(() => {})
    await rm(temporary, { recursive: true, force: true })
    throw error
  }
}

async function writeFully(handle: FileHandle, chunk: Uint8Array): Promise<void> {
  for (let start = 0; start < chunk.length; ) start += (await handle.write(chunk, start)).bytesWritten
}

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
