/** A desk over an archive in a folder of its own, asked without a network; every answer is held to the shape that the route states. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import type { FastifyInstance, InjectOptions, LightMyRequestResponse } from 'fastify'
import schema from '../../../schemas/desk.schema.json' with { type: 'json' }
import {
  buildApp,
  closeDesk,
  type Desk,
  type DeskSealing,
  defaultUploadLimits,
  everyRole,
  type Jobs,
  listRoutes,
  openAccounts,
  openDesk,
  openUploads,
  type Person,
  peopleRoutes,
  type Role,
  type SignInElsewhere,
  startJobs,
  type Vouching,
} from '../../../src/desk/index.ts'
import type { Route } from '../../../src/desk/server/route.ts'
import { beginSession } from '../../../src/desk/server/sessions.ts'
import { archives, checks, compileVocabulary, parseRulebook, parseVocabularyPage } from '../../../src/index.ts'
import { openRegisterFile } from '../../../src/io/archive/register-file.ts'
import { startDrawing } from '../../../src/io/drawing-process.ts'
import { startReading } from '../../../src/io/reading-process.ts'
import { readReportFonts, readShippedRulebook, readShippedVocabulary } from '../../../src/io/shipped.ts'
import { outsideOf } from '../../archive/archive-place.ts'
import { root } from '../../source-file.ts'

export const origin = 'http://127.0.0.1:8571'
export const host = '127.0.0.1:8571'

export interface DeskPlace {
  app: FastifyInstance
  desk: Desk
  jobs: Jobs
  routes: readonly Route[]
  /** Where it is reached: at `origin`, without a network, where no page was given. */
  address: string
  clock: { now: Date }
  /** Faults of the program that the desk told of; a test that expects none looks here. */
  faults: unknown[]
  /** Somebody who is signed in. */
  visitor(name: string, roles?: readonly Role[], shop?: string | null): Promise<Visitor>
  close(): Promise<void>
}

export interface Visitor {
  person: Person
  cookie: string
  token: string
  /** Asks, with cookie and token; `body` goes as JSON unless it is bytes. */
  ask(method: InjectOptions['method'], url: string, body?: unknown, headers?: Record<string, string>): Promise<Reply>
}

export type Reply = LightMyRequestResponse

const stub = new Map([
  ['index.html', Buffer.from('<!doctype html><title>Desk</title>')],
  ['assets/a.js', Buffer.from('1')],
])

export interface DeskPlaceOptions {
  accounts?: boolean
  mostRequests?: number
  uploadBytes?: number
  /** How slow a file may come, and how long any other body may take. */
  pace?: { bytes: number; milliseconds: number }
  bodyTimeout?: number
  /** It seals, by the desk's clock. */
  sealing?: (clock: { now: Date }) => DeskSealing
  vouching?: Vouching
  /** The provider by which people sign in, too. */
  openid?: SignInElsewhere
  /** A page that was built; browsers then reach the desk at `DeskPlace.address`. */
  page?: ReadonlyMap<string, Uint8Array>
}

