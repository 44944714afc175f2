/** The desk's server: routes, who is let in, and what every answer carries. */
import cookie from '@fastify/cookie'
import helmet from '@fastify/helmet'
import rateLimit from '@fastify/rate-limit'
import { Ajv2020 } from 'ajv/dist/2020.js'
import fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from 'fastify'
import schema from '../../../schemas/desk.schema.json' with { type: 'json' }
import type { SessionView, SignedOut } from '../contract.ts'
import type { Desk } from './desk.ts'
import { findVisitor, holdToHost, holdToOrigin, holdToToken, type KnowToken, originOf, type Visitor } from './guard.ts'
import { digestRequest, openIdempotency } from './idempotency.ts'
import { describeApi } from './openapi.ts'
import { type PageFiles, servePage, tellOnPage } from './page-files.ts'
import { holdToRight } from './people.ts'
import { ProblemError, problemMedia, problemOf } from './problem.ts'
import type { Asked, OpenRoute, Route } from './route.ts'
import { cookieName, endSession } from './sessions.ts'
import { streamEvents } from './stream.ts'

export interface AppOptions {
  routes: readonly Route[]
  page: PageFiles
  /** Where the desk is reached, as browsers write it: `http://127.0.0.1:8571`. The first is its own. Read at each request. */
  origins(): readonly string[]
  /** Key and certificate chain, PEM; plain HTTP where they are left out. */
  tls?: { key: string | Uint8Array; cert: string | Uint8Array }
  /** Whether a proxy stands before it and speaks TLS to browsers. */
  proxied?: boolean
  /** How a person of a desk with accounts gets in, and whose tokens are known; null where whoever has the link does. */
  accounts: Accounts | null
  /** Gives a session's secret for the link that a desk without accounts prints; null for one that is used or wrong. */
  enter(once: string): Promise<string | null>
  /** Told of faults of the program. */
  log(error: unknown): void
  /** Requests of one address in a minute. */
  mostRequests?: number
  /** How long a body that is no file may take to come, in milliseconds. */
  bodyTimeout?: number
}

export interface Accounts {
  routes: readonly OpenRoute[]
  knowToken: KnowToken
  /** The provider by which people sign in, too; null for none. */
  provider: {
    label: string
    /** Where a browser ends the session that the ID token began, and comes back from to `back`; null where it cannot. */
    leave(idToken: string, back: string): Promise<string | null>
  } | null
}

const jsonLimit = 1024 * 1024

/** Builds the server; `listen` is the caller's. */
export async function buildApp(desk: Desk, options: AppOptions): Promise<FastifyInstance> {
  const { tls, proxied = false, origins, routes } = options
  const app = fastify({
    ...(tls === undefined ? {} : { https: { ...tls, minVersion: 'TLSv1.2' } }),
    bodyLimit: jsonLimit,
    trustProxy: proxied,
    // A file may take long; a connection that says nothing for so long is closed.
    requestTimeout: 60 * 60_000,
    connectionTimeout: 60_000,
    keepAliveTimeout: 30_000,
    maxRequestsPerSocket: 0,
    routerOptions: { maxParamLength: 500, ignoreTrailingSlash: false },
    forceCloseConnections: true,
    exposeHeadRoutes: false,
  } as never) as unknown as FastifyInstance
  app.server.headersTimeout = 20_000
  setUpShapes(app)
  await app.register(cookie)
  await app.register(helmet, {
    contentSecurityPolicy: false,
    hsts: tls !== undefined || proxied,
    xFrameOptions: { action: 'deny' },
  })
  await app.register(rateLimit, { max: options.mostRequests ?? 3000, timeWindow: 60_000 })
  holdToTime(app, options.bodyTimeout ?? 30_000)
  app.setErrorHandler((error, _, reply) => answerProblem(error, reply, options.log))
  app.addHook('onRequest', async (request, reply) => {
    reply.header('content-security-policy', policyOf(request.url))
    reply.header('cache-control', 'no-store')
    reply.header('permissions-policy', 'camera=(), geolocation=(), microphone=(), usb=()')
    holdToHost(request, origins())
    holdToOrigin(request, origins())
  })
  app.setNotFoundHandler((request, reply) => {
    if (request.url.startsWith('/api'))
      return answerProblem(
        new ProblemError(404, 'There is nothing here', { mend: 'See /api/openapi.json.' }),
        reply,
        options.log,
      )
    return servePage(options.page, request, reply)
  })
  addEntrance(app, options)
  const describe = describeApi([...routes, ...sessionRoutes(desk, options)], desk.program, options.accounts?.routes)
  app.get('/api/openapi.json', async () => describe)
  const visit = (request: FastifyRequest) => findVisitor(desk, request, options.accounts?.knowToken ?? null)
  app.get('/api/events', async (request, reply) => {
    const { person } = await visit(request)
    return streamEvents(desk, person, request, reply)
  })
  const idempotency = openIdempotency(desk)
  for (const route of [...routes, ...sessionRoutes(desk, options)]) addRoute(app, route, visit, idempotency)
  return app
}

