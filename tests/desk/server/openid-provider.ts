/** A desk beside the provider of `oauth2-mock-server`, which signs anybody in and can be had to answer wrongly. */
import { type MutableToken, OAuth2Server } from 'oauth2-mock-server'
import { type OpenIdSettings, openProvider, type SignInElsewhere } from '../../../src/desk/index.ts'
import { askProvider } from '../../../src/io/provider-fetch.ts'
import { type DeskPlace, host, type Reply } from './desk-place.ts'

export type Claims = Record<string, unknown>

export interface ProviderPlace {
  server: OAuth2Server
  /** What the provider says of whoever signs in next, in the ID token. */
  claims: Claims
  /** Changes the ID token of the next sign-ins before it is signed. */
  token: (token: MutableToken) => void
  /** And what the token endpoint answers. */
  answer: (body: Record<string, unknown>) => void
  /** And what the provider states of itself. */
  metadata: (body: Record<string, unknown>) => void
  /** What whoever runs the desk was told. */
  told: string[]
  elsewhere(settings?: Partial<OpenIdSettings>): SignInElsewhere
  start(): Promise<void>
}

/** `algorithm`: by which it signs. */
export async function startProvider(algorithm = 'RS256'): Promise<ProviderPlace> {
  const server = new OAuth2Server()
  await server.issuer.keys.generate(algorithm)
  await server.start(0, '127.0.0.1')
  const { port } = server.address()
  const issuer = `http://127.0.0.1:${port}`
  server.issuer.url = issuer
  const told: string[] = []
  const place: ProviderPlace = {
    server,
    claims: { sub: 'subject-1' },
    token: () => undefined,
    answer: () => undefined,
    metadata: () => undefined,
    told,
    elsewhere: (settings = {}) => ({
      provider: openProvider(
        { openid: 1, issuer, client: 'desk', label: 'Brook & Finch', ...settings },
        // So long as what it states of itself is not to be asked anew, which tests change.
        { secret: 'a secret of the client', ask: askProvider, now: () => new Date(tick++ * 7_200_000) },
      ),
      tell: (text) => void told.push(text),
    }),
    start() {
      server.issuer.url = issuer
      return server.start(port, '127.0.0.1')
    },
  }
  let tick = 1
  server.service.on('beforeTokenSigning', (token: MutableToken) => {
    Object.assign(token.payload, place.claims)
    place.token(token)
  })
  server.service.on('beforeResponse', ({ body }: { body: Record<string, unknown> }) => place.answer(body))
  server.service.on('beforeUserinfo', (reply: { body: Record<string, unknown> }) => {
    reply.body = { sub: place.claims.sub }
  })
  server.service.on('beforeWellKnownOpenIdConfiguration', ({ body }: { body: Record<string, unknown> }) =>
    place.metadata(body),
  )
  return place
}

let addresses = 0

export interface Started {
  /** At the provider. */
  address: string
  /** Of the browser that began. */
  cookie: string
}

/** A browser of its own begins to sign in. */
export async function begin(place: DeskPlace, headers: Record<string, string> = {}): Promise<Started> {
  const reply = await ask(place, 'POST', '/api/session/openid', headers)
  if (reply.statusCode !== 200) throw new Error(`${reply.statusCode}: ${reply.body}`)
  return { address: (reply.json() as { address: string }).address, cookie: cookieOf(reply, 'desk-openid') }
}

/** Where the provider sends the browser back to: path and query. */
export async function visit({ address }: Started): Promise<string> {
  const reply = await fetch(address, { redirect: 'manual' })
  const { pathname, search } = new URL(reply.headers.get('location') ?? '')
  return `${pathname}${search}`
}

/** The browser comes back, sent by another site. */
export const comeBack = (place: DeskPlace, url: string, cookie: string, headers: Record<string, string> = {}) =>
  ask(place, 'GET', url, { cookie, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', ...headers })

/** All of it. */
export async function signInElsewhere(place: DeskPlace): Promise<Reply> {
  const started = await begin(place)
  return comeBack(place, await visit(started), started.cookie)
}

export function ask(place: DeskPlace, method: 'GET' | 'POST' | 'DELETE', url: string, headers: Record<string, string>) {
  addresses++
  // Each from an address of its own: ten in a minute are let through.
  const remoteAddress = `10.1.${Math.floor(addresses / 250)}.${addresses % 250}`
  return place.app.inject({ method, url, headers: { host, ...headers }, remoteAddress })
}

/** `name=value` as the answer sets it; empty where it does not. */
export const cookieOf = ({ headers }: Reply, name: string): string =>
  [headers['set-cookie'] ?? []]
    .flat()
    .flatMap((line) => line.split(';')[0] ?? [])
    .find((pair) => pair.startsWith(`${name}=`) && pair !== `${name}=`) ?? ''
