/** Asking the register: which packets are there, and where does their evidence now stand. */
import { type ExpressionBuilder, sql } from 'kysely'
import type { Scope } from '../entry.ts'
import type { Writing } from './project.ts'
import { type FactKind, foldFact } from './report-facts.ts'
import { selectPackets } from './scope.ts'
import type { Register } from './tables.ts'

/** All that is given must fit. */
export interface Search extends Scope {
  plate?: string
  technician?: string
  /** Name or serial number. */
  instrument?: string
  software?: string
  sensor?: string
  code?: string
  make?: string
  verdict?: 'pass' | 'warn' | 'fail'
  /** A check that its last report fails or warns by. */
  finding?: string
  /** A calibration was made on or after, and on or before: `YYYY-MM-DD`, as its record states it. */
  calibratedFrom?: string
  calibratedTo?: string
  /** Destroyed packets, too. */
  disposed?: boolean
}

export interface PacketRow {
  accession: string
  name: string
  receivedAt: string
  shop: string | null
  job: string | null
  vins: string[]
  /** By its packet.yaml, where no file says it. */
  declaredVins: string[]
  /** Of the last report; null where there is none. */
  verdict: 'pass' | 'warn' | 'fail' | null
  reviewed: string | null
  rulebook: string | null
  files: number
  bytes: number
  follows: string | null
  /** A later packet of the same job. */
  followedBy: string | null
  holds: string[]
  disposed: boolean
  /** Days on which sensors were calibrated, as the records state them. */
  calibrations: { sensor: string; outcome: string; day: string | null; instrument: string | null }[]
}

const byFact = ['plate', 'technician', 'software', 'sensor', 'code', 'make'] as const satisfies readonly FactKind[]

/** Packets that fit, oldest first; `after` goes on behind a number, `limit` at a time. */
export async function searchPackets(
  db: Writing,
  search: Search,
  { limit = 1000, after = '' }: { limit?: number; after?: string } = {},
): Promise<PacketRow[]> {
  let query = db.selectFrom('packets').selectAll('packets')
  if (!search.disposed) query = query.where('disposed_idx', 'is', null)
  if (after !== '')
    query = query.where('idx', '>', (it) => it.selectFrom('packets').select('idx').where('accession', '=', after))
  if (hasScope(search))
    query = query.where('accession', 'in', selectPackets(db, search, { disposed: search.disposed ?? false }))
  for (const kind of byFact) {
    const wanted = search[kind]
    if (wanted !== undefined) query = query.where('accession', 'in', withFact(kind, wanted))
  }
  const { instrument } = search
  if (instrument !== undefined)
    query = query.where((it) =>
      it.or([
        it('accession', 'in', withFact('instrument', instrument)),
        it('accession', 'in', withFact('instrument-serial', instrument)),
      ]),
    )
  if (search.verdict !== undefined) query = query.where(lastVerdict, '=', search.verdict)
  const { finding } = search
  if (finding !== undefined)
    query = query.where('accession', 'in', (it) =>
      it
        .selectFrom('findings')
        .select('accession')
        .where('check_id', '=', finding)
        .where('verdict', 'in', ['fail', 'warn']),
    )
  if (search.calibratedFrom !== undefined || search.calibratedTo !== undefined)
    query = query.where('accession', 'in', calibratedBetween(search))
  const rows = await query.orderBy('idx').limit(limit).execute()
  return rows.length === 0 ? [] : describeRows(db, rows)
}

const hasScope = (search: Search): boolean =>
  (['accessions', 'vin', 'job', 'claim', 'shop', 'receivedFrom', 'receivedTo', 'words'] as const).some(
    (key) => search[key] !== undefined,
  )

type Asking = ExpressionBuilder<Register, 'packets'>

const withFact = (kind: FactKind, text: string) => (it: Asking) =>
  it.selectFrom('facts').select('facts.accession').where('kind', '=', kind).where('value', '=', foldFact(kind, text))

/** The instrument, sensor and days must be those of one calibration. */
const calibratedBetween =
  ({ calibratedFrom = '', calibratedTo = '9999', instrument, sensor }: Search) =>
  (it: Asking) => {
    let query = it
      .selectFrom('calibrations')
      .select('calibrations.accession')
      .where('day', '>=', calibratedFrom)
      .where('day', '<=', calibratedTo)
    if (sensor !== undefined) query = query.where('sensor', '=', foldFact('sensor', sensor))
    if (instrument !== undefined)
      query = query.where('instrument', 'in', [
        foldFact('instrument-serial', instrument),
        foldFact('instrument', instrument),
      ])
    return query
  }

const lastVerdict = (it: Asking) =>
  it
    .selectFrom('reports')
    .select('verdict')
    .whereRef('reports.accession', '=', 'packets.accession')
    .orderBy('reports.idx', 'desc')
    .limit(1)

type Row = Register['packets']

