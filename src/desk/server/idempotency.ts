/**
 * Requests that carry an Idempotency-Key are done once: the same key again gets the first answer, and one that is used for
 * something else is refused. Answers are kept for a day, so that a retry after a lost connection or a restart is safe.
 */
import { createHash } from 'node:crypto'
import { type Desk, stampOf } from './desk.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'

export interface Answer {
  status: number
  /** JSON; empty where there is none. */
  body: string
}

/** How long an answer is kept, in milliseconds. */
const kept = 24 * 3_600_000

export interface Idempotency {
  /** The answer of before; null for a key that is new, which is then at work until `keep` or `giveUp`. Throws ProblemError 400, 409, 422. */
  begin(person: Person, key: string, request: string): Promise<Answer | null>
  keep(person: Person, key: string, request: string, answer: Answer): Promise<void>
  giveUp(person: Person, key: string): void
}

export function openIdempotency({ db, outside }: Desk): Idempotency {
  const atWork = new Set<string>()
  const nameOf = ({ name }: Person, key: string) => JSON.stringify([name, key])
  return {
    async begin(person, key, request) {
      if (key.length < 8 || key.length > 200)
        throw new ProblemError(400, 'The idempotency key has no length that can be', {
          mend: 'Give 8 to 200 characters.',
        })
      const own = nameOf(person, key)
      if (atWork.has(own))
        throw new ProblemError(409, 'The same request is being worked on', { mend: 'Ask again when it is done.' })
      atWork.add(own)
      try {
        await db
          .deleteFrom('answers')
          .where('at', '<', stampOf(new Date(outside.now().getTime() - kept)))
          .execute()
        const found = await db.selectFrom('answers').selectAll().where('key', '=', own).executeTakeFirst()
        if (found === undefined) return null
        atWork.delete(own)
        if (found.request === request) return { status: found.status, body: found.body }
        throw new ProblemError(422, 'This idempotency key was used for another request', { mend: 'Give a new key.' })
      } catch (error) {
        atWork.delete(own)
        throw error
      }
    },
    async keep(person, key, request, { status, body }) {
      const row = { key: nameOf(person, key), request, status, body, at: stampOf(outside.now()) }
      try {
        await db
          .insertInto('answers')
          .values(row)
          .onConflict((it) => it.doNothing())
          .execute()
      } finally {
        atWork.delete(row.key)
      }
    },
    giveUp: (person, key) => atWork.delete(nameOf(person, key)),
  }
}

/** What a request asks for, as one digest. */
export const digestRequest = (method: string, url: string, body: unknown): string =>
  createHash('sha256')
    .update(JSON.stringify([method, url, body ?? null]))
    .digest('hex')
