/**
 * Pages of strangers' files are drawn in processes of their own, like those that read. They may load native code, which
 * the drawing library is; so they are others than the reading processes, and start only where pictures are asked for.
 */
import type { DrawingWish, Drawn } from '../facts/drawing.ts'
import type { ReadingHint } from '../reading/read.ts'
import { defaultPoolLimits, makePool, type PoolLimits } from './child-pool.ts'
import { siblingModule } from './watched-child.ts'

export interface DrawingPool {
  /**
   * Draws pages of one file; one answer a wish, in their order. Rejects only after `close`: a file that breaks its
   * drawer gives faults. `bytes` must not change before the answer.
   */
  draw(bytes: Uint8Array, hint: ReadingHint, wishes: readonly DrawingWish[]): Promise<Drawn[]>
  /** Ends the processes. Files that still wait are rejected. */
  close(): Promise<void>
}

const defaultWorker = siblingModule('drawing-worker', import.meta.url)

/** No process starts before the first file. `worker` is for tests, as in `startReading`. */
export function startDrawing(limits: Partial<PoolLimits> = {}, worker: URL = defaultWorker): DrawingPool {
  const pool = makePool(worker, { ...defaultPoolLimits, ...limits }, { isAnswer: areDrawn, nativeCode: true })
  return {
    draw: async (bytes, { path, media }, wishes) => {
      const fate = await pool.ask(bytes, { path, media, wishes })
      if (fate.kind === 'answered' && fate.answer.length === wishes.length) return fate.answer
      const detail = fate.kind === 'answered' ? 'gave too few pictures' : fate.detail
      return wishes.map(() => ({ fault: `its drawer ${detail}` }))
    },
    close: pool.close,
  }
}

function areDrawn(value: unknown): value is Drawn[] {
  return Array.isArray(value) && value.every(isDrawn)
}

function isDrawn(value: unknown): value is Drawn {
  if (typeof value !== 'object' || value === null) return false
  if ('fault' in value) return typeof value.fault === 'string'
  const { jpeg, widthPixels, heightPixels, region } = value as Record<string, unknown>
  const sized = [widthPixels, heightPixels].every((pixels) => Number.isInteger(pixels) && Number(pixels) > 0)
  return (
    jpeg instanceof Uint8Array && sized && Array.isArray(region) && region.length === 4 && region.every(Number.isFinite)
  )
}
