/** Accounts of a desk that several people use: passwords by scrypt (RFC 7914), API tokens kept as hashes alone. */
import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto'
import { promisify } from 'node:util'
import { makeGate } from '../../gate.ts'
import type { PersonChange, PersonView, Role, TokenView } from '../contract.ts'
import { type Desk, stampOf } from './desk.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'
import { hashSecret, makeSecret } from './sessions.ts'
import type { DeskTables } from './tables.ts'

const derive = promisify<string, Buffer, number, ScryptOptions, Buffer>(scrypt)

/** OWASP, Password Storage Cheat Sheet: N = 2^17, r = 8, p = 1; 128 MiB and some tenths of a second a password. */
const cost = { N: 2 ** 17, r: 8, p: 1 }

/** `scrypt$N$r$p$salt$key`, base64. */
export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(16)
  const key = await deriveKey(password, salt, cost)
  return ['scrypt', cost.N, cost.r, cost.p, salt.toString('base64'), key.toString('base64')].join('$')
}

/** Two at a time: on a morning when everybody signs in, files are still read, and memory stays bounded. */
const deriving = makeGate(2)

const deriveKey = (password: string, salt: Buffer, { N, r, p }: typeof cost): Promise<Buffer> =>
  deriving(1, () => derive(password.normalize('NFKC'), salt, 32, { N, r, p, maxmem: 256 * N * r }))

async function fits(password: string, hash: string): Promise<boolean> {
  const [, N, r, p, salt = '', key = ''] = hash.split('$')
  const wanted = Buffer.from(key, 'base64')
  const own = await deriveKey(password, Buffer.from(salt, 'base64'), { N: Number(N), r: Number(r), p: Number(p) })
  return timingSafeEqual(own, wanted)
}

/** Takes as long for a name that nobody has. */
let nobodys: Promise<string> | null = null

/** Null for a name that nobody has, a wrong password, and an account that is closed. */
export async function signIn({ db }: Desk, name: string, password: string): Promise<Person | null> {
  const row = await db.selectFrom('people').selectAll().where('name', '=', name).executeTakeFirst()
  nobodys ??= hashPassword(makeSecret())
  const hash = row?.password ?? null
  const isTheirs = await fits(password, hash ?? (await nobodys))
  return row !== undefined && hash !== null && isTheirs && row.closed === 0 ? personOf(row) : null
}

export const personOf = ({ name, roles, shop }: { name: string; roles: string; shop: string | null }): Person => ({
  name,
  roles: JSON.parse(roles) as Role[],
  shop,
})

/** The person as they are today: roles that were taken away are gone at once. Null for an account that is closed. */
export async function findPerson({ db }: Desk, name: string): Promise<Person | null> {
  const row = await db.selectFrom('people').selectAll().where('name', '=', name).executeTakeFirst()
  return row === undefined || row.closed === 1 ? null : personOf(row)
}

export const leastPassword = 12

/**
 * Adds somebody, or changes what is given of them. `issuer`: of the provider that lets people in; null where there is none.
 * Throws ProblemError 409, 422.
 */
export async function putPerson(
  desk: Desk,
  name: string,
  { roles, shop, password, closed, openid }: Readonly<PersonChange>,
  issuer: string | null = null,
): Promise<PersonView> {
  const { db } = desk
  const earlier = await db.selectFrom('people').selectAll().where('name', '=', name).executeTakeFirst()
  if (password !== undefined && [...password].length < leastPassword)
    throw new ProblemError(422, `A password has at least ${leastPassword} characters`, { mend: 'Give a longer one.' })
  if (earlier?.claimed === 1 && openid === undefined && (roles !== undefined || shop !== undefined))
    throw new ProblemError(422, `The provider says what ${name} may do`, {
      mend: 'Change it there; or give "openid", too, and the desk keeps their roles from then on.',
    })
  const next = {
    name,
    roles: roles === undefined ? (earlier?.roles ?? '[]') : JSON.stringify([...new Set(roles)].sort()),
    shop: shop === undefined ? (earlier?.shop ?? null) : shop,
    password: password === undefined ? (earlier?.password ?? null) : await hashPassword(password),
    closed: closed === undefined ? (earlier?.closed ?? 0) : closed ? (1 as const) : (0 as const),
    made_at: earlier?.made_at ?? stampOf(desk.outside.now()),
    ...(openid === undefined ? bindingOf(earlier) : bind(openid, issuer)),
    claimed: openid === undefined ? (earlier?.claimed ?? 0) : (0 as const),
  }
  if (next.password === null && next.issuer === null)
    throw new ProblemError(422, `${name} could not sign in`, {
      mend: `Give "password"${issuer === null ? '' : ', or by "openid" how the provider knows them'}.`,
    })
  const person = personOf(next)
  if (person.roles.includes('submitter') && person.shop === null)
    throw new ProblemError(422, 'A submitter is of a shop', { mend: 'Give "shop": whose packets this person sees.' })
  const row = next
  await db.transaction().execute(async (writing) => {
    await holdToBinding(writing, row)
    await writing
      .insertInto('people')
      .values(row)
      .onConflict((it) => it.column('name').doUpdateSet(row))
      .execute()
    await holdToAdministrator(writing)
    // Whoever has a new password or other roles signs in anew.
    await writing.deleteFrom('sessions').where('name', '=', name).execute()
    if (row.closed === 1) await writing.deleteFrom('tokens').where('person', '=', name).execute()
  })
  return viewPerson(row)
}

