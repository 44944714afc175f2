/** Signing in, accounts and API tokens, of a desk that several people use. */
import type { NewToken, PersonChange, SignIn, SignInWays } from '../contract.ts'
import { dropToken, knowToken, listPeople, listTokens, makeToken, putPerson, signIn } from './accounts.ts'
import type { Accounts } from './app.ts'
import type { Desk } from './desk.ts'
import type { Provider } from './openid/provider.ts'
import { openIdRoutes } from './openid/routes.ts'
import { isName } from './people.ts'
import { ProblemError } from './problem.ts'
import type { Route } from './route.ts'
import { beginSession } from './sessions.ts'

/** The provider by which people sign in, too, and where whoever runs the desk is told why somebody did not get in. */
export interface SignInElsewhere {
  provider: Provider
  tell(text: string): void
}

/** What `buildApp` needs to let people with accounts in. */
export const openAccounts = (desk: Desk, elsewhere: SignInElsewhere | null = null): Accounts => ({
  knowToken: (token) => knowToken(desk, token),
  provider: elsewhere === null ? null : { label: elsewhere.provider.settings.label, leave: elsewhere.provider.leave },
  routes: [
    {
      method: 'GET',
      path: '/api/sign-in',
      summary: 'How people sign in besides by name and password',
      answer: { status: 200, schema: 'SignInWays', text: 'The ways.' },
      async handle(): Promise<SignInWays> {
        return { openid: elsewhere === null ? null : { label: elsewhere.provider.settings.label } }
      },
    },
    ...(elsewhere === null ? [] : openIdRoutes(desk, elsewhere)),
    {
      method: 'POST',
      path: '/api/session',
      summary: 'Sign in by name and password',
      body: 'SignIn',
      slowed: true,
      answer: { status: 200, schema: 'SignedIn', text: 'Who it is; the cookie holds the session.' },
      async handle({ body, begin }) {
        const { name, password } = body as SignIn
        const person = await signIn(desk, name, password)
        if (person === null)
          throw new ProblemError(401, 'The name or the password is not right', {
            mend: 'Try again, or ask whoever administers the desk.',
          })
        begin(await beginSession(desk, person))
        return { name: person.name, roles: person.roles }
      },
    },
  ],
})

/** `issuer`: of the provider that lets people in, too; null for none. */
export const peopleRoutes = (desk: Desk, issuer: string | null = null): Route[] => [
  {
    method: 'GET',
    path: '/api/people',
    summary: 'Everybody who has an account',
    right: 'administer',
    answer: { status: 200, schema: 'People', text: 'Accounts by name.' },
    handle: () => listPeople(desk),
  },
  {
    method: 'PUT',
    path: '/api/people/:name',
    summary: 'Add somebody, or change what is given; they sign in anew',
    right: 'administer',
    body: 'PersonChange',
    answer: { status: 200, schema: 'Person', text: 'The account.' },
    handle: ({ params, body }) => putPerson(desk, holdToName(params.name ?? ''), body as PersonChange, issuer),
  },
  {
    method: 'GET',
    path: '/api/tokens',
    summary: 'Tokens of programs, without their secrets',
    right: 'administer',
    answer: { status: 200, schema: 'Tokens', text: 'Tokens.' },
    handle: () => listTokens(desk),
  },
  {
    method: 'POST',
    path: '/api/tokens',
    summary: 'Make a token by which a program acts for a person',
    right: 'administer',
    body: 'NewToken',
    secret: true,
    answer: { status: 201, schema: 'MadeToken', text: 'The token, with its secret: this once.' },
    handle: ({ body }) => makeToken(desk, (body as NewToken).person, (body as NewToken).label),
  },
  {
    method: 'DELETE',
    path: '/api/tokens/:token',
    summary: 'Take a token back',
    right: 'administer',
    answer: { status: 204, text: 'It is known no more.' },
    handle: ({ params }) => dropToken(desk, params.token ?? ''),
  },
]

/** A name that the custody log can carry and a person can read. */
function holdToName(name: string): string {
  if (isName(name)) return name
  throw new ProblemError(422, 'This cannot be the name of a person', {
    mend: 'Give up to 100 letters, digits, spaces and . - _ @, with a letter or digit first.',
  })
}
