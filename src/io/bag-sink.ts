/** What the writers of folders and zips share. */
import { createHash } from 'node:crypto'
import { lstat } from 'node:fs/promises'

// The shapes are those of `BagSink` in src/seal/bag/write.ts, which this fulfils without importing it.
export interface WrittenFile {
  path: string
  bytes: number
  sha256: string
  sha512: string
}

/** A piece of a stream is good until the next is asked for. */
export type Content = AsyncIterable<Uint8Array> | Uint8Array

export interface Sink {
  /** One file at a time. */
  put(path: string, content: Content): Promise<WrittenFile>
}

export const piecesOf = (content: Content): AsyncIterable<Uint8Array> | Iterable<Uint8Array> =>
  content instanceof Uint8Array ? [content] : content

/** Digests of what passes, and how much of it. */
export function makeMeter() {
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

/** Rejects with code `EEXIST` where anything stands at `target`, be it a link that leads nowhere. */
export async function refuseExisting(target: string): Promise<void> {
  const sight = await lstat(target).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null
    throw error
  })
  if (sight === null) return
  throw Object.assign(new Error(`${target} exists`), { code: 'EEXIST' })
}

/** Throws RangeError for a path that would leave the bag, and for one that was given before, be it in other case. */
export function makePathGuard(): (path: string) => void {
  const taken = new Set<string>()
  return (path) => {
    const steps = path.split('/')
    if (path.includes('\\') || steps.some((step) => step === '' || step === '.' || step === '..'))
      throw new RangeError(`${path} is no path in a bag`)
    if (taken.has(path.toLowerCase())) throw new RangeError(`${path} is in the bag already`)
    taken.add(path.toLowerCase())
  }
}
