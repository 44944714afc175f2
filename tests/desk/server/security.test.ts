/** Who is kept out, and what nothing that is sent can do: other sites, strangers, other roles and shops, hostile names, sizes and shapes. */

import { type AddressInfo, connect } from 'node:net'
import { buffer } from 'node:stream/consumers'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { ZipFile } from 'yazl'
import type { JobView, QueuePage } from '../../../src/desk/contract.ts'
import { roleNames } from '../../../src/desk/contract.ts'
import { mayDo, type Person } from '../../../src/desk/server/people.ts'
import { type DeskPlace, handOver, host, openDeskPlace, origin, type Visitor } from './desk-place.ts'

vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 })

let place: DeskPlace
let ada: Visitor
let accession = ''

beforeAll(async () => {
  place = await openDeskPlace({ accounts: true, uploadBytes: 4_000_000 })
  ada = await place.visitor('Ada Quill')
  accession = await handOver(place, ada, 'quick-drive', { shop: 'Mossgate Collision Center' })
})

afterAll(() => place?.close())

/** An address that a route answers to. */
const addressOf = (path: string): string =>
  path
    .replace(':accession', accession)
    .replace(/:(number|page)/g, '1')
    .replace(/:\w+/g, 'x')

/** Queries without which a route would refuse the shape, and not the visitor. */
const queries: Record<string, string> = {
  FilePath: '?path=a.txt',
  ComparisonQuery: '?before=2026-0001&after=2026-0001',
  AuditQuery: '?by=shop',
}

const everyRoute = () =>
  place.routes.map((route) => ({ ...route, url: `${addressOf(route.path)}${queries[route.query ?? ''] ?? ''}` }))

describe('another site', () => {
  test('under another name is refused, whatever it asks for', async () => {
    for (const other of ['evil.example', '127.0.0.1:1', 'localhost', '127.0.0.1.evil.example:8571', '']) {
      const reply = await place.app.inject({ url: '/api/session', headers: { host: other, cookie: ada.cookie } })
      expect(reply.statusCode, other).toBe(421)
      expect((await place.app.inject({ url: '/', headers: { host: other } })).statusCode).toBe(421)
    }
  })

  test.each([
    [{ origin: 'https://evil.example' }],
    [{ origin: 'null' }],
    [{ origin: `${origin}0` }],
    [{ 'sec-fetch-site': 'cross-site' }],
    [{ 'sec-fetch-site': 'same-site' }],
    [{ 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'cors', origin }],
  ])('cannot make a browser ask: %j', async (headers) => {
    for (const [method, url] of [
      ['GET', `/api/packets/${accession}`],
      ['POST', `/api/packets/${accession}/notes`],
    ] as const)
      expect((await ada.ask(method, url, method === 'POST' ? { text: 'x' } : undefined, headers)).statusCode).toBe(403)
  })

  test('cannot change anything without the token of the session', async () => {
    for (const token of ['', 'x', `${ada.token}x`, (await place.visitor('Bo Lind')).token]) {
      const reply = await ada.ask('POST', `/api/packets/${accession}/notes`, { text: 'x' }, { 'x-desk-token': token })
      expect(reply.statusCode).toBe(403)
    }
  })
})

describe('strangers', () => {
  test.each([
    ['nothing', {}],
    ['a made up session', { cookie: `desk=${'A'.repeat(43)}` }],
    ['a made up token', { authorization: 'Bearer wm_nobody' }],
    ['a name and password', { authorization: `Basic ${Buffer.from('a:b').toString('base64')}` }],
  ])('who show %s reach no route', async (_, headers) => {
    for (const { method, url } of everyRoute()) {
      const reply = await place.app.inject({ method, url, headers: { host, ...headers } })
      expect(reply.statusCode, `${method} ${url}`).toBe(401)
      expect(reply.headers['content-type']).toContain('application/problem+json')
    }
    expect((await place.app.inject({ url: '/api/events', headers: { host, ...headers } })).statusCode).toBe(401)
  })

  test('cannot go on with a session that was ended, or with one that is old', async () => {
    const eve = await place.visitor('Eve Lund')
    expect((await eve.ask('DELETE', '/api/session')).statusCode).toBe(200)
    expect((await eve.ask('GET', '/api/session')).statusCode).toBe(401)
    const old = await place.visitor('Old Timer')
    const now = place.clock.now
    place.clock.now = new Date(now.getTime() + 13 * 3_600_000)
    expect((await old.ask('GET', '/api/session')).statusCode).toBe(401)
    place.clock.now = now
    expect((await old.ask('GET', '/api/session')).statusCode).toBe(401)
  })

  test('use a link once, and only where there are no accounts', async () => {
    const enter = (own: DeskPlace, once: string) => own.app.inject({ url: `/enter?once=${once}`, headers: { host } })
    expect((await enter(place, 'the-link')).headers['set-cookie']).toBeUndefined()
    const single = await openDeskPlace()
    try {
      expect((await enter(single, 'another')).headers['set-cookie']).toBeUndefined()
      expect(String((await enter(single, 'the-link')).headers['set-cookie'])).toMatch(/HttpOnly; SameSite=Strict/)
      expect((await enter(single, 'the-link')).headers['set-cookie']).toBeUndefined()
    } finally {
      await single.close()
    }
  })
})

