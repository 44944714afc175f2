/** A reading process that does what the file's path says. */
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { writeFileSync } from 'node:fs'
import { answerRequests } from '../../src/io/worker-channel.ts'

const hoard: unknown[] = []

const reading = (text: string) => ({ media: 'text/plain', pages: [], problems: [{ code: 'heard', message: text }] })

function refusal(work: () => unknown): string {
  try {
    work()
    return 'allowed'
  } catch (error) {
    return (error as NodeJS.ErrnoException).code ?? String(error)
  }
}

const never = new Promise(() => {})

const answers: Record<string, (bytes: Uint8Array) => unknown> = {
  well: (bytes) => reading(`${bytes.length} bytes, process ${process.pid}`),
  sum: (bytes) => reading(createHash('sha256').update(bytes).digest('hex')),
  hang: () => {
    for (;;);
  },
  silent: () => never,
  allocate: () => {
    for (;;) hoard.push(new Uint8Array(8 * 1024 * 1024).fill(1))
  },
  heap: () => {
    for (;;) hoard.push({ a: hoard.length, b: [hoard.length] })
  },
  leak: async () => {
    hoard.push(new Uint8Array(80 * 1024 * 1024).fill(1))
    // Long enough for the watch to see it.
    await new Promise((done) => setTimeout(done, 1000))
    return reading(`holds ${hoard.length}`)
  },
  exit: () => process.exit(7),
  abort: () => process.abort(),
  throw: () => {
    throw new Error('thrown by a reader')
  },
  reject: () => {
    void Promise.reject(new Error('rejected by a reader'))
    return never
  },
  disconnect: () => {
    process.disconnect()
    return never
  },
  garbage: () => 'no reading at all',
  stranger: () => {
    process.send?.({ id: 1000, answer: reading('for another file') })
    process.send?.('nonsense')
    return reading('for this file')
  },
  print: () => {
    console.log('printed by a library')
    console.error('warned by a library')
    process.stdout.write('x'.repeat(1_000_000))
    process.stderr.write('x'.repeat(1_000_000))
    return reading('printed')
  },
  environment: () => reading(JSON.stringify(Object.keys(process.env).sort())),
  write: () => reading(refusal(() => writeFileSync('written-by-a-reader', 'x'))),
  spawn: () => reading(refusal(() => spawnSync('true'))),
}

answerRequests(async (bytes, { path }) => answers[path]?.(bytes))
