/**
 * One process that reads or draws files, and the watch over it: time and memory for each file, and an end that is always
 * noticed.
 *
 * `worker-channel.ts` says how they talk. The child has no standard output, no environment but `TZ`, and may neither
 * write files nor start processes (Node's permission model).
 */
import { type ChildProcess, fork } from 'node:child_process'
import type { Socket } from 'node:net'
import { extname } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { DrawingWish } from '../facts/drawing.ts'
import type { ReadingHint } from '../reading/read.ts'
import { guardChild } from './child-guard.ts'
import { measureResidentMemory, memoryInterval } from './resident-memory.ts'
import type { ChannelRequest } from './worker-channel.ts'

export interface WatchLimits {
  /** For one file, from the moment the process is ready. */
  readonly milliseconds: number
  /** For the process to become ready. */
  readonly startMilliseconds: number
  /** Resident, of the whole process. */
  readonly memoryBytes: number
  /** Of the JavaScript heap, which is part of it. */
  readonly heapMebibytes: number
}

/** What is asked of one file: its words, drawings of its pages, or what is to be seen on one of them. */
export interface Request extends ReadingHint {
  wishes?: readonly DrawingWish[]
  task?: 'look' | 'words'
  /** From 1. */
  page?: number
}

export interface ChildKind<Answer> {
  /** Holds what a process answers to its shape: a file may have taken the process over. */
  isAnswer(value: unknown): value is Answer
  /** May it load native code? It must where it draws. */
  nativeCode: boolean
}

/** What became of one file. All but `answered` leave the process dead. */
export type Fate<Answer> =
  | { kind: 'answered'; answer: Answer }
  | { kind: 'timed-out' | 'out-of-memory' | 'reader-crashed'; detail: string }

interface Job<Answer> {
  id: number
  settle(fate: Fate<Answer>): void
}

/** A module beside another, whether they run as TypeScript or as emitted JavaScript. */
export function siblingModule(name: string, beside: string): URL {
  return new URL(`./${name}${extname(fileURLToPath(beside))}`, beside)
}

export class WatchedChild<Answer> {
  /** Files it was given so far. */
  served = 0
  alive = true
  readonly #gone: Promise<void>
  readonly #child: ChildProcess
  readonly #limits: WatchLimits
  readonly #kind: ChildKind<Answer>
  #job: Job<Answer> | null = null
  #ready = false
  #lastWords = ''
  #deadline: NodeJS.Timeout | undefined
  #memoryWatch: NodeJS.Timeout | undefined