export async function openDeskPlace(options: DeskPlaceOptions = {}): Promise<DeskPlace> {
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-desk-'))
  const clock = { now: new Date('2026-11-25T10:00:00Z') }
  const archive = await archives.initArchive(outsideOf(folder, clock), 'archive.example/desk', {
    by: { name: 'Ada Quill' },
  })
  const reading = startReading({ processes: 1 }, { pictureWords: false })
  const drawing = startDrawing()
  const { rulebook } = parseRulebook(await readShippedRulebook(), checks)
  if (rulebook === null) throw new Error('The general rulebook has faults')
  const outside = {
    read: reading.read,
    draw: drawing.draw,
    fonts: readReportFonts,
    register: () => openRegisterFile(join(folder, 'desk.sqlite')),
    now: () => clock.now,
    today: () => '2026-11-25',
  }
  const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
  const rulebooks = new Map([['general', rulebook]])
  const desk = await openDesk(outside, {
    archive,
    rulebooks,
    vocabulary,
    program: '0.0.0',
    ...(options.sealing === undefined ? {} : { sealing: options.sealing(clock) }),
    ...(options.vouching === undefined ? {} : { vouching: options.vouching }),
  })
  const faults: unknown[] = []
  const jobs = startJobs(desk, (error) => faults.push(error))
  const limits = {
    ...defaultUploadLimits,
    bytes: options.uploadBytes ?? defaultUploadLimits.bytes,
    pace: options.pace ?? defaultUploadLimits.pace,
  }
  const routes = [
    ...listRoutes(desk, jobs, openUploads(desk, limits)),
    ...peopleRoutes(desk, options.openid?.provider.settings.issuer),
  ]
  let once: string | null = 'the-link'
  let address = origin
  const app = await buildApp(desk, {
    routes,
    page: options.page ?? stub,
    origins: () => [address],
    accounts: options.accounts ? openAccounts(desk, options.openid) : null,
    async enter(shown) {
      if (shown !== once) return null
      once = null
      return beginSession(desk, { name: 'Ada Quill', roles: everyRole, shop: null })
    },
    log: (error) => faults.push(error),
    mostRequests: options.mostRequests ?? 1_000_000,
    ...(options.bodyTimeout === undefined ? {} : { bodyTimeout: options.bodyTimeout }),
  })
  await app.ready()
  if (options.page !== undefined) address = await app.listen({ host: '127.0.0.1', port: 0 })
  return {
    app,
    desk,
    jobs,
    routes,
    address,
    clock,
    faults,
    visitor: (name, roles = everyRole, shop = null) =>
      signIn({ app, desk, routes, host: new URL(address).host }, { name, roles, shop }),
    async close() {
      await app.close()
      await jobs.settled()
      await closeDesk(desk)
      await archives.closeArchive(archive)
      await Promise.all([reading.close(), drawing.close()])
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

async function signIn(
  { app, desk, routes, host }: Pick<DeskPlace, 'app' | 'desk' | 'routes'> & { host: string },
  person: Person,
): Promise<Visitor> {
  const cookie = `desk=${await beginSession(desk, person)}`
  const session = await app.inject({ url: '/api/session', headers: { host, cookie } })
  const { token } = session.json() as { token: string }
  return {
    person,
    cookie,
    token,
    async ask(method = 'GET', url, body, headers = {}) {
      const bytes = body instanceof Uint8Array
      const type = body === undefined ? {} : { 'content-type': bytes ? 'application/octet-stream' : 'application/json' }
      const reply = await app.inject({
        method,
        url,
        headers: { host, cookie, 'x-desk-token': token, ...type, ...headers },
        ...(body === undefined ? {} : { payload: bytes ? Buffer.from(body) : JSON.stringify(body) }),
      })
      holdToShape(routes, method, url, reply)
      return reply
    },
  }
}

const ajv = new Ajv2020({ strict: false, validateFormats: false })
ajv.addSchema(schema)

/** What a route says that it answers, it answers; what goes wrong is a problem, and says what. */
function holdToShape(routes: readonly Route[], method: string, url: string, reply: Reply): void {
  const name = reply.statusCode >= 400 ? 'Problem' : shapeOf(routes, method, url, reply.statusCode)
  if (name === null) return
  const isValid = ajv.validate({ $ref: `${schema.$id}#/$defs/${name}` }, reply.json())
  if (!isValid) throw new Error(`${method} ${url} answers no ${name}: ${ajv.errorsText()}`)
}

function shapeOf(routes: readonly Route[], method: string, url: string, status: number): string | null {
  const [path = ''] = url.split('?')
  const route = routes.find((one) => one.method === method && patternOf(one.path).test(path))
  return route !== undefined && route.answer.status === status ? (route.answer.schema ?? null) : null
}

const patternOf = (path: string): RegExp => new RegExp(`^${path.replaceAll('.', '\\.').replace(/:\w+/g, '[^/]+')}$`)

/** Hands a folder of the examples over, and gives its number when it was checked. */
export function handOver(
  place: DeskPlace,
  visitor: Visitor,
  example: string,
  wanted: Record<string, unknown> = {},
): Promise<string> {
  const folder = join(root, 'examples', 'packets', example)
  const files = readdirSync(folder).map((name) => [name, readFileSync(join(folder, name))] as const)
  return handOverFiles(place, visitor, example, files, wanted)
}

/** The same of any files. */
export async function handOverFiles(
  place: DeskPlace,
  visitor: Visitor,
  packet: string,
  files: readonly (readonly [path: string, content: Uint8Array])[],
  wanted: Record<string, unknown> = {},
): Promise<string> {
  const begun = await visitor.ask('POST', '/api/uploads', { name: packet, form: 'folder', ...wanted })
  const { upload } = begun.json() as { upload: string }
  for (const [path, content] of files)
    await visitor.ask('PUT', `/api/uploads/${upload}/files?path=${encodeURIComponent(path)}`, new Uint8Array(content))
  const done = await visitor.ask('POST', `/api/uploads/${upload}/done`)
  await place.jobs.settled()
  const { job } = done.json() as { job: string }
  const { accession, problem } = (await visitor.ask('GET', `/api/jobs/${job}`)).json() as {
    accession: string | null
    problem: unknown
  }
  if (accession === null) throw new Error(`${packet} was not received: ${JSON.stringify(problem)}`)
  return accession
}
