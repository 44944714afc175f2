/**
 * The reading process's end of the channel.
 *
 * Parent to child: `{ id, path, media, length }` over the message channel, and that many bytes on standard input (a
 * pipe moves them twice as fast as messages do, in half the memory). Child to parent: `{ ready: true }` once, then
 * `{ id, reading }` for each request.
 */
import { readSync } from 'node:fs'
import type { ReadingHint } from '../reading/read.ts'

export interface ReadingRequest extends ReadingHint {
  id: number
  /** Of the content, in bytes. */
  length: number
}

/** Answers every request with what `read` gives, until the parent is gone. Call once, in a process made for it. */
export function answerRequests(read: (bytes: Uint8Array<ArrayBuffer>, hint: ReadingHint) => Promise<unknown>): void {
  process.on('message', async ({ id, path, media, length }: ReadingRequest) => {
    process.send?.({ id, reading: await read(takeBytes(length), { path, media }) })
  })
  process.on('disconnect', () => process.exit())
  process.send?.({ ready: true })
}

/** Blocks until the content is there: the process has nothing else to do. */
function takeBytes(length: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(length)
  for (let filled = 0; filled < length; ) {
    const count = readSync(0, bytes, filled, length - filled, null)
    if (count === 0) process.exit()
    filled += count
  }
  return bytes
}
