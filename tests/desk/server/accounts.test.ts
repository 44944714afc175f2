/** Accounts: passwords, roles that change at once, tokens of programs. */
import { scryptSync } from 'node:crypto'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { hashPassword, listPeople, putPerson } from '../../../src/desk/server/accounts.ts'
import { type DeskPlace, host, openDeskPlace } from './desk-place.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const password = 'a long enough password'
let place: DeskPlace

beforeAll(async () => {
  place = await openDeskPlace({ accounts: true })
  await putPerson(place.desk, 'Ada Quill', { roles: ['administrator'], password })
})

afterAll(() => place?.close())

const signIn = (name: string, own: string) =>
  place.app.inject({
    method: 'POST',
    url: '/api/session',
    headers: { host, 'content-type': 'application/json' },
    payload: JSON.stringify({ name, password: own }),
    remoteAddress: `10.0.0.${Math.floor(place.clock.now.getTime() / 1000) % 250}`,
  })

/** A visitor by the cookie that signing in sets. */
async function enter(name: string, own: string) {
  const reply = await signIn(name, own)
  const cookie = String(reply.headers['set-cookie']).split(';')[0] ?? ''
  const session = await place.app.inject({ url: '/api/session', headers: { host, cookie } })
  const { token } = session.json() as { token: string }
  return (method: 'GET' | 'PUT' | 'POST' | 'DELETE', url: string, body?: unknown) =>
    place.app.inject({
      method,
      url,
      headers: {
        host,
        cookie,
        'x-desk-token': token,
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      },
      ...(body === undefined ? {} : { payload: JSON.stringify(body) }),
    })
}

test('a password is kept as what scrypt makes of it, with salt of its own', async () => {
  const [one, other] = [await hashPassword(password), await hashPassword(password)]
  expect(one).not.toBe(other)
  const [kind, N, r, p, salt = '', key] = one.split('$')
  expect([kind, N, r, p]).toEqual(['scrypt', '131072', '8', '1'])
  const options = { N: Number(N), r: Number(r), p: Number(p), maxmem: 2 ** 29 }
  // Node's own synchronous scrypt (RFC 7914), as the reference.
  expect(scryptSync(password, Buffer.from(salt, 'base64'), 32, options).toString('base64')).toBe(key)
})

test.each([
  ['Ada Quill', 'a wrong password'],
  ['Nobody', password],
  ['ada quill', password],
  ['Ada Quill', ''],
])('%s with %j gets no session', async (name, own) => {
  const reply = await signIn(name, own)
  expect([400, 401]).toContain(reply.statusCode)
  expect(reply.headers['set-cookie']).toBeUndefined()
})

test('guessing is slowed down', async () => {
  const statuses: number[] = []
  for (let at = 0; at < 12; at++) statuses.push((await signIn('Ada Quill', 'guess guess guess')).statusCode)
  expect(statuses).toContain(429)
  place.clock.now = new Date(place.clock.now.getTime() + 1000)
})

test('an administrator adds somebody, who signs in; a change ends their session', async () => {
  const ada = await enter('Ada Quill', password)
  const added = await ada('PUT', '/api/people/Bo%20Lind', { roles: ['reviewer'], password: 'another long password' })
  expect(added.json()).toMatchObject({ name: 'Bo Lind', roles: ['reviewer'], closed: false })
  expect(added.body).not.toContain('scrypt')
  const bo = await enter('Bo Lind', 'another long password')
  expect((await bo('GET', '/api/packets')).statusCode).toBe(200)
  expect((await bo('GET', '/api/people')).statusCode).toBe(403)
  await ada('PUT', '/api/people/Bo%20Lind', { closed: true })
  expect((await bo('GET', '/api/packets')).statusCode).toBe(401)
  expect((await signIn('Bo Lind', 'another long password')).statusCode).toBe(401)
})

test('an administrator alone sees no packets, and cannot be the last to go', async () => {
  const ada = await enter('Ada Quill', password)
  expect((await ada('GET', '/api/packets')).statusCode).toBe(403)
  const reply = await ada('PUT', '/api/people/Ada%20Quill', { roles: ['reviewer'] })
  expect(reply.statusCode).toBe(409)
  expect(await listPeople(place.desk)).toContainEqual(
    expect.objectContaining({ name: 'Ada Quill', roles: ['administrator'] }),
  )
  expect((await ada('GET', '/api/people')).statusCode).toBe(200)
})

test.each([
  [{ roles: ['submitter'], password: 'a long enough password' }, 422],
  [{ roles: ['king'], password: 'a long enough password' }, 400],
  [{ roles: ['reviewer'], password: 'short' }, 400],
  [{ roles: ['reviewer'] }, 422],
  [{}, 400],
])('no account is made of %j', async (change, status) => {
  const ada = await enter('Ada Quill', password)
  expect((await ada('PUT', '/api/people/New%20One', change)).statusCode).toBe(status)
})

test('a program acts by a token, until it is taken back; its secret is shown once and kept nowhere', async () => {
  const ada = await enter('Ada Quill', password)
  await ada('PUT', '/api/people/Cleo%20Marsh', { roles: ['reviewer'], password: 'a third long password' })
  const made = (await ada('POST', '/api/tokens', { person: 'Cleo Marsh', label: 'Nightly' })).json() as {
    token: string
    secret: string
  }
  const ask = (method: 'GET' | 'POST', url: string) =>
    place.app.inject({ method, url, headers: { host, authorization: `Bearer ${made.secret}` } })
  expect((await ask('GET', '/api/packets')).statusCode).toBe(200)
  expect((await ask('GET', '/api/people')).statusCode).toBe(403)
  const listed = await ada('GET', '/api/tokens')
  expect(listed.body).toContain('Nightly')
  expect(listed.body).not.toContain(made.secret)
  const rows = await place.desk.db.selectFrom('tokens').selectAll().execute()
  expect(JSON.stringify(rows)).not.toContain(made.secret)
  expect((await ada('DELETE', `/api/tokens/${made.token}`)).statusCode).toBe(204)
  expect((await ask('GET', '/api/packets')).statusCode).toBe(401)
})