/** `view` and pictures come from the desk itself, code from it alone; pdf.js compiles WebAssembly to decode images. */
const policyOf = (url: string): string =>
  url.startsWith('/api')
    ? "default-src 'none'; frame-ancestors 'none'"
    : [
        "default-src 'none'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "font-src 'self' data:",
        "connect-src 'self'",
        "worker-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
      ].join('; ')

/** Bodies and queries are held to schemas/desk.schema.json; queries are text, of which numbers are made. */
function setUpShapes(app: FastifyInstance): void {
  const make = (coerceTypes: boolean) => {
    const ajv = new Ajv2020({ strict: false, coerceTypes, allErrors: false, validateFormats: false })
    ajv.addSchema(schema)
    return ajv
  }
  const [body, query] = [make(false), make(true)]
  app.setValidatorCompiler(({ schema: own, httpPart }) =>
    (httpPart === 'querystring' ? query : body).compile(own as object),
  )
  app.setSerializerCompiler(() => (value) => JSON.stringify(value))
  app.addContentTypeParser('application/octet-stream', (_, payload, done) => done(null, payload))
}

const shapeOf = (name: string) => ({ $ref: `${schema.$id}#/$defs/${name}` })

/** Who sends a small body a byte at a time is cut; files have a pace of their own, and are not waited for here. */
function holdToTime(app: FastifyInstance, milliseconds: number): void {
  const waiting = new WeakMap<object, NodeJS.Timeout>()
  const stop = (request: FastifyRequest) => clearTimeout(waiting.get(request.raw))
  app.addHook('onRequest', async (request) => {
    waiting.set(
      request.raw,
      setTimeout(() => request.raw.destroy(), milliseconds),
    )
  })
  app.addHook('preValidation', async (request) => stop(request))
  app.addHook('onResponse', async (request) => stop(request))
  app.addHook('onRequestAbort', async (request) => stop(request))
}

type Visit = (request: FastifyRequest) => Promise<Visitor>

function addRoute(
  app: FastifyInstance,
  route: Route,
  visit: Visit,
  idempotency: ReturnType<typeof openIdempotency>,
): void {
  const { method, path: url, right, query, body, answer } = route
  const bytes = body === 'bytes'
  const known = new WeakMap<FastifyRequest, Visitor>()
  app.route({
    method,
    url,
    ...(bytes ? { bodyLimit: Number.MAX_SAFE_INTEGER } : {}),
    schema: {
      ...(query === undefined ? {} : { querystring: shapeOf(query) }),
      ...(body === undefined || bytes ? {} : { body: shapeOf(body) }),
    },
    // Before the body is read: strangers send none.
    onRequest: async (request) => {
      const visitor = await visit(request)
      if (visitor.session !== null) holdToToken(request, visitor.session)
      if (right !== null) holdToRight(visitor.person, right)
      known.set(request, visitor)
    },
    handler: async (request, reply) => {
      const visitor = known.get(request)
      if (visitor === undefined) throw new Error('A request came in without a visitor')
      const asked: Asked = {
        ...visitor,
        params: request.params as Record<string, string>,
        query: request.query,
        body: request.body,
        request,
        reply,
      }
      const key = request.headers['idempotency-key']
      if (method !== 'POST' || route.secret || typeof key !== 'string')
        return answerWith(reply, answer.status, await route.handle(asked))
      const { person } = visitor
      const wanted = digestRequest(method, request.url, request.body)
      const earlier = await idempotency.begin(person, key, wanted)
      if (earlier !== null) return reply.code(earlier.status).type('application/json').send(earlier.body)
      try {
        const given = JSON.stringify((await route.handle(asked)) ?? null)
        await idempotency.keep(person, key, wanted, { status: answer.status, body: given })
        return reply.code(answer.status).type('application/json').send(given)
      } catch (error) {
        idempotency.giveUp(person, key)
        throw error
      }
    },
  })
}

