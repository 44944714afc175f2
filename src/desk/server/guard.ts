/** Who is let in: the right host, the right origin, somebody who is known. */
import type { FastifyRequest } from 'fastify'
import type { Desk } from './desk.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'
import { cookieName, findSession, isSame, type Session } from './sessions.ts'

/** Whoever asked, and how they were known. */
export interface Visitor {
  person: Person
  session: Session | null
}

/** Says who shows an API token; null for one that is none. */
export type KnowToken = (token: string) => Promise<Person | null>

/**
 * Throws ProblemError 421 for a request that was meant for another host: a page of another site that had its name point
 * here (DNS rebinding) is refused by it.
 */
export function holdToHost(request: FastifyRequest, origins: readonly string[]): void {
  const host = request.headers.host?.toLowerCase()
  if (origins.some((origin) => new URL(origin).host === host)) return
  throw new ProblemError(421, 'This desk has another address', {
    mend: 'Use the address that it printed when it started.',
  })
}

/** By which of the desk's addresses a request came, after `holdToHost`. */
export const originOf = (request: FastifyRequest, origins: readonly string[]): string =>
  origins.find((origin) => new URL(origin).host === request.headers.host?.toLowerCase()) ?? origins[0] ?? ''

const isSafe = (method: string): boolean => method === 'GET' || method === 'HEAD'

/**
 * Throws ProblemError 403 for a request that another site made a browser send (Fetch Metadata, Origin), whatever it asks
 * for; those that change something must also show the session's token, unless an API token was shown.
 */
export function holdToOrigin(request: FastifyRequest, origins: readonly string[]): void {
  const { origin, 'sec-fetch-site': site } = request.headers
  const isForeignSite = site !== undefined && site !== 'same-origin' && site !== 'none'
  const isNavigation = isSafe(request.method) && request.headers['sec-fetch-mode'] === 'navigate'
  const isForeignOrigin = origin !== undefined && !origins.includes(origin.toLowerCase())
  if (isForeignOrigin || (isForeignSite && !isNavigation)) throw foreign()
}

export function holdToToken(request: FastifyRequest, session: Session): void {
  if (isSafe(request.method)) return
  const shown = request.headers['x-desk-token']
  if (typeof shown !== 'string' || !isSame(shown, session.token))
    throw new ProblemError(403, 'The request does not show the token of its session', {
      mend: 'Send "token" of /api/session as the header x-desk-token.',
    })
}

const foreign = (): ProblemError =>
  new ProblemError(403, 'Another site made this request', { mend: 'Open the desk by its own address.' })

/** Who asks. Throws ProblemError 401 for somebody who is not known. */
export async function findVisitor(desk: Desk, request: FastifyRequest, knowToken: KnowToken | null): Promise<Visitor> {
  const [, bearer] = /^Bearer (\S{1,500})$/i.exec(request.headers.authorization ?? '') ?? []
  if (bearer !== undefined) {
    const person = (await knowToken?.(bearer)) ?? null
    if (person === null) throw new ProblemError(401, 'The token is not known', { mend: 'Have a new one made.' })
    return { person, session: null }
  }
  const secret = request.cookies[cookieName]
  const session = secret === undefined ? null : await findSession(desk, secret)
  if (session === null)
    throw new ProblemError(401, 'You are not signed in', {
      mend: knowToken === null ? 'Open the link that the desk printed when it started.' : 'Sign in.',
    })
  return { person: session.person, session }
}
