/** Sign-ins that a browser went to the provider for: each is taken once, by the browser that began it, and for a while. */
import { type Desk, stampOf } from '../desk.ts'
import { hashSecret, makeSecret } from '../sessions.ts'
import type { Opening } from './provider.ts'

/** How long somebody may take to sign in there, in seconds. */
export const openingSeconds = 600

export interface KeptOpening extends Opening {
  /** Where the browser was sent back to. */
  back: string
}

/** Remembers it; gives the secret for the cookie by which the browser is known when it comes back. */
export async function keepOpening({ db, outside }: Desk, { state, ...opening }: KeptOpening): Promise<string> {
  const browser = makeSecret()
  const [now, { nonce, verifier, back }] = [outside.now(), opening]
  await db.deleteFrom('openings').where('begun_at', '<', lastOf(now)).execute()
  await db
    .insertInto('openings')
    .values({ state: hashSecret(state), browser: hashSecret(browser), back, nonce, verifier, begun_at: stampOf(now) })
    .execute()
  return browser
}

/** Null for one that was not begun, was taken, is too old, or was begun by another browser; in each case it is gone. */
export async function takeOpening({ db, outside }: Desk, state: string, browser: string): Promise<KeptOpening | null> {
  const row = await db.deleteFrom('openings').where('state', '=', hashSecret(state)).returningAll().executeTakeFirst()
  if (row === undefined || row.browser !== hashSecret(browser) || row.begun_at < lastOf(outside.now())) return null
  return { state, back: row.back, nonce: row.nonce, verifier: row.verifier }
}

const lastOf = (now: Date): string => stampOf(new Date(now.getTime() - openingSeconds * 1000))