  constructor(worker: URL, limits: WatchLimits, kind: ChildKind<Answer>) {
    this.#limits = limits
    this.#kind = kind
    const leave = ['--permission', '--allow-fs-read=*', ...(kind.nativeCode ? ['--allow-addons'] : [])]
    this.#child = fork(fileURLToPath(worker), [], {
      execArgv: [`--max-old-space-size=${limits.heapMebibytes}`, ...leave],
      env: minimalEnvironment(),
      serialization: 'advanced',
      stdio: ['pipe', 'ignore', 'pipe', 'ipc'],
    })
    this.#child.on('message', (message) => this.#hear(message))
    this.#child.on('error', (error) => this.#end({ kind: 'reader-crashed', detail: error.message }))
    // A pipe that breaks means that the process ended; `close` says how.
    this.#child.stdin?.on('error', () => {})
    this.#child.on('disconnect', () => this.#child.kill('SIGKILL'))
    this.#child.stderr?.on('data', (text: Buffer) => {
      this.#lastWords = (this.#lastWords + text.toString('latin1')).slice(-16_384)
    })
    this.#gone = new Promise((resolve) => {
      this.#child.once('close', (code, signal) => {
        this.#end(this.#explainEnd(code, signal))
        resolve()
      })
      this.#child.once('error', () => resolve())
    })
    guardChild(this.#child)
    this.#holdParent(false)
  }

  /** Has one file looked at. One at a time; never rejects. `bytes` must not change before that. */
  ask(bytes: Uint8Array, asked: Request): Promise<Fate<Answer>> {
    this.served += 1
    const id = this.served
    const fate = new Promise<Fate<Answer>>((resolve) => {
      this.#job = { id, settle: resolve }
    })
    this.#holdParent(true)
    this.#startDeadline()
    this.#memoryWatch = setInterval(() => void this.#checkMemory(), memoryInterval)
    if (!this.alive) this.#end({ kind: 'reader-crashed', detail: 'had ended before' })
    else {
      const request: ChannelRequest = { id, ...asked, length: bytes.length }
      // A channel that breaks means the same as a pipe that does: `close` follows.
      this.#child.send(request, (error) => error && this.#child.kill('SIGKILL'))
      if (bytes.length > 0) this.#child.stdin?.write(bytes)
    }
    return fate
  }

  /** Ends the process; the returned promise is kept once it is gone. */
  kill(): Promise<void> {
    this.#end({ kind: 'reader-crashed', detail: 'was told to end' })
    this.#holdParent(true)
    return this.#gone
  }

  #hear(message: unknown): void {
    if (typeof message !== 'object' || message === null) return
    if ('ready' in message) {
      this.#ready = true
      if (this.#job) this.#startDeadline()
    } else if (this.#job && 'id' in message && message.id === this.#job.id && 'answer' in message) {
      if (this.#kind.isAnswer(message.answer)) this.#settle({ kind: 'answered', answer: message.answer })
      else this.#end({ kind: 'reader-crashed', detail: 'answered with something else than it was asked for' })
    }
  }

  #startDeadline(): void {
    clearTimeout(this.#deadline)
    const allowed = this.#ready ? this.#limits.milliseconds : this.#limits.startMilliseconds
    const detail = `took more than ${allowed / 1000} s${this.#ready ? '' : ' to start'}`
    this.#deadline = setTimeout(() => this.#end({ kind: 'timed-out', detail }), allowed)
  }

  async #checkMemory(): Promise<void> {
    const job = this.#job
    const bytes = await measureResidentMemory(this.#child.pid ?? 0)
    if (bytes === null || bytes <= this.#limits.memoryBytes || job === null || job !== this.#job) return
    this.#end({ kind: 'out-of-memory', detail: `took more than ${mebibytes(this.#limits.memoryBytes)} MiB` })
  }

  #explainEnd(code: number | null, signal: string | null): Fate<Answer> {
    return /heap out of memory|heap limit/.test(this.#lastWords)
      ? { kind: 'out-of-memory', detail: `took more than ${this.#limits.heapMebibytes} MiB of heap` }
      : { kind: 'reader-crashed', detail: signal ? `ended by ${signal}` : `ended with status ${code}` }
  }

  #end(fate: Fate<Answer>): void {
    this.alive = false
    this.#child.kill('SIGKILL')
    this.#settle(fate)
  }

  #settle(fate: Fate<Answer>): void {
    const job = this.#job
    this.#job = null
    clearTimeout(this.#deadline)
    clearInterval(this.#memoryWatch)
    this.#holdParent(false)
    job?.settle(fate)
  }

  /** An idle process must not keep the program running; a busy one must. */
  #holdParent(hold: boolean): void {
    const { channel, stdin, stderr } = this.#child
    // Pipes are sockets, though the types promise less.
    for (const handle of [this.#child, channel, stdin as Socket | null, stderr as Socket | null]) {
      if (hold) handle?.ref()
      else handle?.unref()
    }
  }
}

const mebibytes = (bytes: number): number => Math.round(bytes / 1024 / 1024)

/** No secrets, no options for Node, no zone or language of this machine. Windows cannot start a program without its root. */
function minimalEnvironment(): NodeJS.ProcessEnv {
  const root = process.platform === 'win32' ? process.env.SystemRoot : undefined
  return { TZ: 'UTC', ...(root === undefined ? {} : { SystemRoot: root }) }
}
