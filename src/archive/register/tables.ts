/**
 * The register: what the custody log says, in tables that can be asked. It is made from the log and the objects that the
 * log names, and from nothing else, so it can be thrown away and made again.
 */
import { type Kysely, sql } from 'kysely'
import type { Migration } from 'kysely/migration'

export interface Register {
  /** One row: how much of the log the register knows, and by which version it was made of it. */
  state: { id: 1; size: number; root: string; version: number }
  entries: { idx: number; at: string; act: string; by_name: string }
  /** Which entries are about which packets. */
  entry_packets: { idx: number; accession: string }
  packets: {
    accession: string
    idx: number
    received_at: string
    name: string
    form: string
    digest: string
    bag: 0 | 1
    manifest: string
    files: number
    bytes: number
    handed_by: string | null
    received_by: string
    follows: string | null
    /** As they were stated when it was received. */
    shop: string | null
    job: string | null
    claim: string | null
    /** The entry by which it was destroyed. */
    disposed_idx: number | null
  }
  /** Lists of files: of packets, and of bags made of them. */
  manifests: { manifest: string; accession: string; idx: number; kind: 'packet' | 'bag' }
  contents: { manifest: string; path: string; sha256: string; bytes: number }
  /** Everything that is kept as an object, and when it was last found sound. */
  objects: { sha256: string; bytes: number; sound_at: string | null }
  reports: {
    idx: number
    accession: string
    report: string
    rulebook: string
    rulebook_version: string
    rulebook_sha256: string
    reviewed: string
    verdict: string
    program: string
  }
  /** Objects that hold prints, of every check. */
  prints: { idx: number; accession: string; prints: string }
  /** Packets that can be compared, by the entry that received them; by the prints of their last check. */
  printed: {
    packet: number
    accession: string
    prints: string
    vin: string | null
    job: string | null
    shop: string | null
  }
  /** How many rows `printed` has: counting them would cost more than a look-up. */
  tallies: { what: 'printed'; count: number }
  /** Under which keys files are found that are alike: `packet` and the number of the file in its prints. */
  bands: { key: number; packet: number; file: number }
  /** Who was certainly at work from and to, seconds since 1970. */
  engagements: {
    who: string
    name: string
    starts: number
    packet: number
    number: number
    ends: number
    file: string
    label: string
  }
  /** What the last report on a packet read, for searches: see `facts.ts`. */
  facts: { accession: string; kind: string; value: string }
  findings: { accession: string; check_id: string; verdict: string; message: string }
  /** Calibrations of the last report, for audits. */
  calibrations: {
    accession: string
    number: number
    sensor: string
    method: string
    outcome: string
    /** Local or with its offset, as the record states it. */
    started: string | null
    day: string | null
    duration_seconds: number | null
    drive_seconds: number | null
    technician: string | null
    instrument: string | null
    software: string | null
  }
  holds: {
    hold: string
    idx: number
    matter: string
    scope: string
    placed_at: string
    placed_by: string
    why: string
    authority: string
    released_idx: number | null
  }
  hold_packets: { hold: string; accession: string }
  proposals: { idx: number; accession: string; by_name: string; certificate: string | null }
  witnesses: { key: string; idx: number }
  /** Certificates, by SHA-256, of people who may propose and agree to disposals. */
  custodians: { certificate: string; name: string; idx: number }
}

const first: Migration = {
  async up(db: Kysely<unknown>): Promise<void> {
    for (const statement of firstTables) await sql.raw(statement).execute(db)
  },
}

