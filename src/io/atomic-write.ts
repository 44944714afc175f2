/** Writes a file so that it is there whole or not at all. */
import { randomBytes } from 'node:crypto'
import { link, open, rename, rm } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

/**
 * Writes `data` to `path`, replacing what stands there: a new file beside it is written and synced, then renamed, then
 * the folder is synced. When it rejects (with Node's system error), `path` is as it was and the new file is gone.
 */
export async function writeAtomically(path: string, data: Uint8Array | string): Promise<void> {
  await writeBeside(path, data, 0o666, (temporary) => rename(temporary, path))
}

/**
 * Writes `data` to `path` where nothing stands, as above but replacing nothing: rejects with code `EEXIST` where
 * something does, be it a link that leads nowhere. `mode` is what the owner and others may do, less what the process's
 * mask takes away: 0o600 for a secret.
 */
export async function writeNewAtomically(path: string, data: Uint8Array | string, mode = 0o666): Promise<void> {
  await writeBeside(path, data, mode, (temporary) => publishNew(temporary, path))
}

/** Gives a finished file its name, where nothing stands under it; rejects with code `EEXIST` where something does. */
export async function publishNew(temporary: string, path: string): Promise<void> {
  try {
    // link(2) never replaces, as rename(2) does.
    await link(temporary, path)
    await rm(temporary)
  } catch (error) {
    if (!linkless.has((error as NodeJS.ErrnoException).code ?? '')) throw error
    await renameToNew(temporary, path)
  }
}

/** What file systems without hard links answer. */
const linkless: ReadonlySet<string> = new Set(['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS'])

/** Takes the name with an empty file first, so that no other program's file can be replaced. */
async function renameToNew(temporary: string, path: string): Promise<void> {
  const reserved = await open(path, 'wx')
  await reserved.close()
  try {
    await rename(temporary, path)
  } catch (error) {
    await rm(path, { force: true })
    throw error
  }
}

async function writeBeside(
  path: string,
  data: Uint8Array | string,
  mode: number,
  publish: (temporary: string) => Promise<void>,
): Promise<void> {
  const folder = dirname(path)
  const temporary = nameTemporary(path)
  try {
    const file = await open(temporary, 'wx', mode)
    try {
      await file.writeFile(data)
      await file.sync()
    } finally {
      await file.close()
    }
    await publish(temporary)
  } catch (error) {
    await rm(temporary, { force: true })
    throw error
  }
  await syncFolder(folder)
}

/** A name beside `path` that nobody else has, and that tells what it was to become if it is left behind. */
export const nameTemporary = (path: string): string =>
  join(dirname(path), `.${basename(path)}.${randomBytes(6).toString('hex')}.tmp`)

/** Makes the rename itself durable. Windows cannot open a folder, and needs no such step. */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return
  const handle = await open(folder, 'r')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}
