/** The queue: packets that fit, a page at a time, and how many there are of each kind. */
import { type ExpressionBuilder, type RawBuilder, sql } from 'kysely'
import type { QueueOrder, QueuePage, QueueQuery, QueueRow, State } from '../contract.ts'
import { states } from '../contract.ts'
import { foldWords } from './cases.ts'
import type { Desk } from './desk.ts'
import { type Person, seesAll } from './people.ts'
import { ProblemError } from './problem.ts'
import type { DeskTables } from './tables.ts'

const stateOf = (it: ExpressionBuilder<DeskTables & { work: DeskTables['work'] }, 'work'>) =>
  it.fn.coalesce('work.state', sql.lit<State>('new'))

const withWork = ({ db }: Desk) => db.selectFrom('cases').leftJoin('work', 'work.accession', 'cases.accession')

/** Every packet that `person` may know of. */
function visibleTo(desk: Desk, person: Person) {
  const query = withWork(desk)
  return seesAll(person) ? query : query.where('cases.shop', '=', person.shop ?? '')
}

/** Fail first where verdicts order; what was not checked comes last. */
const verdictRank = sql<number>`case cases.verdict when 'fail' then 0 when 'warn' then 1 when 'pass' then 2 else 3 end`
const stateRank = sql<number>`case coalesce(work.state, 'new') when 'new' then 0 when 'in-review' then 1 when 'asked' then 2 else 3 end`

const keys: Record<QueueOrder, RawBuilder<string | number>> = {
  received: sql<number>`cases.idx`,
  verdict: verdictRank,
  name: sql<string>`lower(cases.name)`,
  shop: sql<string>`lower(coalesce(cases.shop, ''))`,
  state: stateRank,
  assigned: sql<string>`lower(coalesce(work.assigned, ''))`,
}

/** A page of the queue. `after` is what an earlier page gave as `next`; throws ProblemError 400 for any other. */
export async function readQueue(desk: Desk, person: Person, query: QueueQuery): Promise<QueuePage> {
  const { order = 'received', limit = 50 } = query
  const down = query.down ?? order === 'received'
  const fitting = narrow(visibleTo(desk, person), query)
  const key = keys[order]
  let page = selectRows(fitting).select(key.as('sorted'))
  if (query.after !== undefined) {
    const [value, idx] = readCursor(query.after)
    const beyond = down ? '<' : '>'
    page = page.where(
      sql<boolean>`(${key} ${sql.raw(beyond)} ${value} or (${key} = ${value} and cases.idx ${sql.raw(beyond)} ${idx}))`,
    )
  }
  const direction = down ? 'desc' : 'asc'
  const rows = await page
    .orderBy(key, direction)
    .orderBy('cases.idx', direction)
    .limit(limit + 1)
    .execute()
  const [{ total } = { total: 0 }] = await fitting.select(countAll.as('total')).execute()
  const last = rows.length > limit ? rows[limit - 1] : undefined
  return {
    rows: rows.slice(0, limit).map(describeRow),
    next: last === undefined ? null : formatCursor(last.sorted, last.idx),
    total,
    ...(await tally(desk, person)),
  }
}

const countAll = sql<number>`count(*)`

/** What `describeRow` needs. */
const selectRows = (query: ReturnType<typeof visibleTo>) =>
  query
    .selectAll('cases')
    .select((it) => [
      'work.assigned',
      stateOf(it).as('state'),
      it
        .selectFrom('notes')
        .whereRef('notes.accession', '=', 'cases.accession')
        .select(countAll.as('count'))
        .as('noted'),
      it
        .selectFrom('decisions')
        .whereRef('decisions.accession', '=', 'cases.accession')
        .select(countAll.as('count'))
        .as('decided'),
    ])