type Binding = Pick<DeskTables['people'], 'issuer' | 'subject' | 'email'>

const bindingOf = ({ issuer, subject, email }: Binding = { issuer: null, subject: null, email: null }): Binding => ({
  issuer,
  subject,
  email,
})

function bind(openid: NonNullable<PersonChange['openid']> | null, issuer: string | null): Binding {
  if (openid === null) return bindingOf()
  if (issuer === null)
    throw new ProblemError(422, 'This desk has no provider by which people sign in', {
      mend: 'Leave "openid" out, or have the desk opened with --openid FILE.',
    })
  return 'subject' in openid
    ? { issuer, subject: openid.subject, email: null }
    : { issuer, subject: null, email: openid.email.toLowerCase() }
}

/** Whom the provider names, one account alone is for. */
async function holdToBinding(
  db: Pick<Desk['db'], 'selectFrom'>,
  { name, issuer, subject, email }: Binding & { name: string },
) {
  if (issuer === null) return
  const others = db.selectFrom('people').select('name').where('issuer', '=', issuer).where('name', '!=', name)
  const other = await (subject === null
    ? others.where('subject', 'is', null).where('email', '=', email)
    : others.where('subject', '=', subject)
  ).executeTakeFirst()
  if (other !== undefined)
    throw new ProblemError(409, `${other.name} signs in so already`, { mend: 'Change that account first.' })
}

/** A desk that nobody administers could never be changed again. */
async function holdToAdministrator(db: Pick<Desk['db'], 'selectFrom'>): Promise<void> {
  const people = await db.selectFrom('people').select(['roles', 'closed']).execute()
  const isKept = people.some(
    ({ roles, closed }) => closed === 0 && (JSON.parse(roles) as Role[]).includes('administrator'),
  )
  if (!isKept)
    throw new ProblemError(409, 'Nobody would administer the desk any more', {
      mend: 'Make somebody else administrator first.',
    })
}

const viewPerson = (row: DeskTables['people']): PersonView => ({
  name: row.name,
  roles: JSON.parse(row.roles) as Role[],
  shop: row.shop,
  closed: row.closed === 1,
  madeAt: row.made_at,
  password: row.password !== null,
  openid: row.issuer === null ? null : { issuer: row.issuer, subject: row.subject, email: row.email },
  rolesBy: row.claimed === 1 ? 'provider' : 'desk',
})

export async function listPeople({ db }: Desk): Promise<PersonView[]> {
  const rows = await db.selectFrom('people').selectAll().orderBy('name').execute()
  return rows.map(viewPerson)
}

/** Makes an API token of a person; the secret is shown this once. Throws ProblemError 404. */
export async function makeToken(desk: Desk, name: string, label: string): Promise<TokenView & { secret: string }> {
  if ((await findPerson(desk, name)) === null) throw new ProblemError(404, `There is nobody called ${name}`)
  const secret = `wm_${makeSecret()}`
  const row = {
    token: hashSecret(secret).slice(0, 16),
    secret: hashSecret(secret),
    person: name,
    label,
    made_at: stampOf(desk.outside.now()),
  }
  await desk.db
    .insertInto('tokens')
    .values({ ...row, used_at: null })
    .execute()
  return { token: row.token, person: name, label, madeAt: row.made_at, usedAt: null, secret }
}

export async function listTokens({ db }: Desk): Promise<TokenView[]> {
  const rows = await db.selectFrom('tokens').selectAll().orderBy('made_at').orderBy('token').execute()
  return rows.map(({ token, person, label, made_at: madeAt, used_at: usedAt }) => ({
    token,
    person,
    label,
    madeAt,
    usedAt,
  }))
}

/** Throws ProblemError 404. */
export async function dropToken({ db }: Desk, token: string): Promise<void> {
  const { numDeletedRows } = await db.deleteFrom('tokens').where('token', '=', token).executeTakeFirst()
  if (numDeletedRows === 0n) throw new ProblemError(404, 'There is no such token')
}

/** Who shows a token; null for one that is not known, or of somebody whose account is closed. */
export async function knowToken(desk: Desk, secret: string): Promise<Person | null> {
  const { db, outside } = desk
  const hashed = hashSecret(secret)
  const row = await db.selectFrom('tokens').selectAll().where('secret', '=', hashed).executeTakeFirst()
  if (row === undefined) return null
  const at = stampOf(outside.now())
  if (row.used_at?.slice(0, 16) !== at.slice(0, 16))
    await db.updateTable('tokens').set({ used_at: at }).where('secret', '=', hashed).execute()
  return findPerson(desk, row.person)
}
