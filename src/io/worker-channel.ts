/**
 * A reading or drawing process's end of the channel.
 *
 * Parent to child: `{ id, path, media, wishes?, task?, page?, length }` over the message channel, and that many bytes on standard input (a
 * pipe moves them twice as fast as messages do, in half the memory). Child to parent: `{ ready: true }` once, then
 * `{ id, answer }` for each request.
 */
import { readSync } from 'node:fs'
import type { Request } from './watched-child.ts'

export interface ChannelRequest extends Request {
  id: number
  /** Of the content, in bytes. */
  length: number
}

/** Answers every request with what `answer` gives, until the parent is gone. Call once, in a process made for it. */
export function answerRequests(answer: (bytes: Uint8Array<ArrayBuffer>, request: Request) => Promise<unknown>): void {
  process.on('message', async ({ id, length, ...request }: ChannelRequest) => {
    process.send?.({ id, answer: await answer(takeBytes(length), request) })
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
