/** Signing in by an OpenID Connect provider: who gets in, as whom, and everything by which nobody does. */
import { createHmac, createPrivateKey, createPublicKey, generateKeyPairSync, type JsonWebKey, sign } from 'node:crypto'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { listPeople, putPerson } from '../../../src/desk/server/accounts.ts'
import { type DeskPlace, handOver, host, openDeskPlace, type Reply } from './desk-place.ts'
import {
  ask,
  begin,
  comeBack,
  cookieOf,
  type ProviderPlace,
  signInElsewhere,
  startProvider,
  visit,
} from './openid-provider.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const password = 'a long enough password'
let provider: ProviderPlace
let place: DeskPlace

beforeAll(async () => {
  provider = await startProvider()
  const openid = provider.elsewhere({
    roles: {
      claim: ['desk', 'groups'],
      values: [
        { value: 'review', roles: ['reviewer'] },
        { value: 'custody', roles: ['custodian'] },
        { value: 'mossgate', roles: ['submitter'], shop: 'Mossgate Collision Center' },
        { value: 'fernhill', roles: ['submitter'], shop: 'Fernhill Body Works' },
      ],
    },
  })
  place = await openDeskPlace({ accounts: true, openid })
  await putPerson(place.desk, 'Ada Quill', { roles: ['administrator'], password })
})

afterEach(() => {
  provider.token = () => undefined
  provider.answer = () => undefined
  provider.metadata = () => undefined
  provider.told.length = 0
})

afterAll(async () => {
  expect(place.faults).toEqual([])
  await place?.close()
  await provider?.server.stop()
})

const issuerOf = (): string => String(provider.server.issuer.url)

/** Claims of somebody who is let in. */
const inGroups = (sub: string, name: string, ...groups: string[]) => ({ sub, name, desk: { groups } })

function isRefused(reply: Reply, status: number): void {
  expect(reply.statusCode, reply.body).toBe(status)
  expect(cookieOf(reply, 'desk')).toBe('')
  expect(reply.headers['content-type']).toContain('application/problem+json')
  expect(reply.json()).toMatchObject({ status, mend: expect.any(String) })
}

async function whoIs(reply: Reply) {
  const session = await place.app.inject({ url: '/api/session', headers: { host, cookie: cookieOf(reply, 'desk') } })
  return session.json() as { name: string; roles: string[]; shop: string | null; token: string }
}

test('somebody whose groups let them in has a session, by a cookie that other sites cannot send', async () => {
  provider.claims = inGroups('s-bo', 'Bo Lind', 'review', 'unknown')
  const reply = await signInElsewhere(place)
  expect(reply.statusCode).toBe(303)
  expect(reply.headers.location).toBe('/')
  expect(String(reply.headers['set-cookie'])).toMatch(/desk=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict/)
  expect(await whoIs(reply)).toMatchObject({
    name: 'Bo Lind',
    roles: ['reviewer'],
    shop: null,
    provider: 'Brook & Finch',
  })
  expect(await listPeople(place.desk)).toContainEqual(
    expect.objectContaining({
      name: 'Bo Lind',
      password: false,
      rolesBy: 'provider',
      openid: { issuer: issuerOf(), subject: 's-bo', email: null },
    }),
  )
})

test('what is asked of the provider is what OpenID Connect and RFC 7636 ask for', async () => {
  const { address } = await begin(place)
  const { searchParams } = new URL(address)
  expect(Object.fromEntries(searchParams)).toMatchObject({
    response_type: 'code',
    client_id: 'desk',
    scope: 'openid email profile',
    redirect_uri: `http://${host}/openid/return`,
    code_challenge_method: 'S256',
    // RFC 7636, section 4.2: SHA-256, base64url.
    code_challenge: expect.stringMatching(/^[\w-]{43}$/),
    state: expect.stringMatching(/^[\w-]{43}$/),
    nonce: expect.stringMatching(/^[\w-]{43}$/),
  })
})

