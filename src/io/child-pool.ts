/** A few watched processes, and the files that wait for them. */
import { type ChildKind, type Fate, type Request, WatchedChild, type WatchLimits } from './watched-child.ts'

export interface PoolLimits extends WatchLimits {
  /** At most so many processes at once. They start when files wait. */
  readonly processes: number
}

export const defaultPoolLimits: PoolLimits = {
  processes: 2,
  milliseconds: 30_000,
  startMilliseconds: 30_000,
  memoryBytes: 1536 * 1024 * 1024,
  heapMebibytes: 1024,
}

export interface ChildPool<Answer> {
  /** Has one file looked at; any number may wait. Rejects only after `close`. `bytes` must not change before the answer. */
  ask(bytes: Uint8Array, request: Request): Promise<Fate<Answer>>
  /** Starts the first process before there is work, so that it warms up meanwhile. */
  warm(): void
  /** Ends the processes. Files that still wait are rejected. */
  close(): Promise<void>
}

interface Task<Answer> {
  bytes: Uint8Array
  request: Request
  resolve(fate: Fate<Answer>): void
  reject(error: Error): void
}

/** `worker`: a module that speaks as `worker-channel.ts` says. */
export function makePool<Answer>(worker: URL, bounds: PoolLimits, kind: ChildKind<Answer>): ChildPool<Answer> {
  const waiting: Task<Answer>[] = []
  const idle: WatchedChild<Answer>[] = []
  const busy = new Set<WatchedChild<Answer>>()
  let closed = false

  const next = (): void => {
    while (waiting.length > 0 && busy.size < bounds.processes) {
      const task = waiting.shift()
      if (task) void run(task, takeChild())
    }
  }
  const start = () => new WatchedChild(worker, bounds, kind)
  const takeChild = (): WatchedChild<Answer> => {
    for (let child = idle.pop(); child; child = idle.pop()) if (child.alive) return child
    return start()
  }
  const run = async (task: Task<Answer>, child: WatchedChild<Answer>): Promise<void> => {
    busy.add(child)
    const fate = await child.ask(task.bytes, task.request)
    busy.delete(child)
    if (child.alive) idle.push(child)
    if (closed) task.reject(closedError())
    // What earlier files left behind may be the cause: a file is judged by what it does to a fresh process.
    else if (fate.kind !== 'answered' && fate.kind !== 'timed-out' && child.served > 1) waiting.unshift(task)
    else task.resolve(fate)
    next()
  }

  return {
    ask: (bytes, request) =>
      new Promise((resolve, reject) => {
        if (closed) return reject(closedError())
        waiting.push({ bytes, request, resolve, reject })
        next()
      }),
    warm: () => {
      if (idle.length + busy.size === 0) idle.push(start())
    },
    close: async () => {
      closed = true
      for (const task of waiting.splice(0)) task.reject(closedError())
      await Promise.all([...idle, ...busy].map((child) => child.kill()))
    },
  }
}

const closedError = (): Error => new Error('The reading processes were closed')
