/**
 * Files from strangers are read in processes of their own, so that a file that hangs, exhausts memory or crashes its
 * reader becomes a problem of that file alone.
 */

import type { PageWords } from '../facts/look.ts'
import type { Reading } from '../facts/reading.ts'
import { addSeen, listLayered, listLookedAt, listPictured, type SeenPage } from '../reading/pictured.ts'
import type { ReadingHint } from '../reading/read.ts'
import { defaultPoolLimits, makePool, type PoolLimits } from './child-pool.ts'
import { type LookingPool, startLooking } from './looking-process.ts'
import { type Fate, siblingModule } from './watched-child.ts'
import type { WordsCache } from './words-cache.ts'

export type ReadingLimits = PoolLimits
export { defaultPoolLimits as defaultReadingLimits }

export interface ReadingPool {
  /**
   * Reads one file; any number may wait. Rejects only after `close`. A file that breaks its reader gives a Reading
   * with the problem `timed-out`, `out-of-memory` or `reader-crashed`. `bytes` must not change before the answer.
   */
  read(bytes: Uint8Array, hint: ReadingHint): Promise<Reading>
  /** Ends the processes. Files that still wait are rejected. */
  close(): Promise<void>
}

export interface ReadingWays {
  /** Whether the words in pictures are read; they are when left out. */
  readonly pictureWords?: boolean
  /** Where words that were read are kept; nowhere when left out. */
  readonly cache?: WordsCache | null
  /** For tests: a module that speaks as `worker-channel.ts` says. */
  readonly worker?: URL
}

const defaultWorker = siblingModule('reading-worker', import.meta.url)

/**
 * Starts a pool, and its first process at once, so that it warms up while the packet is still being hashed.
 */
export function startReading(
  limits: Partial<ReadingLimits> = {},
  { worker = defaultWorker, pictureWords = true, cache = null }: ReadingWays = {},
): ReadingPool {
  const pool = makePool(worker, { ...defaultPoolLimits, ...limits }, { isAnswer: isReading, nativeCode: false })
  const looking = startLooking(limits)
  pool.warm()
  return {
    async read(bytes, { path, media }) {
      const hint = { path, media }
      const reading = toReading(await pool.ask(bytes, hint), hint)
      const pages = listLookedAt(reading).slice(0, mostLookedAt)
      const worded = new Set([...listPictured(reading), ...listLayered(reading)])
      const readPage = (page: number) => readKept(looking, cache, bytes, hint, page)
      const see = (page: number) =>
        seePage(looking, pictureWords && worded.has(page) ? readPage : null, bytes, hint, page)
      return addSeen(reading, await Promise.all(pages.map(see)))
    },
    close: async () => {
      await Promise.all([pool.close(), looking.close()])
    },
  }
}

/** A scanned manual is no evidence; a page takes some seconds. */
const mostLookedAt = 40

/** Bar codes and words apart: a page that takes too long to read keeps the others. */
async function seePage(
  looking: LookingPool,
  readPage: ((page: number) => Promise<PageWords | { fault: string }>) | null,
  bytes: Uint8Array,
  hint: ReadingHint,
  page: number,
): Promise<SeenPage> {
  const [looked, words] = await Promise.all([looking.look(bytes, hint, page), readPage?.(page) ?? null])
  return { page, looked, words }
}

async function readKept(
  looking: LookingPool,
  cache: WordsCache | null,
  bytes: Uint8Array,
  hint: ReadingHint,
  page: number,
): Promise<PageWords | { fault: string }> {
  const kept = await cache?.get(bytes, page)
  if (kept) return kept
  const read = await looking.readWords(bytes, hint, page)
  if (!('fault' in read)) await cache?.put(bytes, page, read)
  return read
}

function toReading(fate: Fate<Reading>, { path, media }: ReadingHint): Reading {
  if (fate.kind === 'answered') return fate.answer
  const message = `${path} could not be read: its reader ${fate.detail}`
  return { media, pages: [], problems: [{ code: fate.kind, message }] }
}

function isReading(value: unknown): value is Reading {
  if (typeof value !== 'object' || value === null) return false
  const { media, pages, problems } = value as Partial<Reading>
  return typeof media === 'string' && Array.isArray(pages) && Array.isArray(problems)
}
