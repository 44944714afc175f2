/** Serves a desk until the process is told to end. */
import { readFile } from 'node:fs/promises'
import type { AddressInfo } from 'node:net'
import {
  beginSession,
  buildApp,
  type Desk,
  follow,
  isSame,
  listRoutes,
  makeSecret,
  openAccounts,
  openProvider,
  openUploads,
  type PageFiles,
  type Person,
  peopleRoutes,
  resumeChecks,
  type SignInElsewhere,
  startJobs,
} from '../../src/desk/index.ts'
import { neutralise } from '../../src/index.ts'
import { now } from '../../src/io/clock.ts'
import { askProvider } from '../../src/io/provider-fetch.ts'
import type { Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'
import type { Closing } from './open.ts'
import type { OpenIdAccess } from './openid.ts'

export interface Serving {
  /** Who has the desk: whoever opens the link where there are no accounts, and in whose name work is resumed. */
  person: Person
  page: PageFiles
  host: string
  port: number
  /** People sign in. */
  accounts: boolean
  /** The provider by which they do so, too. */
  openid: OpenIdAccess | null
  tls: { key: Uint8Array; cert: Uint8Array } | null
  /** Where browsers reach it, when a proxy or another name stands before it. */
  address: string | null
}

/** Resolves when the process was told to end (SIGINT, SIGTERM); requests and work that are going on are finished first. */
export async function serve(desk: Desk, serving: Serving, terminal: Terminal, closing: Closing): Promise<void> {
  const { person, page, host, port, openid, tls, address } = serving
  const log = (error: unknown) =>
    terminal.tell(
      `witnessmark: a fault of the desk: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`,
    )
  const jobs = startJobs(desk, log)
  let once: string | null = makeSecret()
  const origins: string[] = address === null ? [] : [address]
  const elsewhere = openid === null ? null : openElsewhere(openid, terminal)
  const routes = listRoutes(desk, jobs, openUploads(desk))
  const app = await buildApp(desk, {
    routes: serving.accounts ? [...routes, ...peopleRoutes(desk, elsewhere?.provider.settings.issuer)] : routes,
    page,
    origins: () => origins,
    accounts: serving.accounts ? openAccounts(desk, elsewhere) : null,
    async enter(shown) {
      if (once === null || !isSame(shown, once)) return null
      once = null
      return beginSession(desk, person)
    },
    log,
    proxied: tls === null && address?.startsWith('https:') === true,
    ...(tls === null ? {} : { tls }),
  })
  await app.listen({ host, port }).catch((error: NodeJS.ErrnoException) => {
    const { code } = error
    if (code !== 'EADDRINUSE' && code !== 'EACCES' && code !== 'EADDRNOTAVAIL') throw error
    throw new UserError(`${host}:${port} cannot be listened on (${code})`, null, 'Give another: --port N, or --port 0.')
  })
  const scheme = tls === null ? 'http' : 'https'
  const { port: own } = app.server.address() as AddressInfo
  if (address === null) origins.push(...['127.0.0.1', 'localhost'].map((name) => `${scheme}://${name}:${own}`))
  closing.push(async () => {
    await app.close()
    await jobs.settled()
  })
  await follow(desk)
  const [rulebook] = desk.rulebooks.values()
  if (rulebook !== undefined) await resumeChecks(desk, jobs, person, rulebook)
  await terminal.print(
    serving.accounts
      ? `The desk is open: ${origins[0]}\nCtrl-C closes it.\n`
      : `The desk is open. This link lets one browser in, once:\n  ${origins[0]}/enter?once=${once}\nCtrl-C closes it.\n`,
  )
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve())
  })
}

const openElsewhere = ({ settings, secret }: OpenIdAccess, terminal: Terminal): SignInElsewhere => ({
  provider: openProvider(settings, { secret, ask: askProvider, now }),
  tell: (text) => terminal.tell(`witnessmark: sign-in: ${neutralise(text)}\n`),
})

/** Key and certificate chain, PEM; null where none is given. Throws UserError. */
export async function readTls(key: string | undefined, certificate: string | undefined): Promise<Serving['tls']> {
  if (key === undefined && certificate === undefined) return null
  if (key === undefined || certificate === undefined)
    throw new UserError('TLS needs a key and a certificate', null, 'Give both --tls-key and --tls-certificate.')
  const read = (path: string) =>
    readFile(path).catch((error: NodeJS.ErrnoException) => {
      throw new UserError(`${path} cannot be read (${error.code})`, path, 'Name a PEM file that you may read.')
    })
  return { key: await read(key), cert: await read(certificate) }
}
