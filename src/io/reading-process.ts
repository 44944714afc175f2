/**
 * Files from strangers are read in processes of their own, so that a file that hangs, exhausts memory or crashes its
 * reader becomes a problem of that file alone.
 */
import { extname } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Reading } from '../facts/reading.ts'
import type { ReadingHint } from '../reading/read.ts'
import { type Fate, WatchedChild, type WatchLimits } from './watched-child.ts'

export interface ReadingLimits extends WatchLimits {
  /** At most so many processes at once. The first starts with the pool, others when files wait. */
  readonly processes: number
}

export const defaultReadingLimits: ReadingLimits = {
  processes: 2,
  milliseconds: 30_000,
  startMilliseconds: 30_000,
  memoryBytes: 1536 * 1024 * 1024,
  heapMebibytes: 1024,
}

export interface ReadingPool {
  /**
   * Reads one file; any number may wait. Rejects only after `close`. A file that breaks its reader gives a Reading
   * with the problem `timed-out`, `out-of-memory` or `reader-crashed`. `bytes` must not change before the answer.
   */
  read(bytes: Uint8Array, hint: ReadingHint): Promise<Reading>
  /** Ends the processes. Files that still wait are rejected. */
  close(): Promise<void>
}

interface Task {
  bytes: Uint8Array
  hint: ReadingHint
  resolve(reading: Reading): void
  reject(error: Error): void
}

// The same file beside this one, whether this runs as TypeScript or as emitted JavaScript.
const defaultWorker = new URL(`./reading-worker${extname(fileURLToPath(import.meta.url))}`, import.meta.url)

/**
 * Starts a pool, and its first process at once, so that it warms up while the packet is still being hashed.
 * `worker` is for tests: a module that speaks as `worker-channel.ts` says.
 */
export function startReading(limits: Partial<ReadingLimits> = {}, worker: URL = defaultWorker): ReadingPool {
  const bounds = { ...defaultReadingLimits, ...limits }
  const waiting: Task[] = []
  const idle: WatchedChild[] = [new WatchedChild(worker, bounds)]
  const busy = new Set<WatchedChild>()
  let closed = false

  const next = (): void => {
    while (waiting.length > 0 && busy.size < bounds.processes) {
      const task = waiting.shift()
      if (task) void run(task, takeChild())
    }
  }
  const takeChild = (): WatchedChild => {
    for (let child = idle.pop(); child; child = idle.pop()) if (child.alive) return child
    return new WatchedChild(worker, bounds)
  }
  const run = async (task: Task, child: WatchedChild): Promise<void> => {
    busy.add(child)
    const fate = await child.read(task.bytes, task.hint)
    busy.delete(child)
    if (child.alive) idle.push(child)
    if (closed) task.reject(closedError())
    // What earlier files left behind may be the cause: a file is judged by what it does to a fresh process.
    else if (fate.kind !== 'read' && fate.kind !== 'timed-out' && child.served > 1) waiting.unshift(task)
    else task.resolve(toReading(fate, task.hint))
    next()
  }

  return {
    read: (bytes, hint) =>
      new Promise((resolve, reject) => {
        if (closed) return reject(closedError())
        waiting.push({ bytes, hint, resolve, reject })
        next()
      }),
    close: async () => {
      closed = true
      for (const task of waiting.splice(0)) task.reject(closedError())
      await Promise.all([...idle, ...busy].map((child) => child.kill()))
    },
  }
}

const closedError = (): Error => new Error('The reading processes were closed')

function toReading(fate: Fate, { path, media }: ReadingHint): Reading {
  if (fate.kind === 'read') return fate.reading
  const message = `${path} could not be read: its reader ${fate.detail}`
  return { media, pages: [], problems: [{ code: fate.kind, message }] }
}