function answerWith(reply: FastifyReply, status: number, given: unknown) {
  if (reply.sent || given === reply) return reply
  if (given === undefined) return reply.code(status).send()
  return reply.code(status).send(given)
}

function answerProblem(error: unknown, reply: FastifyReply, log: (error: unknown) => void) {
  const problem = problemOf(error)
  if (problem.status === 500) log(error)
  return reply.code(problem.status).type(problemMedia).send(JSON.stringify(problem))
}

/** To people on the page, to programs as any other problem. */
function answerOnPage(error: unknown, request: FastifyRequest, reply: FastifyReply, { page, log }: AppOptions) {
  const problem = problemOf(error)
  const told = request.headers.accept?.includes('text/html') ? tellOnPage(page, problem) : null
  if (told === null) return answerProblem(error, reply, log)
  if (problem.status === 500) log(error)
  return reply.code(problem.status).type('text/html; charset=utf-8').send(told)
}

const sessionRoutes = (desk: Desk, { accounts, origins }: AppOptions): Route[] => [
  {
    method: 'GET',
    path: '/api/session',
    summary: 'Who is signed in',
    right: null,
    answer: { status: 200, schema: 'Session', text: 'Who it is, and what they may do.' },
    async handle({ person, session }): Promise<SessionView> {
      return {
        name: person.name,
        roles: [...person.roles],
        shop: person.shop,
        token: session?.token ?? '',
        archive: desk.archive.key.name,
        version: desk.program,
        accounts: accounts !== null,
        provider: accounts?.provider?.label ?? null,
        rulebooks: [...desk.rulebooks.keys()],
        seals: desk.sealing !== null,
        sealer: desk.sealing?.sealer ?? null,
      }
    },
  },
  {
    method: 'DELETE',
    path: '/api/session',
    summary: 'Sign out',
    right: null,
    answer: { status: 200, schema: 'SignedOut', text: 'The session is over.' },
    async handle({ request, reply }): Promise<SignedOut> {
      const secret = request.cookies[cookieName]
      const idToken = secret === undefined ? null : await endSession(desk, secret)
      reply.clearCookie(cookieName, { path: '/' })
      if (idToken === null || accounts === null || accounts.provider === null) return { address: null }
      return { address: await accounts.provider.leave(idToken, `${originOf(request, origins())}/`) }
    },
  },
]

function addEntrance(app: FastifyInstance, options: AppOptions): void {
  const { accounts, enter, tls, proxied = false, origins } = options
  const cookieOptions = {
    path: '/',
    httpOnly: true,
    sameSite: 'strict',
    secure: tls !== undefined || proxied,
  } as const
  app.get('/enter', async (request, reply) => {
    const { once } = request.query as { once?: unknown }
    const secret = accounts === null && typeof once === 'string' ? await enter(once) : null
    if (secret !== null) reply.setCookie(cookieName, secret, cookieOptions)
    return reply.redirect('/', 303)
  })
  for (const { method, path: url, body, answer, slowed, visited, handle } of accounts?.routes ?? [])
    app.route({
      method,
      url,
      schema: body === undefined ? {} : { body: shapeOf(body) },
      ...(slowed ? { config: { rateLimit: { max: 10, timeWindow: 60_000 } } } : {}),
      ...(visited ? { errorHandler: (error, request, reply) => answerOnPage(error, request, reply, options) } : {}),
      handler: async (request, reply) => {
        const begin = (secret: string) => void reply.setCookie(cookieName, secret, cookieOptions)
        const origin = originOf(request, origins())
        const asked = { body: request.body, request, reply, origin, secure: cookieOptions.secure, begin }
        return answerWith(reply, answer.status, await handle(asked))
      },
    })
}
