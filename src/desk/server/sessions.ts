/** Who is at the desk: sessions by a cookie whose secret is kept as a hash alone. */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto'
import { type Desk, stampOf } from './desk.ts'
import type { Person } from './people.ts'

export const cookieName = 'desk'

export interface Session {
  person: Person
  /** What requests that change something carry in a header, as a page of another site cannot. */
  token: string
}

/**
 * A session that nobody used for so long is over, and any after so long, in milliseconds. One that a provider began lasts
 * no longer than the first: the desk is not told when the provider knows somebody no more.
 */
const [mostIdle, longest] = [12 * 3_600_000, 7 * 24 * 3_600_000]

export const hashSecret = (secret: string): string => createHash('sha256').update(secret).digest('hex')

/** 256 bits, as text. */
export const makeSecret = (): string => randomBytes(32).toString('base64url')

/** In time that does not tell how much of it is right. */
export const isSame = (one: string, other: string): boolean =>
  timingSafeEqual(Buffer.from(hashSecret(one)), Buffer.from(hashSecret(other)))

/** Begins a session, by the ID token of a provider where one said who it is; gives the secret for the cookie. */
export async function beginSession(
  { db, outside }: Desk,
  person: Person,
  openid: string | null = null,
): Promise<string> {
  const [secret, at] = [makeSecret(), stampOf(outside.now())]
  const row = {
    secret: hashSecret(secret),
    name: person.name,
    person: JSON.stringify(person),
    token: makeSecret(),
    begun_at: at,
    seen_at: at,
    openid,
  }
  // What a provider signed of somebody is kept no longer than it has its use.
  const over = stampOf(new Date(outside.now().getTime() - mostIdle))
  await db.deleteFrom('sessions').where('openid', 'is not', null).where('begun_at', '<', over).execute()
  await db.insertInto('sessions').values(row).execute()
  return secret
}

/** Null for a secret of no session, or of one that is over. */
export async function findSession({ db, outside }: Desk, secret: string): Promise<Session | null> {
  const hashed = hashSecret(secret)
  const row = await db.selectFrom('sessions').selectAll().where('secret', '=', hashed).executeTakeFirst()
  if (row === undefined) return null
  const now = outside.now()
  const [idle, age] = [row.seen_at, row.begun_at].map((at) => now.getTime() - Date.parse(at)) as [number, number]
  if (idle > mostIdle || age > (row.openid === null ? longest : mostIdle)) {
    await endSession({ db }, secret)
    return null
  }
  // Each look would be a write else.
  if (idle > 60_000)
    await db
      .updateTable('sessions')
      .set({ seen_at: stampOf(now) })
      .where('secret', '=', hashed)
      .execute()
  return { person: JSON.parse(row.person) as Person, token: row.token }
}

/** Gives the ID token by which it was begun; null for none. */
export async function endSession({ db }: Pick<Desk, 'db'>, secret: string): Promise<string | null> {
  const ended = db.deleteFrom('sessions').where('secret', '=', hashSecret(secret)).returning('openid')
  return (await ended.executeTakeFirst())?.openid ?? null
}
