/**
 * Files from strangers are read in processes of their own, so that a file that hangs, exhausts memory or crashes its
 * reader becomes a problem of that file alone.
 */
import type { Reading } from '../facts/reading.ts'
import { addLook, isPicture } from '../reading/look.ts'
import type { ReadingHint } from '../reading/read.ts'
import { defaultPoolLimits, makePool, type PoolLimits } from './child-pool.ts'
import { startLooking } from './looking-process.ts'
import { type Fate, siblingModule } from './watched-child.ts'

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

const defaultWorker = siblingModule('reading-worker', import.meta.url)

/**
 * Starts a pool, and its first process at once, so that it warms up while the packet is still being hashed.
 * `worker` is for tests: a module that speaks as `worker-channel.ts` says.
 */
export function startReading(limits: Partial<ReadingLimits> = {}, worker: URL = defaultWorker): ReadingPool {
  const pool = makePool(worker, { ...defaultPoolLimits, ...limits }, { isAnswer: isReading, nativeCode: false })
  const looking = startLooking(limits)
  pool.warm()
  return {
    async read(bytes, { path, media }) {
      const hint = { path, media }
      const reading = pool.ask(bytes, hint).then((fate) => toReading(fate, hint))
      if (!isPicture(media) || bytes.length === 0) return reading
      const [read, looked] = await Promise.all([reading, looking.look(bytes, hint)])
      return addLook(read, looked)
    },
    close: async () => {
      await Promise.all([pool.close(), looking.close()])
    },
  }
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