describe('an answer of the provider that cannot be relied on', () => {
  const segment = (value: object) => Buffer.from(JSON.stringify(value)).toString('base64url')
  /** Signs the claims of the ID token anew. */
  const resign = (body: Record<string, unknown>, header: object, by: (text: string) => string) => {
    const [, claims = ''] = String(body.id_token).split('.')
    const text = `${segment(header)}.${claims}`
    body.id_token = `${text}.${by(text)}`
  }
  const kid = () => provider.server.issuer.keys.get()?.kid
  /** The provider's own public key, as PEM. */
  const publicPem = () => {
    const [key] = provider.server.issuer.keys.toJSON()
    return createPublicKey({ key: key as JsonWebKey, format: 'jwk' }).export({ type: 'spki', format: 'pem' })
  }
  const hmac = (key: string | Buffer) => (text: string) => createHmac('sha256', key).update(text).digest('base64url')

  const claimed: [string, string, (payload: Record<string, unknown>) => void][] = [
    ['another nonce', '"nonce"', (payload) => Object.assign(payload, { nonce: 'of another sign-in' })],
    ['no nonce', '"nonce"', (payload) => void delete payload.nonce],
    ['another issuer', '"iss"', (payload) => Object.assign(payload, { iss: 'https://login.example' })],
    ['another audience', '"aud"', (payload) => Object.assign(payload, { aud: 'another client' })],
    [
      'several audiences, and no word for which',
      '"aud"',
      (payload) => Object.assign(payload, { aud: ['desk', 'other'] }),
    ],
    [
      'several audiences, for another',
      '"azp"',
      (payload) => Object.assign(payload, { aud: ['desk', 'other'], azp: 'other' }),
    ],
    ['an end that is past', '"exp"', (payload) => Object.assign(payload, { exp: Math.floor(Date.now() / 1000) - 60 })],
    ['no end', '"exp"', (payload) => void delete payload.exp],
    [
      'a beginning that is to come',
      '"nbf"',
      (payload) => Object.assign(payload, { nbf: Math.floor(Date.now() / 1000) + 600 }),
    ],
    ['no subject', '"sub"', (payload) => void delete payload.sub],
  ]
  test.each(claimed)('an ID token with %s', async (_, reason, change) => {
    provider.claims = inGroups('s-eve', 'Eve Lund', 'review')
    provider.token = ({ payload }) => change(payload)
    isRefused(await signInElsewhere(place), 502)
    // The library names the claim at fault.
    expect(provider.told.join()).toContain(reason)
  })

  // RFC 8725, sections 2.1 and 3.1; with and without the provider saying that it may sign so.
  const signed: [string, RegExp, (body: Record<string, unknown>) => void][] = [
    ['no signature (alg none)', /"alg"/, (body) => resign(body, { alg: 'none' }, () => '')],
    [
      'the secret of the client for a key',
      /"alg"|JWS algorithm/,
      (body) => resign(body, { alg: 'HS256' }, hmac('a secret of the client')),
    ],
    [
      'the public key for a secret',
      /"alg"|JWS algorithm/,
      (body) => resign(body, { alg: 'HS256', kid: kid() }, hmac(Buffer.from(publicPem()))),
    ],
    [
      'the key of somebody else',
      /signature verification failed/,
      (body) => {
        const { privateKey } = generateKeyPairSync('rsa', { modulusLength: 2048 })
        resign(body, { alg: 'RS256', kid: kid() }, (text) =>
          sign('sha256', Buffer.from(text), privateKey).toString('base64url'),
        )
      },
    ],
    [
      'a signature of which a part was changed',
      /signature verification failed/,
      (body) => Object.assign(body, { id_token: String(body.id_token).replace(/.{6}$/, 'AAAAAA') }),
    ],
    ['no ID token at all', /"id_token"/, (body) => delete body.id_token],
  ]
  const mayBeStated = [false, true]
  describe.each(mayBeStated)('that it says it may sign in any way: %s', (stated) => {
    const algorithms = { id_token_signing_alg_values_supported: ['none', 'HS256', 'RS256'] }
    beforeEach(() => {
      provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
      if (stated) provider.metadata = (body) => Object.assign(body, algorithms)
    })

    test.each(signed)('an ID token with %s', async (_, reason, change) => {
      provider.answer = change
      isRefused(await signInElsewhere(place), 502)
      expect(provider.told.join()).toMatch(reason)
    })

    test('and with nothing wrong it is taken', async () => {
      provider.answer = (body) =>
        resign(body, { alg: 'RS256', kid: kid() }, (text) => {
          const key = { key: provider.server.issuer.keys.toJSON(true)[0] as JsonWebKey, format: 'jwk' } as const
          return sign('sha256', Buffer.from(text), createPrivateKey(key)).toString('base64url')
        })
      expect((await signInElsewhere(place)).statusCode).toBe(303)
    })
  })

  test('claims about somebody else than the ID token', async () => {
    provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
    const change = ({ body }: { body: Record<string, unknown> }) => void Object.assign(body, { sub: 's-other' })
    provider.server.service.once('beforeUserinfo', change)
    isRefused(await signInElsewhere(place), 502)
  })

  // Discovery 1.0, section 4.3.
  test.each(['https://login.example', 'http://localhost', ''])(
    'a configuration of another issuer: %j',
    async (issuer) => {
      provider.metadata = (body) => Object.assign(body, { issuer: issuer || `${issuerOf()}/` })
      isRefused(await ask(place, 'POST', '/api/session/openid', {}), 502)
    },
  )

  test.each(['authorization_endpoint', 'token_endpoint', 'jwks_uri', 'userinfo_endpoint'])(
    'a configuration that has the desk use a network in the clear: %s',
    async (name) => {
      provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
      provider.metadata = (body) => Object.assign(body, { [name]: 'http://login.example/there' })
      const begun = await ask(place, 'POST', '/api/session/openid', {})
      if (name === 'authorization_endpoint') return isRefused(begun, 502)
      isRefused(await signInElsewhere(place), 502)
      expect(provider.told.join()).toContain('in the clear')
    },
  )

  // RFC 9207, section 2.4.
  test('a return that names another issuer, or none where it is to be named', async () => {
    provider.metadata = (body) => Object.assign(body, { authorization_response_iss_parameter_supported: true })
    const started = await begin(place)
    isRefused(await comeBack(place, await visit(started), started.cookie), 502)
    const again = await begin(place)
    isRefused(await comeBack(place, `${await visit(again)}&iss=https://login.example`, again.cookie), 502)
    const right = await begin(place)
    const url = `${await visit(right)}&iss=${encodeURIComponent(issuerOf())}`
    expect((await comeBack(place, url, right.cookie)).statusCode).toBe(303)
  })
})