/** As many questions for a thousand packets as for one. */
async function describeRows(db: Writing, rows: readonly Row[]): Promise<PacketRow[]> {
  const accessions = rows.map(({ accession }) => accession)
  const facts = await groupRows(
    db
      .selectFrom('facts')
      .select(['accession', 'kind', 'value'])
      .where('accession', 'in', accessions)
      .where('kind', 'in', ['vin', 'vin-declared'])
      .orderBy('value')
      .execute(),
  )
  const calibrations = await groupRows(
    db
      .selectFrom('calibrations')
      .select(['accession', 'sensor', 'outcome', 'day', 'instrument'])
      .where('accession', 'in', accessions)
      .orderBy('number')
      .execute(),
  )
  const reports = await groupRows(
    db
      .selectFrom('reports')
      .select(['accession', 'verdict', 'reviewed', 'rulebook', 'rulebook_version'])
      .where('accession', 'in', accessions)
      .orderBy('idx')
      .execute(),
  )
  const holds = await groupRows(
    db
      .selectFrom('hold_packets')
      .innerJoin('holds', 'holds.hold', 'hold_packets.hold')
      .select(['accession', 'holds.hold'])
      .where('accession', 'in', accessions)
      .where('released_idx', 'is', null)
      .orderBy('holds.idx')
      .execute(),
  )
  const followers = await groupRows(
    db
      .selectFrom('packets')
      .select((it) => [it.ref('follows').$notNull().as('accession'), 'packets.accession as later'])
      .where('follows', 'in', accessions)
      .orderBy('idx')
      .execute(),
  )
  return rows.map((row) => {
    const { accession } = row
    const valuesOf = (wanted: FactKind) =>
      facts(accession)
        .filter(({ kind }) => kind === wanted)
        .map(({ value }) => value)
    const read = valuesOf('vin')
    const report = reports(accession).at(-1)
    return {
      accession,
      name: row.name,
      receivedAt: row.received_at,
      shop: row.shop,
      job: row.job,
      vins: read,
      declaredVins: valuesOf('vin-declared').filter((vin) => !read.includes(vin)),
      verdict: (report?.verdict ?? null) as PacketRow['verdict'],
      reviewed: report?.reviewed ?? null,
      rulebook: report === undefined ? null : `${report.rulebook} ${report.rulebook_version}`,
      files: row.files,
      bytes: row.bytes,
      follows: row.follows,
      followedBy: followers(accession)[0]?.later ?? null,
      holds: holds(accession).map(({ hold }) => hold),
      disposed: row.disposed_idx !== null,
      calibrations: calibrations(accession).map(({ sensor, outcome, day, instrument }) => ({
        sensor,
        outcome,
        day,
        instrument,
      })),
    }
  })
}

/** The rows of each packet, in the order in which they were found. */
async function groupRows<Found extends { accession: string }>(
  asked: Promise<readonly Found[]>,
): Promise<(accession: string) => readonly Found[]> {
  const groups = Map.groupBy(await asked, ({ accession }) => accession)
  return (accession) => groups.get(accession) ?? []
}

/** What was done with one packet: indexes of entries of the log. */
export async function entriesAbout(db: Writing, accession: string): Promise<number[]> {
  const rows = await db
    .selectFrom('entry_packets')
    .select('idx')
    .where('accession', '=', accession)
    .orderBy('idx')
    .execute()
  const held = await db
    .selectFrom('hold_packets')
    .innerJoin('holds', 'holds.hold', 'hold_packets.hold')
    .select(['holds.idx', 'released_idx'])
    .where('accession', '=', accession)
    .execute()
  const all = [...rows, ...held].map(({ idx }) => idx)
  for (const { released_idx } of held) if (released_idx !== null) all.push(released_idx)
  return [...new Set(all)].sort((a, b) => a - b)
}

/** Files of a packet as it was received, sorted by path. */
export async function filesOf(
  db: Writing,
  manifest: string,
): Promise<{ path: string; sha256: string; bytes: number }[]> {
  return db
    .selectFrom('contents')
    .select(['path', 'sha256', 'bytes'])
    .where('manifest', '=', manifest)
    .orderBy(sql`path collate binary`)
    .execute()
}

/** One of the packets that were handed in for a job. */
export interface SubmissionRow {
  accession: string
  name: string
  receivedAt: string
  verdict: PacketRow['verdict']
  follows: string | null
  disposed: boolean
}

/** The packet, what it follows and what follows it, from the first to the last: each time that a job was handed in. */
export async function submissionsOf(db: Writing, accession: string): Promise<SubmissionRow[]> {
  const rows = await db
    .withRecursive('chain(accession, follows)', (it) =>
      it
        .selectFrom('packets')
        .select(['accession', 'follows'])
        .where('accession', '=', accession)
        .union(
          it
            .selectFrom('chain')
            .innerJoin('packets', (join) =>
              join.on((on) =>
                on.or([
                  on('packets.follows', '=', on.ref('chain.accession')),
                  on('packets.accession', '=', on.ref('chain.follows')),
                ]),
              ),
            )
            .select(['packets.accession', 'packets.follows']),
        ),
    )
    .selectFrom('packets')
    .selectAll('packets')
    .select((it) => lastVerdict(it).as('verdict'))
    .where('accession', 'in', (it) => it.selectFrom('chain').select('chain.accession'))
    .orderBy('idx')
    .execute()
  return rows.map(({ accession: own, name, received_at, follows, disposed_idx, verdict }) => ({
    accession: own,
    name,
    receivedAt: received_at,
    verdict: (verdict ?? null) as PacketRow['verdict'],
    follows,
    disposed: disposed_idx !== null,
  }))
}
