/** Asks a server over HTTP from an address of its own, as another machine would, and notes how long it took. */
import { Agent, type IncomingMessage, request } from 'node:http'
import { buffer } from 'node:stream/consumers'
import { type Measures, noteError, noteTime } from './measures.ts'

export interface Answer {
  status: number
  headers: IncomingMessage['headers']
  body: Buffer
}

export interface Caller {
  /**
   * Null where the answer is an error or there is none, which is noted. `kind`: as what it is measured. `body`: bytes as
   * they are, anything else as JSON.
   */
  ask(kind: string, method: string, url: string, body?: unknown): Promise<Answer | null>
  /** Sent with every request from now on. */
  headers: Record<string, string>
  /** Listens to server-sent events until `close`; each piece is told. An end before that is noted as an error. */
  listen(url: string, hear: (piece: string) => void): void
  close(): void
}

/** `from`: an address of 127.0.0.0/8, all of which are this machine's on Linux. */
export function makeCaller(from: string, measures: Measures): Caller {
  const agent = new Agent({ keepAlive: true, localAddress: from })
  const headers: Record<string, string> = {}
  let isOver = false
  const send = (
    method: string,
    url: string,
    extra: Record<string, string>,
    body?: Uint8Array,
  ): Promise<IncomingMessage> =>
    new Promise((resolve, reject) => {
      const sending = request(url, { method, agent, headers: { ...headers, ...extra } }, resolve)
      sending.once('error', reject)
      sending.end(body)
    })
  return {
    headers,
    async ask(kind, method, url, body) {
      const isBytes = body instanceof Uint8Array
      const type = isBytes ? 'application/octet-stream' : 'application/json'
      const bytes = body === undefined ? undefined : isBytes ? body : Buffer.from(JSON.stringify(body))
      const begun = performance.now()
      try {
        const answer = await send(method, url, bytes === undefined ? {} : { 'content-type': type }, bytes)
        const content = await buffer(answer)
        noteTime(measures, kind, performance.now() - begun)
        const { statusCode: status = 0 } = answer
        if (status < 400) return { status, headers: answer.headers, body: content }
        noteError(measures, `${kind}: ${status} ${content.toString().slice(0, 300)}`)
      } catch (error) {
        noteError(measures, `${kind}: ${error instanceof Error ? error.message : String(error)}`)
      }
      return null
    },
    listen(url, hear) {
      const lost = (why: string) => isOver || noteError(measures, `GET /api/events: ${why}`)
      send('GET', url, {}).then(
        (answer) => {
          if (answer.statusCode !== 200) lost(`status ${answer.statusCode}`)
          answer.on('data', (piece) => hear(String(piece)))
          answer.once('error', ({ message }) => lost(message))
          answer.once('end', () => lost('ended'))
        },
        ({ message }) => lost(message),
      )
    },
    close() {
      isOver = true
      agent.destroy()
    },
  }
}