describe('a return', () => {
  const changed = (url: string, change: (query: URLSearchParams) => void) => {
    const { pathname, searchParams } = new URL(url, 'http://desk.example')
    change(searchParams)
    return `${pathname}?${searchParams}`
  }

  test('with another state, none, or two is refused', async () => {
    for (const change of [
      (query: URLSearchParams) => query.set('state', 'x'.repeat(43)),
      (query: URLSearchParams) => query.delete('state'),
      (query: URLSearchParams) => query.append('state', 'x'.repeat(43)),
    ]) {
      const started = await begin(place)
      const reply = await comeBack(place, changed(await visit(started), change), started.cookie)
      expect([400, 502]).toContain(reply.statusCode)
      isRefused(reply, reply.statusCode)
    }
  })

  test('to a browser that did not begin it is refused, and then to the one that did', async () => {
    const [mine, other] = [await begin(place), await begin(place)]
    const url = await visit(mine)
    isRefused(await comeBack(place, url, other.cookie), 400)
    isRefused(await comeBack(place, url, mine.cookie), 400)
    isRefused(await comeBack(place, await visit(other), ''), 400)
  })

  test('counts once, and its code once', async () => {
    provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
    const started = await begin(place)
    const url = await visit(started)
    const reply = await comeBack(place, url, started.cookie)
    expect(reply.statusCode).toBe(303)
    expect(String(reply.headers['set-cookie'])).toMatch(
      /desk-openid=; Max-Age=0; Path=\/openid; Expires=Thu, 01 Jan 1970/,
    )
    isRefused(await comeBack(place, url, started.cookie), 400)
    const again = await begin(place)
    const code = new URL(url, 'http://desk.example').searchParams.get('code') ?? ''
    isRefused(
      await comeBack(
        place,
        changed(await visit(again), (query) => query.set('code', code)),
        again.cookie,
      ),
      502,
    )
  })

  test('after ten minutes is refused', async () => {
    const started = await begin(place)
    const url = await visit(started)
    const { now } = place.clock
    place.clock.now = new Date(now.getTime() + 601_000)
    isRefused(await comeBack(place, url, started.cookie), 400)
    place.clock.now = now
  })

  test('that says no is told as that', async () => {
    const started = await begin(place)
    const state = new URL(started.address).searchParams.get('state') ?? ''
    const url = `/openid/return?error=access_denied&state=${state}`
    isRefused(await comeBack(place, url, started.cookie), 403)
  })

  test('leads nowhere but to the desk, whatever the address says', async () => {
    provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
    const started = await begin(place)
    const url = `${await visit(started)}&to=https://evil.example&redirect_uri=https://evil.example`
    expect((await comeBack(place, url, started.cookie)).headers.location).toBe('/')
  })

  test('that fails is told to people on the page, under its policy, with nothing of it taken for markup', async () => {
    provider.claims = { sub: '"><script>alert(1)</script>' }
    const started = await begin(place)
    const reply = await comeBack(place, await visit(started), started.cookie, { accept: 'text/html,*/*;q=0.8' })
    expect(reply.statusCode).toBe(403)
    expect(reply.headers['content-type']).toContain('text/html')
    expect(reply.headers['content-security-policy']).toContain("form-action 'none'")
    expect(reply.body).toContain('<meta name="problem"')
    expect(reply.body).not.toContain('<script>alert')
    expect(cookieOf(reply, 'desk')).toBe('')
  })
})

