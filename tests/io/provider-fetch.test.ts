/** What is asked of a provider comes from it alone, and no more of it than has its uses. */
import { createServer, type RequestListener, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterEach, expect, test } from 'vitest'
import { askProvider } from '../../src/io/provider-fetch.ts'

let server: Server | null = null

afterEach(() => {
  server?.closeAllConnections()
  server?.close()
})

async function serve(answer: RequestListener): Promise<string> {
  const own = createServer(answer)
  server = own
  await new Promise<void>((done) => own.listen(0, '127.0.0.1', done))
  return `http://127.0.0.1:${(own.address() as AddressInfo).port}/`
}

test('status, headers and body come as they were sent', async () => {
  const url = await serve((_, response) =>
    response.writeHead(400, { 'content-type': 'application/json' }).end('{"a":1}'),
  )
  const response = await askProvider(url, {})
  expect([response.status, response.headers.get('content-type')]).toEqual([400, 'application/json'])
  expect(await response.json()).toEqual({ a: 1 })
})

test('nothing is followed to another place', async () => {
  const asked: string[] = []
  const url = await serve((request, response) => {
    asked.push(request.url ?? '')
    response.writeHead(302, { location: '/there' }).end()
  })
  expect((await askProvider(url, { redirect: 'follow' })).status).toBe(302)
  expect(asked).toEqual(['/'])
})

test('an answer without an end is not waited for', async () => {
  const url = await serve((_, response) => {
    const more = () => void (response.write(Buffer.alloc(65_536)) ? setImmediate(more) : response.once('drain', more))
    more()
  })
  await expect(askProvider(url, {})).rejects.toThrow('longer than 1048576 bytes')
})

test('nor one that does not come', async () => {
  const url = await serve(() => undefined)
  await expect(askProvider(url, { signal: AbortSignal.timeout(50) })).rejects.toThrow('it did not answer in time')
})

test('where nobody listens, it is told', async () => {
  const url = await serve(() => undefined)
  await new Promise((done) => server?.close(done))
  await expect(askProvider(url, {})).rejects.toThrow('it cannot be reached (ECONNREFUSED)')
})
