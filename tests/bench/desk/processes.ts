/** Processes of the bench: started until they say where they are, weighed while they work, and ended. */
import { type ChildProcess, spawn } from 'node:child_process'
import { childrenOf, residentOf } from '../memory.ts'

export interface Server {
  address: string
  process: ChildProcess
  /** What it wrote to its error output. */
  complaints(): string
  stop(): Promise<number | null>
}

/** Starts a Node.js program; resolves when it has printed an address. Rejects where it ends before. */
export async function startServer(words: readonly string[], environment: Record<string, string> = {}): Promise<Server> {
  const child = spawn(process.execPath, words, { env: { ...process.env, ...environment } })
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve))
  let [said, complained] = ['', '']
  child.stderr.on('data', (piece) => {
    complained += piece
  })
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (piece) => {
      said += piece
      const [found] = /https?:\/\/[^\s/]+(?=\n)/.exec(said) ?? []
      if (found !== undefined) resolve(found)
    })
    void ended.then((status) => reject(new Error(`${words.join(' ')} ended with status ${status}: ${complained}`)))
  })
  return {
    address,
    process: child,
    complaints: () => complained,
    stop() {
      child.kill('SIGTERM')
      return ended
    },
  }
}

/** Runs a Node.js program to its end. Rejects where it fails. */
export async function runToEnd(words: readonly string[]): Promise<void> {
  const status = await new Promise((resolve) =>
    spawn(process.execPath, words, { stdio: 'ignore' }).once('exit', resolve),
  )
  if (status !== 0) throw new Error(`${words.join(' ')} ended with status ${status}`)
}

/** Resident MiB of a process, and of all its children together, at one moment. */
export interface Weight {
  own: number
  children: number
}

/** Weighs a process each second until `stop`, which gives every weight. */
export function weigh({ pid = 0 }: ChildProcess): { stop(): Weight[] } {
  const weights: Weight[] = []
  const look = () =>
    weights.push({
      own: residentOf(pid),
      children: childrenOf(pid).reduce((sum, child) => sum + residentOf(child), 0),
    })
  look()
  const watch = setInterval(look, 1000)
  return {
    stop() {
      clearInterval(watch)
      look()
      return weights
    },
  }
}