describe('roles and shops', () => {
  test.each(roleNames)('a %s reaches what is for it, and nothing else', async (role) => {
    const person: Person = {
      name: `Only ${role}`,
      roles: [role],
      shop: role === 'submitter' ? 'Mossgate Collision Center' : null,
    }
    const visitor = await place.visitor(person.name, person.roles, person.shop)
    for (const { method, url, right } of everyRoute()) {
      // What is allowed is tried with a body that no route takes: nothing is done.
      const { statusCode } = await visitor.ask(method, url, method === 'GET' ? undefined : { nothing: true })
      if (right !== null && !mayDo(person, right)) expect(statusCode, `${method} ${url}`).toBe(403)
      else expect(statusCode, `${method} ${url}`).not.toBe(403)
    }
  })

  test('a submitter of another shop is not told that a packet is there', async () => {
    const other = await place.visitor('Sam Other', ['submitter'], 'Ashgrove Auto')
    const own = await place.visitor('Sam Own', ['submitter'], 'Mossgate Collision Center')
    const routes = everyRoute().filter(({ path, right }) => path.includes(':accession') && right === 'look')
    expect(routes.length).toBeGreaterThan(7)
    for (const { method, url } of routes) {
      const absent = url.replace(accession, '2026-9999')
      const [reply, none] = [await other.ask(method, url), await other.ask(method, absent)]
      expect(reply.statusCode, url).toBe(404)
      expect(reply.body.replaceAll(accession, '')).toBe(none.body.replaceAll('2026-9999', ''))
    }
    expect(((await other.ask('GET', '/api/packets')).json() as QueuePage).total).toBe(0)
    expect(((await own.ask('GET', '/api/packets')).json() as QueuePage).total).toBe(1)
  })

  test('a submitter hands over for its own shop, whatever it says, and sees no upload of another', async () => {
    const sam = await place.visitor('Sam Sender', ['submitter'], 'Ashgrove Auto')
    const number = await handOver(place, sam, 'windshield-camera', { shop: 'Mossgate Collision Center' })
    const page = (await ada.ask('GET', '/api/packets?shop=Ashgrove%20Auto')).json() as QueuePage
    expect(page.rows.map((row) => row.accession)).toEqual([number])
    const { upload } = (await sam.ask('POST', '/api/uploads', { name: 'x', form: 'folder' })).json() as {
      upload: string
    }
    expect((await ada.ask('POST', `/api/uploads/${upload}/done`)).statusCode).toBe(404)
  })
})