function narrow(query: ReturnType<typeof visibleTo>, { words = '', verdict, state, assigned, shop, held }: QueueQuery) {
  let narrowed = query
  for (const word of foldWords(words)
    .split(/\s+/)
    .filter((one) => one !== ''))
    narrowed = narrowed.where(sql<boolean>`instr(cases.words, ${word}) > 0`)
  if (verdict !== undefined)
    narrowed =
      verdict === 'none' ? narrowed.where('cases.verdict', 'is', null) : narrowed.where('cases.verdict', '=', verdict)
  if (state !== undefined) narrowed = narrowed.where((it) => it(stateOf(it), '=', state))
  if (assigned === 'nobody') narrowed = narrowed.where('work.assigned', 'is', null)
  else if (assigned !== undefined) narrowed = narrowed.where('work.assigned', '=', assigned)
  if (shop !== undefined) narrowed = narrowed.where('cases.shop', '=', shop)
  if (held !== undefined) narrowed = narrowed.where('cases.holds', held ? '!=' : '=', '[]')
  return narrowed
}

async function tally(desk: Desk, person: Person): Promise<Pick<QueuePage, 'tallies' | 'shops' | 'assigned'>> {
  const all = () => visibleTo(desk, person)
  const byState = await all()
    .select((it) => [stateOf(it).as('key'), countAll.as('count')])
    .groupBy('key')
    .execute()
  const byVerdict = await all()
    .select((it) => [it.fn.coalesce('cases.verdict', sql.lit('none' as const)).as('key'), countAll.as('count')])
    .groupBy('key')
    .execute()
  const [held] = await all().where('cases.holds', '!=', '[]').select(countAll.as('count')).execute()
  const shops = await all()
    .select('cases.shop')
    .where('cases.shop', 'is not', null)
    .distinct()
    .orderBy('cases.shop')
    .limit(mostChoices)
    .execute()
  const assigned = await all()
    .select('work.assigned')
    .where('work.assigned', 'is not', null)
    .distinct()
    .orderBy('work.assigned')
    .limit(mostChoices)
    .execute()
  return {
    tallies: {
      state: count(states, byState),
      verdict: count(['fail', 'warn', 'pass', 'none'] as const, byVerdict),
      held: held?.count ?? 0,
    },
    shops: shops.flatMap(({ shop }) => shop ?? []),
    assigned: assigned.flatMap(({ assigned: name }) => name ?? []),
  }
}

const mostChoices = 500

function count<Key extends string>(names: readonly Key[], rows: readonly { key: string; count: number }[]) {
  return Object.fromEntries(names.map((name) => [name, rows.find(({ key }) => key === name)?.count ?? 0])) as Record<
    Key,
    number
  >
}

const formatCursor = (value: string | number, idx: number): string =>
  Buffer.from(JSON.stringify([value, idx])).toString('base64url')

function readCursor(text: string): [string | number, number] {
  try {
    const [value, idx] = JSON.parse(Buffer.from(text, 'base64url').toString()) as unknown[]
    if ((typeof value === 'string' || typeof value === 'number') && typeof idx === 'number') return [value, idx]
  } catch {
    // Said below.
  }
  throw new ProblemError(400, 'There is no such page', { mend: 'Give "next" of the page before as "after".' })
}

type Row = DeskTables['cases'] & {
  state: State
  assigned: string | null
  noted: number | null
  decided: number | null
}

function describeRow(row: Row): QueueRow {
  const { fail, warn, pass, not_checked: notChecked, verdict } = row
  return {
    accession: row.accession,
    name: row.name,
    receivedAt: row.received_at,
    shop: row.shop,
    job: row.job,
    claim: row.claim,
    vin: row.vin,
    vehicle: row.vehicle,
    verdict,
    counts: verdict === null ? null : { fail, warn, pass, notChecked },
    worst: row.worst,
    files: row.files,
    bytes: row.bytes,
    state: row.state,
    assigned: row.assigned,
    notes: row.noted ?? 0,
    decisions: row.decided ?? 0,
    holds: JSON.parse(row.holds) as string[],
    follows: row.follows,
    followedBy: row.followed_by,
  }
}

/** One packet as the queue shows it. Throws ProblemError 404 for one that is not there, or not for this person's eyes. */
export async function readCase(desk: Desk, person: Person, accession: string): Promise<QueueRow> {
  const row = await selectRows(visibleTo(desk, person)).where('cases.accession', '=', accession).executeTakeFirst()
  if (row === undefined)
    throw new ProblemError(404, `There is no packet ${accession}`, { mend: 'See the queue for those that are there.' })
  return describeRow(row)
}
