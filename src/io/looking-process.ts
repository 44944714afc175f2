/**
 * Strangers' pictures are looked at in processes of their own, like those that read. They may load native code, which
 * decodes the pictures; so they are others than the reading processes, and start only where there are pictures.
 */
import type { Looked, PageWords } from '../facts/look.ts'
import { symbologies } from '../facts/reading.ts'
import { arePageWords, isBox } from '../reading/page-words.ts'
import type { ReadingHint } from '../reading/read.ts'
import { defaultPoolLimits, makePool, type PoolLimits } from './child-pool.ts'
import { type Request, siblingModule } from './watched-child.ts'

export interface LookingPool {
  /** Looks at one picture or page. Rejects only after `close`: one that breaks its process gives a fault. */
  look(bytes: Uint8Array, hint: ReadingHint, page?: number): Promise<Looked>
  /** Reads the words of a picture or of a page that is one; otherwise as `look`. */
  readWords(bytes: Uint8Array, hint: ReadingHint, page: number): Promise<PageWords | { fault: string }>
  /** Ends the processes. Pictures that still wait are rejected. */
  close(): Promise<void>
}

const defaultWorker = siblingModule('looking-worker', import.meta.url)

/** Words that are in doubt are read again: on a busy machine a page of small print takes more than a file has. */
const milliseconds = 120_000

/** No process starts before the first picture. `worker` is for tests, as in `startReading`. */
export function startLooking(limits: Partial<PoolLimits> = {}, worker: URL = defaultWorker): LookingPool {
  const pool = makePool(worker, { ...defaultPoolLimits, milliseconds, ...limits }, { isAnswer, nativeCode: true })
  const ask = async (bytes: Uint8Array, request: Request): Promise<Answer | { fault: string }> => {
    const fate = await pool.ask(bytes, request)
    return fate.kind === 'answered' ? fate.answer : { fault: `its process ${fate.detail}` }
  }
  return {
    look: async (bytes, { path, media }, page = 1) => {
      const answer = await ask(bytes, { path, media, task: 'look', page })
      return isLooked(answer, page) ? answer : otherAnswer
    },
    readWords: async (bytes, { path, media }, page) => {
      const answer = await ask(bytes, { path, media, task: 'words', page })
      return arePageWords(answer) || 'fault' in answer ? answer : otherAnswer
    },
    close: pool.close,
  }
}

type Answer = Looked | PageWords

const otherAnswer = { fault: 'its process answered with something else than it was asked for' }

const isAnswer = (value: unknown): value is Answer => isLooked(value) || arePageWords(value)

function isLooked(value: unknown, page?: number): value is Looked {
  if (typeof value !== 'object' || value === null) return false
  if ('fault' in value) return typeof value.fault === 'string'
  const { barcodes, likeness, thumbnail } = value as Record<string, unknown>
  const known = likeness === null || (typeof likeness === 'string' && /^[0-9a-f]{512}$/.test(likeness))
  const sized = thumbnail === undefined || isThumbnail(thumbnail)
  return known && sized && Array.isArray(barcodes) && barcodes.every((code) => isBarcode(code, page))
}

function isThumbnail(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false
  const { width, height, levels } = value as Record<string, unknown>
  return [width, height].every(Number.isInteger) && (levels === null || Number.isFinite(levels))
}

function isBarcode(value: unknown, asked?: number): boolean {
  if (typeof value !== 'object' || value === null) return false
  const { symbology, text, page, box } = value as Record<string, unknown>
  return (
    (symbologies as readonly unknown[]).includes(symbology) &&
    typeof text === 'string' &&
    Number.isInteger(page) &&
    (asked === undefined || page === asked) &&
    isBox(box)
  )
}
