/** Server-sent events (HTML Living Standard, 9.2): what happens at the desk, as it happens. */
import { PassThrough } from 'node:stream'
import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Desk } from './desk.ts'
import type { Told } from './events.ts'
import { type Person, seesAll } from './people.ts'
import { readCase } from './queue.ts'

/** Something is said so often, in milliseconds, that proxies and this server take the connection for alive. */
const heartbeat = 15_000

/** What a listener that does not keep up has waiting, in bytes, before it is let go. */
const mostWaiting = 1024 * 1024

export async function streamEvents(desk: Desk, person: Person, request: FastifyRequest, reply: FastifyReply) {
  const stream = new PassThrough()
  const write = (text: string) => {
    if (stream.writableLength > mostWaiting) stream.destroy()
    else stream.write(text)
  }
  const stop = desk.events.listen((event) => {
    void isFor(desk, person, event).then((isTheirs) => {
      if (isTheirs && !stream.destroyed) write(`event: ${event.event}\ndata: ${JSON.stringify(event.data)}\n\n`)
    })
  })
  const beat = setInterval(() => write(': still here\n\n'), heartbeat)
  const end = () => {
    clearInterval(beat)
    stop()
    stream.destroy()
  }
  request.raw.once('close', end)
  stream.once('close', end)
  write('retry: 2000\n\n')
  return reply.type('text/event-stream').header('x-accel-buffering', 'no').send(stream)
}

/** Who sees one shop's packets hears of those. */
async function isFor(desk: Desk, person: Person, { data, owner }: Told): Promise<boolean> {
  if (seesAll(person) || owner === person.name) return true
  const { accession } = data
  if (accession === null) return false
  return readCase(desk, person, accession).then(
    () => true,
    () => false,
  )
}