const firstTables = [
  'create table state (id integer primary key check (id = 1), size integer not null, root text not null) strict',
  'create table entries (idx integer primary key, at text not null, act text not null, by_name text not null) strict',
  'create table entry_packets (accession text not null, idx integer not null, primary key (accession, idx)) strict, without rowid',
  `create table packets (accession text primary key, idx integer not null, received_at text not null, name text not null,
    form text not null, digest text not null, bag integer not null, manifest text not null, files integer not null,
    bytes integer not null, handed_by text, received_by text not null, follows text,
    shop text, job text, claim text, disposed_idx integer) strict, without rowid`,
  'create unique index packets_idx on packets (idx)',
  'create index packets_digest on packets (digest)',
  'create index packets_job on packets (job)',
  'create index packets_received on packets (received_at)',
  'create index packets_follows on packets (follows)',
  `create table manifests (manifest text not null, accession text not null, idx integer not null, kind text not null,
    primary key (manifest, accession)) strict, without rowid`,
  'create index manifests_accession on manifests (accession)',
  `create table contents (manifest text not null, path text not null, sha256 text not null, bytes integer not null,
    primary key (manifest, path)) strict, without rowid`,
  'create index contents_sha256 on contents (sha256)',
  'create table objects (sha256 text primary key, bytes integer not null, sound_at text) strict, without rowid',
  'create index objects_sound on objects (sound_at, sha256)',
  `create table reports (idx integer primary key, accession text not null, report text not null, rulebook text not null,
    rulebook_version text not null, rulebook_sha256 text not null, reviewed text not null, verdict text not null,
    program text not null) strict`,
  'create index reports_accession on reports (accession, idx)',
  'create index reports_report on reports (report)',
  `create table facts (accession text not null, kind text not null, value text not null,
    primary key (kind, value, accession)) strict, without rowid`,
  'create index facts_accession on facts (accession)',
  `create table findings (accession text not null, check_id text not null, verdict text not null, message text not null,
    primary key (check_id, verdict, message, accession)) strict, without rowid`,
  'create index findings_accession on findings (accession)',
  `create table calibrations (accession text not null, number integer not null, sensor text not null, method text not null,
    outcome text not null, started text, day text, duration_seconds real, drive_seconds real, technician text, instrument text,
    software text, primary key (accession, number)) strict, without rowid`,
  'create index calibrations_instrument on calibrations (instrument, day)',
  `create table holds (hold text primary key, idx integer not null, matter text not null, scope text not null,
    placed_at text not null, placed_by text not null, why text not null, authority text not null, released_idx integer) strict, without rowid`,
  'create table hold_packets (hold text not null, accession text not null, primary key (accession, hold)) strict, without rowid',
  `create table proposals (idx integer not null, accession text not null, by_name text not null, certificate text,
    primary key (accession, idx)) strict, without rowid`,
  'create table custodians (certificate text primary key, name text not null, idx integer not null) strict, without rowid',
  'create table witnesses (key text primary key, idx integer not null) strict, without rowid',
]

/** A row of `bands` has about 15 bytes: a key of 48 bits stands for the kind of print, its band and the band's values. */
const seenTables = [
  `create table prints (idx integer primary key, accession text not null, prints text not null) strict`,
  'create index prints_accession on prints (accession)',
  'create index prints_prints on prints (prints)',
  `create table printed (packet integer primary key, accession text not null, prints text not null, vin text, job text,
    shop text) strict`,
  'create unique index printed_accession on printed (accession)',
  'create table tallies (what text primary key, count integer not null) strict, without rowid',
  `create table bands (key integer not null, packet integer not null, file integer not null,
    primary key (key, packet, file)) strict, without rowid`,
  `create table engagements (who text not null, name text not null, starts integer not null, packet integer not null,
    number integer not null, ends integer not null, file text not null, label text not null,
    primary key (who, name, starts, packet, number)) strict, without rowid`,
  'create index engagements_packet on engagements (packet)',
]

const seen: Migration = {
  async up(db: Kysely<unknown>): Promise<void> {
    for (const statement of seenTables) await sql.raw(statement).execute(db)
  },
}

/** Days without an instrument would else be looked for in every calibration. */
const days: Migration = {
  async up(db: Kysely<unknown>): Promise<void> {
    await sql.raw('create index calibrations_day on calibrations (day, accession)').execute(db)
  },
}

/** Registers that were made before versions were noted have 0. */
const version: Migration = {
  async up(db: Kysely<unknown>): Promise<void> {
    await sql.raw('alter table state add column version integer not null default 0').execute(db)
  },
}

/** In the order in which they are applied; a name once shipped is never changed. */
export const migrations: Record<string, Migration> = {
  '0001-tables': first,
  '0002-seen': seen,
  '0003-days': days,
  '0004-version': version,
}

/**
 * Of what the register is made into: raised whenever entries, reports or prints are brought in otherwise than before, and for
 * every act that is new. A register of an earlier version is made anew when it is opened; one of a later is left alone.
 */
export const registerVersion = 1

/** What is made from the log alone: `state` says how far, and `objects` knows besides when fixity found something sound. */
export const madeTables = [
  'entries',
  'entry_packets',
  'packets',
  'manifests',
  'contents',
  'reports',
  'prints',
  'printed',
  'tallies',
  'bands',
  'engagements',
  'facts',
  'findings',
  'calibrations',
  'holds',
  'hold_packets',
  'proposals',
  'witnesses',
  'custodians',
] as const satisfies readonly (keyof Register)[]
