/**
 * Strangers' pictures are looked at in processes of their own, like those that read. They may load native code, which
 * decodes the pictures; so they are others than the reading processes, and start only where there are pictures.
 */
import type { Looked } from '../facts/look.ts'
import { symbologies } from '../facts/reading.ts'
import type { ReadingHint } from '../reading/read.ts'
import { defaultPoolLimits, makePool, type PoolLimits } from './child-pool.ts'
import { siblingModule } from './watched-child.ts'

export interface LookingPool {
  /** Looks at one picture. Rejects only after `close`: one that breaks its process gives a fault. */
  look(bytes: Uint8Array, hint: ReadingHint): Promise<Looked>
  /** Ends the processes. Pictures that still wait are rejected. */
  close(): Promise<void>
}

const defaultWorker = siblingModule('looking-worker', import.meta.url)

/** No process starts before the first picture. `worker` is for tests, as in `startReading`. */
export function startLooking(limits: Partial<PoolLimits> = {}, worker: URL = defaultWorker): LookingPool {
  const pool = makePool(worker, { ...defaultPoolLimits, ...limits }, { isAnswer: isLooked, nativeCode: true })
  return {
    look: async (bytes, { path, media }) => {
      const fate = await pool.ask(bytes, { path, media })
      return fate.kind === 'answered' ? fate.answer : { fault: `its process ${fate.detail}` }
    },
    close: pool.close,
  }
}

function isLooked(value: unknown): value is Looked {
  if (typeof value !== 'object' || value === null) return false
  if ('fault' in value) return typeof value.fault === 'string'
  const { barcodes, likeness, thumbnail } = value as Record<string, unknown>
  const known = likeness === null || (typeof likeness === 'string' && /^[0-9a-f]{512}$/.test(likeness))
  const sized = thumbnail === undefined || isThumbnail(thumbnail)
  return known && sized && Array.isArray(barcodes) && barcodes.every(isBarcode)
}

function isThumbnail(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false
  const { width, height, levels } = value as Record<string, unknown>
  return [width, height].every(Number.isInteger) && (levels === null || Number.isFinite(levels))
}

function isBarcode(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false
  const { symbology, text, page, box } = value as Record<string, unknown>
  return (
    (symbologies as readonly unknown[]).includes(symbology) &&
    typeof text === 'string' &&
    page === 1 &&
    Array.isArray(box) &&
    box.length === 4 &&
    box.every(Number.isFinite)
  )
}
