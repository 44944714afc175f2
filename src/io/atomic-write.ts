/** Writes a file so that it is there whole or not at all. */
import { randomBytes } from 'node:crypto'
import { open, rename, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

/**
 * Writes `data` to `path`, replacing what stands there: a new file beside it is written and synced, then renamed, then
 * the folder is synced. When it rejects (with Node's system error), `path` is as it was and the new file is gone.
 */
export async function writeAtomically(path: string, data: Uint8Array | string): Promise<void> {
  const folder = dirname(path)
  const temporary = join(folder, `.${basename(path)}.${randomBytes(6).toString('hex')}.tmp`)
  try {
    const file = await open(temporary, 'wx')
    try {
      await file.writeFile(data)
      await file.sync()
    } finally {
      await file.close()
    }
    await rename(temporary, path)
  } catch (error) {
    await rm(temporary, { force: true })
    throw error
  }
  await syncFolder(folder)
}

/** Makes the rename itself durable. Windows cannot open a folder, and needs no such step. */
async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return
  const handle = await open(folder, 'r')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}
