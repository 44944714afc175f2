/** Signing in by an OpenID Connect provider: the browser goes there, and comes back with a code. */
import { neutralise } from '../../../index.ts'
import type { Elsewhere } from '../../contract.ts'
import type { Desk } from '../desk.ts'
import type { SignInElsewhere } from '../people-routes.ts'
import { ProblemError } from '../problem.ts'
import type { OpenRoute } from '../route.ts'
import { beginSession } from '../sessions.ts'
import { admit } from './identities.ts'
import { keepOpening, openingSeconds, takeOpening } from './openings.ts'
import { ProviderError } from './provider.ts'

const returnPath = '/openid/return'

/** Names the browser that a sign-in was begun in. Lax: it has to come along when the provider sends the browser back. */
const openingCookie = 'desk-openid'

export const openIdRoutes = (desk: Desk, { provider, tell }: SignInElsewhere): OpenRoute[] => [
  {
    method: 'POST',
    path: '/api/session/openid',
    summary: 'Begin to sign in by the provider',
    slowed: true,
    answer: {
      status: 200,
      schema: 'Elsewhere',
      text: 'Where the browser goes; a cookie lets this one alone come back.',
    },
    async handle({ origin, secure, reply }): Promise<Elsewhere> {
      const back = `${origin}${returnPath}`
      const { address, ...opening } = await provider.begin(back).catch(explain(provider.settings.label, tell))
      const browser = await keepOpening(desk, { ...opening, back })
      reply.setCookie(openingCookie, browser, { ...cookieOptions, secure, maxAge: openingSeconds })
      return { address }
    },
  },
  {
    method: 'GET',
    path: returnPath,
    summary: 'Where the provider sends the browser back to',
    slowed: true,
    visited: true,
    answer: { status: 303, text: 'Signed in; the desk is at /.' },
    async handle({ request, reply, secure, begin }) {
      const { searchParams } = new URL(request.url, 'http://desk.invalid')
      const browser = request.cookies[openingCookie]
      reply.clearCookie(openingCookie, { ...cookieOptions, secure })
      const state = searchParams.get('state')
      const opening = browser === undefined || state === null ? null : await takeOpening(desk, state, browser)
      if (opening === null)
        throw new ProblemError(400, 'This sign-in was not begun in this browser, or is over', {
          mend: 'Sign in again, and in one tab.',
        })
      const address = new URL(`${opening.back}?${searchParams}`)
      const identity = await provider.finish(address, opening).catch(explain(provider.settings.label, tell))
      const person = await admit(desk, provider.settings, identity).catch((error: unknown) => {
        if (error instanceof ProblemError)
          tell(`${identity.subject.slice(0, 255)}: ${error.problem.title}. ${error.problem.detail ?? ''}`)
        throw error
      })
      begin(await beginSession(desk, person, identity.idToken))
      return reply.redirect('/', 303)
    },
  },
]

/** The cookie is for what is below /openid alone; nothing but the way back is. */
const cookieOptions = { path: '/openid', httpOnly: true, sameSite: 'lax' } as const

/** Somebody who signs in is told what they can do; whoever runs the desk what it was. */
const explain = (label: string, tell: (text: string) => void) => (error: unknown) => {
  if (!(error instanceof ProviderError)) throw error
  tell(`${label}: ${neutralise(error.message)}`)
  switch (error.kind) {
    case 'down':
      throw new ProblemError(503, `${label} does not answer`, { mend: 'Try again later, or sign in by a password.' })
    case 'refused':
      throw new ProblemError(403, `${label} did not sign you in`, {
        detail: neutralise(error.message.slice(0, 200)),
        mend: 'Sign in again, or ask whoever administers it.',
      })
    case 'untrusted':
      throw new ProblemError(502, `What ${label} answered cannot be relied on`, {
        mend: 'Sign in again. If it stays so, ask whoever runs the desk: it told them why.',
      })
  }
}
