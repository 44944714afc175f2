/**
 * The desk's own file, beside the archive: how work on packets stands, notes, sessions. What it tells of packets and
 * decisions is made from the archive's log and register and can be made again; states, people's names and notes cannot.
 */
import { type Kysely, sql } from 'kysely'
import { type Migration, Migrator } from 'kysely/migration'
import type { State } from '../contract.ts'

export interface DeskTables {
  /** One row: how much of the archive's log the desk has followed. */
  followed: { id: 1; size: number }
  /** A packet as the queue shows it. `words`: what is searched, lower case. */
  cases: {
    accession: string
    idx: number
    name: string
    received_at: string
    shop: string | null
    job: string | null
    claim: string | null
    vin: string | null
    vehicle: string | null
    verdict: 'pass' | 'warn' | 'fail' | null
    fail: number
    warn: number
    pass: number
    not_checked: number
    worst: string | null
    files: number
    bytes: number
    follows: string | null
    followed_by: string | null
    /** Of the holds in force, a JSON array. */
    holds: string
    words: string
  }
  /** What people say of how their work stands; packets without a row are new. */
  work: { accession: string; state: State; assigned: string | null }
  decisions: {
    entry: number
    accession: string
    at: string
    by_name: string
    ruling: 'accepted' | 'contested' | 'settled'
    why: string
    check_id: string
    finding: string
  }
  notes: { note: number; accession: string; at: string; by_name: string; text: string }
  /** `secret`: SHA-256 of what the cookie holds. */
  sessions: {
    secret: string
    name: string
    person: string
    token: string
    begun_at: string
    seen_at: string
    /** The ID token by which it was begun; null for one that a password or a link began. */
    openid: string | null
  }
  /** Accounts; none on a desk of one's own machine. `roles`: a JSON array. `password`: see `hashPassword`. */
  people: {
    name: string
    roles: string
    shop: string | null
    /** Null for somebody who signs in elsewhere alone. */
    password: string | null
    closed: 0 | 1
    made_at: string
    /** Of the provider that says who they are; null for a password alone. */
    issuer: string | null
    /** As that provider calls them; null until somebody with the address `email` signs in. */
    subject: string | null
    email: string | null
    /** 1: the provider lets them in, and says their roles at each sign-in. */
    claimed: 0 | 1
  }
  /** Sign-ins that a browser went to the provider for. `state`, `browser`: SHA-256, of what comes back and of a cookie. */
  openings: { state: string; browser: string; back: string; nonce: string; verifier: string; begun_at: string }
  /** API tokens. `secret`: SHA-256; `token`: its beginning, by which it is called. */
  tokens: { token: string; secret: string; person: string; label: string; made_at: string; used_at: string | null }
  /** Answers to requests that carried an Idempotency-Key, for a day. */
  answers: { key: string; request: string; status: number; body: string; at: string }
}

const tables = [
  'create table followed (id integer primary key check (id = 1), size integer not null) strict',
  `create table cases (accession text primary key, idx integer not null, name text not null, received_at text not null,
    shop text, job text, claim text, vin text, vehicle text, verdict text, fail integer not null, warn integer not null,
    pass integer not null, not_checked integer not null, worst text, files integer not null, bytes integer not null,
    follows text, followed_by text, holds text not null, words text not null) strict, without rowid`,
  'create unique index cases_idx on cases (idx)',
  'create index cases_shop on cases (shop)',
  `create table work (accession text primary key, state text not null, assigned text) strict, without rowid`,
  `create table decisions (entry integer primary key, accession text not null, at text not null, by_name text not null,
    ruling text not null, why text not null, check_id text not null, finding text not null) strict`,
  'create index decisions_accession on decisions (accession)',
  `create table notes (note integer primary key autoincrement, accession text not null, at text not null,
    by_name text not null, text text not null) strict`,
  'create index notes_accession on notes (accession)',
  `create table sessions (secret text primary key, name text not null, person text not null, token text not null, begun_at text not null,
    seen_at text not null) strict, without rowid`,
  'create index sessions_name on sessions (name)',
  `create table people (name text primary key, roles text not null, shop text, password text not null,
    closed integer not null, made_at text not null) strict, without rowid`,
  `create table tokens (token text primary key, secret text not null unique, person text not null, label text not null,
    made_at text not null, used_at text) strict, without rowid`,
  `create table answers (key text primary key, request text not null, status integer not null, body text not null,
    at text not null) strict, without rowid`,
]

/** An account may do without a password. */
const signIn = [
  `create table people_next (name text primary key, roles text not null, shop text, password text,
    closed integer not null, made_at text not null, issuer text, subject text, email text,
    claimed integer not null default 0) strict, without rowid`,
  `insert into people_next (name, roles, shop, password, closed, made_at)
    select name, roles, shop, password, closed, made_at from people`,
  'drop table people',
  'alter table people_next rename to people',
  'create unique index people_subject on people (issuer, subject) where subject is not null',
  'create unique index people_email on people (issuer, email) where subject is null and email is not null',
  'alter table sessions add column openid text',
  `create table openings (state text primary key, browser text not null, back text not null, nonce text not null,
    verifier text not null, begun_at text not null) strict, without rowid`,
]

const steps = (statements: readonly string[]): Migration => ({
  async up(db: Kysely<unknown>): Promise<void> {
    for (const statement of statements) await sql.raw(statement).execute(db)
  },
})

export const deskMigrations = { '0001-desk': steps(tables), '0002-openid': steps(signIn) }

/** Brings the desk's file to this version's tables. Rejects where a newer version wrote it. */
export async function migrateDesk(db: Kysely<DeskTables>): Promise<void> {
  const { error } = await new Migrator({
    db,
    provider: { getMigrations: async () => deskMigrations },
  }).migrateToLatest()
  if (error !== undefined) throw error
}
