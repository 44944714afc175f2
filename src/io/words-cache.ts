/**
 * Words that were read in pictures, kept for the next time in this user's cache folder: a page takes seconds, and a packet
 * is checked more than once. One file a page, named after the digest of the bytes it was read from; of no use to anybody
 * without them, but it holds what they say. What is kept is never trusted: it is held to its shape like the answer of a
 * process, and what does not fit is as if it were not there.
 */
import { createHash } from 'node:crypto'
import { mkdir, readdir, readFile, rm, stat, utimes } from 'node:fs/promises'
import { homedir } from 'node:os'
import { isAbsolute, join } from 'node:path'
import type { PageWords } from '../facts/look.ts'
import { arePageWords } from '../reading/page-words.ts'
import { wordsVersion } from '../reading/picture-words/read-words.ts'
import { writeAtomically } from './atomic-write.ts'

export interface WordsCache {
  /** Null where nothing that can be used is kept. Never rejects. */
  get(bytes: Uint8Array, page: number): Promise<PageWords | null>
  /** Never rejects: what cannot be kept is read again. */
  put(bytes: Uint8Array, page: number, words: PageWords): Promise<void>
}

const mostBytes = 200 * 1024 * 1024
const largestEntry = 4 * 1024 * 1024
/** So many new entries go by before the folder is measured. */
const patience = 50

/** Opens the cache in `folder`, which need not be there. Holds at most `most` bytes, the least lately used going first. */
export function openWordsCache(folder = cacheFolder(), most = mostBytes): WordsCache {
  let written = 0
  const nameOf = (bytes: Uint8Array, page: number) =>
    join(folder, `${createHash('sha256').update(bytes).digest('hex')}-${page}-v${wordsVersion}.json`)
  return {
    async get(bytes, page) {
      try {
        const path = nameOf(bytes, page)
        if ((await stat(path)).size > largestEntry) return null
        const kept: unknown = JSON.parse(await readFile(path, 'utf8'))
        if (!arePageWords(kept)) return null
        const now = new Date()
        await utimes(path, now, now).catch(() => undefined)
        return kept
      } catch {
        return null
      }
    },
    async put(bytes, page, words) {
      try {
        const text = JSON.stringify(words)
        if (text.length > largestEntry) return
        await mkdir(folder, { recursive: true, mode: 0o700 })
        await writeAtomically(nameOf(bytes, page), text)
        if (written++ % patience === 0) await prune(folder, most)
      } catch {
        // A full or read-only disk costs time, and nothing else.
      }
    },
  }
}

/** Removes entries until the rest fits; files of others stay. */
async function prune(folder: string, most: number): Promise<void> {
  const names = (await readdir(folder)).filter((name) => /^[0-9a-f]{64}-\d+-v\d+\.json$/.test(name))
  const entries = await Promise.all(
    names.map(async (name) => {
      const path = join(folder, name)
      const found = await stat(path).catch(() => null)
      return { path, bytes: found?.size ?? 0, used: found?.mtimeMs ?? 0 }
    }),
  )
  let held = entries.reduce((sum, { bytes }) => sum + bytes, 0)
  for (const { path, bytes } of entries.sort((a, b) => a.used - b.used)) {
    if (held <= most) return
    await rm(path, { force: true })
    held -= bytes
  }
}

/** XDG Base Directory Specification 0.8: a relative $XDG_CACHE_HOME is passed over. macOS and Windows have folders of their own. */
export function cacheFolder(environment: NodeJS.ProcessEnv = process.env, platform: string = process.platform): string {
  const { XDG_CACHE_HOME: stated, LOCALAPPDATA: local } = environment
  if (stated !== undefined && isAbsolute(stated)) return join(stated, 'witnessmark', 'words')
  if (platform === 'win32' && local) return join(local, 'witnessmark', 'words')
  const home = homedir()
  return platform === 'darwin'
    ? join(home, 'Library', 'Caches', 'witnessmark', 'words')
    : join(home, '.cache', 'witnessmark', 'words')
}
