/** Over a network: who sends too slowly or too much is cut and told why, and others are served meanwhile. */
import { connect, type Socket } from 'node:net'
import { text } from 'node:stream/consumers'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { everyRole } from '../../../src/desk/index.ts'
import { beginSession } from '../../../src/desk/server/sessions.ts'
import { type DeskPlace, openDeskPlace } from './desk-place.ts'

vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 })

let place: DeskPlace
const ada: Record<string, string> = {}
let ticking: NodeJS.Timeout

beforeAll(async () => {
  const pace = { bytes: 1000, milliseconds: 300 }
  place = await openDeskPlace({ page: new Map(), uploadBytes: 2_000_000, pace, bodyTimeout: 2000 })
  ada.cookie = `desk=${await beginSession(place.desk, { name: 'Ada Quill', roles: everyRole, shop: null })}`
  ada['x-desk-token'] = ((await (await ask('GET', '/api/session')).json()) as { token: string }).token
  // The desk's clock goes on, and stands still where no test moves it.
  ticking = setInterval(() => {
    place.clock.now = new Date(place.clock.now.getTime() + 20)
  }, 20)
})

afterAll(() => {
  clearInterval(ticking)
  return place?.close()
})

const ask = (method: string, path: string, body?: unknown): Promise<Response> =>
  fetch(`${place.address}${path}`, {
    method,
    headers: body === undefined ? ada : { ...ada, 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  })

const begin = async (): Promise<string> =>
  ((await (await ask('POST', '/api/uploads', { name: 'x', form: 'folder' })).json()) as { upload: string }).upload

/** Opens a request and leaves its body to the caller. */
function open(method: string, path: string, length: number, type: string): Socket {
  const { hostname, port, host } = new URL(place.address)
  const socket = connect(Number(port), hostname)
  const head = { host, ...ada, 'content-type': type, 'content-length': length }
  const lines = Object.entries(head).map(([name, value]) => `${name}: ${value}\r\n`)
  socket.write(`${method} ${path} HTTP/1.1\r\n${lines.join('')}\r\n`)
  socket.on('error', () => undefined)
  return socket
}

/** Sends a byte at a time until the other side ends it; gives what that said. */
async function drip(socket: Socket): Promise<string> {
  const drops = setInterval(() => socket.write('1'), 20)
  try {
    return await text(socket).catch(() => '')
  } finally {
    clearInterval(drops)
    socket.destroy()
  }
}

test('fifty who send a file a byte at a time are cut, told why, and leave nothing; others are served', async () => {
  const uploads = await Promise.all(Array.from({ length: 49 }, begin))
  const sockets = uploads.map((upload) =>
    open('PUT', `/api/uploads/${upload}/files?path=a`, 1_000_000, 'application/octet-stream'),
  )
  const told = Promise.all(sockets.map(drip))
  expect((await ask('GET', '/api/packets')).status).toBe(200)
  // Where the answer crosses a byte that still comes, the connection may be reset before it was read (RFC 9112, 9.6).
  const answers = (await told).filter((answer) => answer !== '')
  expect(answers.length).toBeGreaterThan(0)
  for (const answer of answers) {
    expect(answer).toMatch(/^HTTP\/1\.1 408 /)
    expect(answer).toContain('The file comes too slowly')
  }
  for (const upload of uploads) {
    expect((await ask('POST', `/api/uploads/${upload}/done`)).status).toBe(422)
    await ask('DELETE', `/api/uploads/${upload}`)
  }
  expect(place.faults).toEqual([])
})

test('a body that is no file has a time to be there, before and after one is signed in', async () => {
  for (const path of ['/api/uploads', '/api/session', '/api/nowhere'])
    expect(await drip(open('POST', path, 1000, 'application/json'))).not.toContain('200 OK')
  expect((await ask('GET', '/api/session')).status).toBe(200)
  expect(place.faults).toEqual([])
})

test('a file that is too large is refused with a reason, though the rest of it was not sent yet', async () => {
  const upload = await begin()
  const socket = open('PUT', `/api/uploads/${upload}/files?path=a`, 500_000_000, 'application/octet-stream')
  socket.write(Buffer.alloc(2_100_000))
  const answer = await text(socket)
  expect(answer).toMatch(/^HTTP\/1\.1 413 /)
  expect(answer).toContain('more than 2000000 bytes')
  expect((await ask('POST', `/api/uploads/${upload}/done`)).status).toBe(422)
  expect(place.faults).toEqual([])
})