describe('what is sent', () => {
  const begin = async (wanted: Record<string, unknown> = {}) =>
    ((await ada.ask('POST', '/api/uploads', { name: 'x', form: 'folder', ...wanted })).json() as { upload: string })
      .upload

  test.each(['../x', 'a/../../x', '/etc/passwd', 'a//b', '.', 'a\\b', 'a\0b', `${'d/'.repeat(600)}x`, ''])(
    'a path that leads elsewhere is refused: %j',
    async (path) => {
      const reply = await ada.ask(
        'PUT',
        `/api/uploads/${await begin()}/files?path=${encodeURIComponent(path)}`,
        new Uint8Array([1]),
      )
      expect([400, 422]).toContain(reply.statusCode)
    },
  )

  test.each([
    '/../package.json',
    '/..%2f..%2fpackage.json',
    '/assets/../../x.js',
    '/assets/%2e%2e/a.json',
    '/desk.sqlite',
  ])('the page gives nothing but its own files: %s', async (url) => {
    const reply = await place.app.inject({ url, headers: { host } })
    expect(reply.body).not.toContain('devDependencies')
    expect([200, 404]).toContain(reply.statusCode)
    if (reply.statusCode === 200) expect(reply.body).toBe('<!doctype html><title>Desk</title>')
  })

  test('names with script in them come back as data', async () => {
    const script = '<script>alert(1)</script>'
    const upload = await begin({ name: `${script.replaceAll('/', '')} job` })
    const path = `${script.replaceAll('/', '')}.txt`
    await ada.ask('PUT', `/api/uploads/${upload}/files?path=${encodeURIComponent(path)}`, Buffer.from(`VIN ${script}`))
    const { job } = (await ada.ask('POST', `/api/uploads/${upload}/done`)).json() as JobView
    await place.jobs.settled()
    const view = (await ada.ask('GET', `/api/jobs/${job}`)).json() as JobView
    const packet = await ada.ask('GET', `/api/packets/${view.accession}`)
    expect(packet.headers['content-type']).toContain('application/json')
    expect(packet.headers['x-content-type-options']).toBe('nosniff')
    const file = await ada.ask('GET', `/api/packets/${view.accession}/files/1`)
    expect(file.headers['content-disposition']).not.toMatch(/[<>]/)
    expect(file.headers['content-type']).toBe('application/octet-stream')
    const page = await ada.ask('GET', `/api/packets/${view.accession}/report.html`)
    expect(page.body).not.toContain('<script')
    expect(page.headers['content-security-policy']).toContain("default-src 'none'")
  })

  test('too much is refused, and what came by then belongs to nothing', async () => {
    const upload = await begin()
    const large = await ada.ask('PUT', `/api/uploads/${upload}/files?path=a`, new Uint8Array(4_000_001))
    expect(large.statusCode).toBe(413)
    expect((await ada.ask('POST', `/api/uploads/${upload}/done`)).statusCode).toBe(422)
    const body = await ada.ask('POST', `/api/packets/${accession}/notes`, { text: 'x'.repeat(1_100_000) })
    expect(body.statusCode).toBe(413)
  })

  test('a zip that swells is told of, and nothing is received', async () => {
    const zip = new ZipFile()
    zip.addBuffer(Buffer.alloc(200_000_000), 'scan.txt')
    zip.end()
    const bomb = await buffer(zip.outputStream)
    expect(bomb.length).toBeLessThan(1_000_000)
    const upload = await begin({ name: 'bomb.zip', form: 'file' })
    await ada.ask('PUT', `/api/uploads/${upload}/files?path=bomb.zip`, bomb)
    const { job } = (await ada.ask('POST', `/api/uploads/${upload}/done`)).json() as JobView
    await place.jobs.settled()
    const view = (await ada.ask('GET', `/api/jobs/${job}`)).json() as JobView
    expect(view).toMatchObject({ stage: 'failed', accession: null, problem: { status: 422 } })
    expect(view.problem?.mend).toBeTruthy()
  })

  test('1,000 requests of no sense are refused, and the desk lives on', async () => {
    const known = everyRoute().map(({ url }) => url)
    const request = fc.record({
      method: fc.constantFrom('GET', 'POST', 'PUT', 'PATCH', 'DELETE'),
      url: fc.oneof(
        fc.constantFrom(...known.filter((url) => url !== '/api/session')),
        fc.webPath().map((path) => `/api${path}`),
        fc
          .tuple(fc.constantFrom(...known), fc.webQueryParameters())
          .map(([url, query]) => `${url.split('?')[0]}?${query}`),
      ),
      body: fc.oneof(fc.json(), fc.string(), fc.constant('{"a":'), fc.constant('')),
      type: fc.constantFrom('application/json', 'application/octet-stream', 'text/plain', 'multipart/form-data', 'x'),
    })
    const answers = new Map<number, number>()
    await fc.assert(
      fc.asyncProperty(request, async ({ method, url, body, type }) => {
        const reply = await place.app.inject({
          method: method as 'GET',
          url,
          headers: { host, cookie: ada.cookie, 'x-desk-token': ada.token, 'content-type': type },
          ...(method === 'GET' ? {} : { payload: body }),
        })
        answers.set(reply.statusCode, (answers.get(reply.statusCode) ?? 0) + 1)
        expect(reply.statusCode, `${method} ${url} ${body}`).toBeLessThan(500)
      }),
      { numRuns: 1000, seed: 7 },
    )
    expect((answers.get(400) ?? 0) + (answers.get(404) ?? 0) + (answers.get(415) ?? 0)).toBeGreaterThan(400)
    expect((await ada.ask('GET', `/api/packets/${accession}`)).statusCode).toBe(200)
    expect(place.faults).toEqual([])
  })

  test('a port scan of half requests leaves it answering', async () => {
    const other = await openDeskPlace()
    await other.app.listen({ host: '127.0.0.1', port: 0 })
    const { port } = other.app.server.address() as AddressInfo
    try {
      const sockets = Array.from({ length: 50 }, () => connect(port, '127.0.0.1'))
      for (const [at, socket] of sockets.entries()) {
        socket.on('error', () => undefined)
        socket.write(at % 2 === 0 ? 'GET /api/session HTTP/1.1\r\nHost: x\r\nX-' : '\x16\x03\x01 nothing')
      }
      const reply = await fetch(`http://127.0.0.1:${port}/api/session`)
      expect(reply.status).toBe(421)
      for (const socket of sockets) socket.destroy()
    } finally {
      await other.close()
    }
  })

  test('a page of another port of this machine is another site', async () => {
    // Another port is another origin: its page may send, and neither a session nor an answer is its to have.
    const reply = await ada.ask('GET', '/api/packets', undefined, { origin: 'http://127.0.0.1:8572' })
    expect(reply.statusCode).toBe(403)
    expect(reply.headers['access-control-allow-origin']).toBeUndefined()
  })
})