describe('other sites', () => {
  test('cannot have a browser begin', async () => {
    const all: Record<string, string>[] = [
      { origin: 'https://evil.example' },
      { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate' },
      { 'sec-fetch-site': 'same-site' },
    ]
    for (const headers of all) expect((await ask(place, 'POST', '/api/session/openid', headers)).statusCode).toBe(403)
    expect((await ask(place, 'POST', '/api/session/openid', { host: 'evil.example' })).statusCode).toBe(421)
  })

  test('cannot read where it comes back, or load it as something else', async () => {
    const started = await begin(place)
    const headers = { 'sec-fetch-mode': 'no-cors' }
    expect((await comeBack(place, await visit(started), started.cookie, headers)).statusCode).toBe(403)
  })

  test('nor anybody try often', async () => {
    const remoteAddress = '10.9.9.9'
    for (const [method, url] of [
      ['POST', '/api/session/openid'],
      ['GET', '/openid/return?state=x&code=y'],
    ] as const) {
      const replies: number[] = []
      for (let at = 0; at < 12; at++)
        replies.push((await place.app.inject({ method, url, headers: { host }, remoteAddress })).statusCode)
      expect(replies.slice(0, 10)).not.toContain(429)
      expect(replies.slice(10)).toEqual([429, 429])
    }
  })
})

describe('who is let in', () => {
  test('nobody of whom nothing that counts is claimed, and they are told by what they can be', async () => {
    for (const desk of [undefined, {}, { groups: [] }, { groups: ['Review', 'reviews'] }, { groups: 'x' }, 'review']) {
      provider.claims = { sub: 's-stranger', name: 'Some Body', desk, email: 'some@body.example', email_verified: true }
      const reply = await signInElsewhere(place)
      isRefused(reply, 403)
      expect(reply.json()).toMatchObject({ title: 'You have no account at this desk' })
      expect(reply.body).toContain('s-stranger')
      expect(reply.body).toContain('some@body.example')
      expect(provider.told.join()).toContain('s-stranger')
    }
    expect((await listPeople(place.desk)).map(({ name }) => name)).not.toContain('Some Body')
  })

  test('a submitter, to the packets of the shop that their group is of', async () => {
    const ada = await place.visitor('Nora Quill')
    const theirs = await handOver(place, ada, 'quick-drive', { shop: 'Mossgate Collision Center' })
    const others = await handOver(place, ada, 'windshield-camera', { shop: 'Fernhill Body Works' })
    provider.claims = inGroups('s-cleo', 'Cleo Marsh', 'mossgate')
    const reply = await signInElsewhere(place)
    expect(await whoIs(reply)).toMatchObject({ roles: ['submitter'], shop: 'Mossgate Collision Center' })
    const cookie = cookieOf(reply, 'desk')
    const look = (url: string) => place.app.inject({ url, headers: { host, cookie } })
    expect((await look('/api/packets')).json()).toMatchObject({ total: 1 })
    expect((await look(`/api/packets/${others}`)).statusCode).toBe(404)
    expect((await look(`/api/packets/${theirs}`)).statusCode).toBe(200)
    // By that name it stands in the custody log that they looked.
    const { custody } = (await ada.ask('GET', `/api/packets/${theirs}`)).json() as { custody: { by: string }[] }
    expect(custody.map(({ by }) => by)).toContain('Cleo Marsh')
    // Changes want the token of the session, as ever.
    const notes = { method: 'POST', url: `/api/packets/${theirs}/notes`, payload: { text: 'x' } } as const
    expect((await place.app.inject({ ...notes, headers: { host, cookie } })).statusCode).toBe(403)
    const { token } = await whoIs(reply)
    const headers = { host, cookie, 'x-desk-token': token }
    expect((await place.app.inject({ ...notes, headers })).statusCode).toBe(201)
  })

  test('nobody who is of two shops', async () => {
    provider.claims = inGroups('s-two', 'Two Shops', 'mossgate', 'fernhill')
    isRefused(await signInElsewhere(place), 403)
  })

  test('somebody whose groups changed, as what they are now; their earlier session is over', async () => {
    provider.claims = inGroups('s-dan', 'Dan Reed', 'review')
    const earlier = await signInElsewhere(place)
    provider.claims = inGroups('s-dan', 'Dan Renamed', 'custody', 'review')
    const later = await signInElsewhere(place)
    expect(await whoIs(later)).toMatchObject({ name: 'Dan Reed', roles: ['custodian', 'reviewer'] })
    expect(await whoIs(earlier)).toMatchObject({ status: 401 })
    provider.claims = inGroups('s-dan', 'Dan Reed')
    isRefused(await signInElsewhere(place), 403)
    expect(await whoIs(later)).toMatchObject({ status: 401 })
    expect((await listPeople(place.desk)).find(({ name }) => name === 'Dan Reed')?.roles).toEqual([])
  })

  test('nobody whose account an administrator closed', async () => {
    provider.claims = inGroups('s-finn', 'Finn Alder', 'review')
    const earlier = await signInElsewhere(place)
    await putPerson(place.desk, 'Finn Alder', { closed: true }, issuerOf())
    expect(await whoIs(earlier)).toMatchObject({ status: 401 })
    isRefused(await signInElsewhere(place), 403)
    await putPerson(place.desk, 'Finn Alder', { closed: false }, issuerOf())
    expect((await signInElsewhere(place)).statusCode).toBe(303)
  })

  test('nobody under a name that another account has, or that looks like it', async () => {
    provider.claims = {
      ...inGroups('s-ada-2', 'ＡＤＡ  quill', 'review'),
      email: 'ada@brook.example',
      email_verified: true,
    }
    expect(await whoIs(await signInElsewhere(place))).toMatchObject({ name: 'ada@brook.example', roles: ['reviewer'] })
    provider.claims = inGroups('s-ada-3', 'Ada Quill', 'review')
    expect(await whoIs(await signInElsewhere(place))).toMatchObject({ name: 's-ada-3' })
    provider.claims = inGroups('| none |', '<b>', 'review')
    isRefused(await signInElsewhere(place), 403)
  })
})

describe('an account that an administrator adds', () => {
  const put = (name: string, change: Parameters<typeof putPerson>[2]) => putPerson(place.desk, name, change, issuerOf())

  test('by what the provider calls somebody is theirs, with the roles of the desk', async () => {
    await put('Gus Holm', { roles: ['custodian'], openid: { subject: 's-gus' } })
    provider.claims = inGroups('s-gus', 'Somebody', 'mossgate')
    expect(await whoIs(await signInElsewhere(place))).toMatchObject({
      name: 'Gus Holm',
      roles: ['custodian'],
      shop: null,
    })
    await put('Gus Holm', { closed: true })
    isRefused(await signInElsewhere(place), 403)
  })

  test('by a verified address is for the first who has it, and for them alone from then on', async () => {
    await put('Hal Moor', { roles: ['reviewer'], openid: { email: 'Hal@Brook.example' } })
    const email = 'hal@brook.example'
    for (const email_verified of [undefined, false, 'true', 1]) {
      provider.claims = { sub: 's-hal', email, email_verified }
      isRefused(await signInElsewhere(place), 403)
    }
    provider.claims = { sub: 's-hal', email: 'HAL@brook.example', email_verified: true }
    expect(await whoIs(await signInElsewhere(place))).toMatchObject({ name: 'Hal Moor', roles: ['reviewer'] })
    provider.claims = { sub: 's-heir', email, email_verified: true }
    isRefused(await signInElsewhere(place), 403)
    provider.claims = { sub: 's-hal', email: 'other@brook.example', email_verified: true }
    expect(await whoIs(await signInElsewhere(place))).toMatchObject({ name: 'Hal Moor' })
  })

  test('and is closed, is for nobody', async () => {
    await put('Ivy Gale', { roles: ['reviewer'], openid: { email: 'ivy@brook.example' } })
    await put('Ivy Gale', { closed: true })
    provider.claims = { ...inGroups('s-ivy', 'Ivy Gale', 'review'), email: 'ivy@brook.example', email_verified: true }
    isRefused(await signInElsewhere(place), 403)
  })

  test('lets nobody in by a password that it does not have', async () => {
    await put('Jo Pike', { roles: ['reviewer'], openid: { subject: 's-jo' } })
    for (const own of ['null', 'undefined', password]) {
      const reply = await place.app.inject({
        method: 'POST',
        url: '/api/session',
        headers: { host, 'content-type': 'application/json' },
        payload: JSON.stringify({ name: 'Jo Pike', password: own }),
        remoteAddress: '10.7.7.7',
      })
      expect(reply.statusCode).toBe(401)
    }
  })

  test('is one for each of them, and has some way in', async () => {
    await put('Kit Vale', { roles: ['reviewer'], openid: { subject: 's-kit' } })
    const refused = (change: Parameters<typeof putPerson>[2], status: number) =>
      expect(put('Kit Other', { roles: ['reviewer'], ...change })).rejects.toMatchObject({ problem: { status } })
    await refused({ openid: { subject: 's-kit' } }, 409)
    await refused({}, 422)
    await refused({ openid: null }, 422)
    await expect(putPerson(place.desk, 'Kit Other', { openid: { subject: 'x' } })).rejects.toMatchObject({
      problem: { status: 422 },
    })
  })

  test('of whom the provider says the roles keeps those until the desk does', async () => {
    provider.claims = inGroups('s-lea', 'Lea Birch', 'review')
    await signInElsewhere(place)
    await expect(put('Lea Birch', { roles: ['custodian'] })).rejects.toMatchObject({ problem: { status: 422 } })
    const openid = { subject: 's-lea' }
    expect(await put('Lea Birch', { roles: ['custodian'], openid })).toMatchObject({ rolesBy: 'desk' })
    expect(await whoIs(await signInElsewhere(place))).toMatchObject({ name: 'Lea Birch', roles: ['custodian'] })
  })
})

// RFC 7518, section 3.1; RFC 8037, section 3.1.
test.each(['PS256', 'ES256', 'ES384', 'EdDSA'])(
  'a provider that signs by %s is believed, also by its next key',
  async (alg) => {
    const other = await startProvider(alg)
    const stating = (body: Record<string, unknown>) =>
      Object.assign(body, { id_token_signing_alg_values_supported: [alg] })
    other.metadata = stating
    const roles = { claim: 'groups', values: [{ value: 'review', roles: ['reviewer' as const] }] }
    const own = await openDeskPlace({ accounts: true, openid: other.elsewhere({ roles }) })
    try {
      other.claims = { sub: 's-bo', name: 'Bo Lind', groups: ['review'] }
      expect((await signInElsewhere(own)).statusCode, other.told.join()).toBe(303)
      await other.server.issuer.keys.generate(alg)
      // It takes its keys in turn.
      for (let at = 0; at < 3; at++) expect((await signInElsewhere(own)).statusCode, other.told.join()).toBe(303)
      other.metadata = (body) => Object.assign(body, { id_token_signing_alg_values_supported: ['RS256'] })
      isRefused(await signInElsewhere(own), 502)
    } finally {
      await own.close()
      await other.server.stop()
    }
  },
)

test('what strangers may ask is described as that, by its shapes', async () => {
  const api = (await ask(place, 'GET', '/api/openapi.json', {})).json() as {
    paths: Record<string, Record<string, { security?: unknown[]; responses: unknown }>>
    components: { schemas: object }
  }
  for (const [path, method, schema] of [
    ['/api/sign-in', 'get', 'SignInWays'],
    ['/api/session', 'post', 'SignedIn'],
    ['/api/session/openid', 'post', 'Elsewhere'],
  ] as const) {
    const described = api.paths[path]?.[method]
    expect(described?.security).toEqual([])
    expect(JSON.stringify(described?.responses)).toContain(`#/components/schemas/${schema}`)
    expect(Object.keys(api.components.schemas)).toContain(schema)
  }
  expect(api.paths['/api/session']?.get?.security).toBeUndefined()
  expect((await ask(place, 'GET', '/api/sign-in', {})).json()).toEqual({ openid: { label: 'Brook & Finch' } })
})

test('people of other domains stay out, also with an account', async () => {
  const own = await openDeskPlace({
    accounts: true,
    openid: provider.elsewhere({
      domains: ['Brook.example'],
      roles: { claim: 'groups', values: [{ value: 'review', roles: ['reviewer'] }] },
    }),
  })
  try {
    for (const [email, email_verified, status] of [
      ['a@brook.example', true, 303],
      ['a@brook.example', false, 403],
      ['a@sub.brook.example', true, 403],
      ['a@notbrook.example', true, 403],
      ['a@brook.example@evil.example', true, 403],
      [undefined, true, 403],
    ] as const) {
      provider.claims = { sub: `s-${email}`, name: `Of ${status}`, groups: 'review', email, email_verified }
      expect((await signInElsewhere(own)).statusCode, String(email)).toBe(status)
    }
    expect(own.faults).toEqual([])
  } finally {
    await own.close()
  }
})

test('a session that the provider began is over after twelve hours, however much it was used', async () => {
  provider.claims = inGroups('s-mia', 'Mia Frost', 'review')
  const { now } = place.clock
  const reply = await signInElsewhere(place)
  for (let hour = 1; hour <= 12; hour++) {
    place.clock.now = new Date(now.getTime() + hour * 3_600_000)
    expect(await whoIs(reply)).toMatchObject({ name: 'Mia Frost' })
  }
  place.clock.now = new Date(now.getTime() + 12.1 * 3_600_000)
  const kept = () => place.desk.db.selectFrom('sessions').select('openid').where('name', '=', 'Mia Frost').execute()
  expect(await kept()).toHaveLength(1)
  // What the provider signed of her is gone with whoever comes next, also where she does not.
  await place.visitor('Nora Quill')
  expect(await kept()).toEqual([])
  expect(await whoIs(reply)).toMatchObject({ status: 401 })
  place.clock.now = now
})

test('who signs out is sent on to end the session with the provider, too', async () => {
  provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
  const reply = await signInElsewhere(place)
  const { token } = await whoIs(reply)
  const cookie = cookieOf(reply, 'desk')
  const ended = await ask(place, 'DELETE', '/api/session', { cookie, 'x-desk-token': token })
  expect(ended.statusCode).toBe(200)
  const address = new URL((ended.json() as { address: string }).address)
  // RP-Initiated Logout 1.0, section 2.
  expect(address.origin).toBe(issuerOf())
  expect(Object.fromEntries(address.searchParams)).toEqual({
    client_id: 'desk',
    id_token_hint: expect.stringMatching(/^[\w-]+\.[\w-]+\.[\w-]+$/),
    post_logout_redirect_uri: `http://${host}/`,
  })
  expect(await whoIs(reply)).toMatchObject({ status: 401 })
})

test('nobody is sent anywhere who signed in by a password, or whose provider ends no sessions', async () => {
  const leave = async (cookie: string, token: string) =>
    (await ask(place, 'DELETE', '/api/session', { cookie, 'x-desk-token': token })).json()
  const ada = await place.visitor('Ada Quill')
  expect(await leave(ada.cookie, ada.token)).toEqual({ address: null })
  provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
  const reply = await signInElsewhere(place)
  const { token } = await whoIs(reply)
  provider.metadata = (body) => void delete body.end_session_endpoint
  expect(await leave(cookieOf(reply, 'desk'), token)).toEqual({ address: null })
})

test('a provider that is down takes nothing down but itself', async () => {
  provider.claims = inGroups('s-bo', 'Bo Lind', 'review')
  const [signedIn, begun] = [await signInElsewhere(place), await begin(place)]
  const back = await visit(begun)
  const { token } = await whoIs(signedIn)
  await provider.server.stop()
  isRefused(await ask(place, 'POST', '/api/session/openid', {}), 503)
  isRefused(await comeBack(place, back, begun.cookie), 503)
  expect(provider.told.join()).toContain('cannot be reached')
  // Whoever is in stays in and gets out; others come in by their passwords.
  const cookie = cookieOf(signedIn, 'desk')
  expect((await place.app.inject({ url: '/api/packets', headers: { host, cookie } })).statusCode).toBe(200)
  const left = await ask(place, 'DELETE', '/api/session', { cookie, 'x-desk-token': token })
  expect(left.json()).toEqual({ address: null })
  const local = await place.app.inject({
    method: 'POST',
    url: '/api/session',
    headers: { host, 'content-type': 'application/json' },
    payload: JSON.stringify({ name: 'Ada Quill', password }),
    remoteAddress: '10.8.8.8',
  })
  expect(local.statusCode).toBe(200)
  await provider.start()
  expect((await signInElsewhere(place)).statusCode).toBe(303)
})

test('a provider that fails, or answers something else, is told apart from a refusal', async () => {
  provider.server.service.once('beforeResponse', (reply: object) => void Object.assign(reply, { statusCode: 500 }))
  isRefused(await signInElsewhere(place), 503)
  provider.answer = (body) => void Object.assign(body, { access_token: 'x'.repeat(2_000_000) })
  isRefused(await signInElsewhere(place), 503)
})
