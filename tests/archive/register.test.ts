/** A register of many packets, made by SQL alone. */
import { Kysely, sql } from 'kysely'
import { expect, test } from 'vitest'
import { migrate } from '../../src/archive/archive.ts'
import { findPackets } from '../../src/archive/register/scope.ts'
import { searchPackets } from '../../src/archive/register/search.ts'
import type { Register } from '../../src/archive/register/tables.ts'
import { openRegisterFile } from '../../src/io/archive/register-file.ts'
import { freshRegister } from './archive-place.ts'

test('is searched for a scope of more packets than a statement takes values (SQLite: 32,766)', async () => {
  const db = await freshRegister()
  const count = 33_000
  const numbers = sql`with recursive n(i) as (select 1 union all select i + 1 from n where i < ${count})`
  await sql`insert into packets ${numbers} select printf('2026-%08d', i), i, '2026-03-15T10:00:00Z', 'job', 'folder',
    'sha256:' || i, 0, i, 1, 1, null, 'clerk', null, 'Bay North', null, null, null from n`.execute(db)
  await sql`insert into facts select accession, 'shop', 'bay north' from packets`.execute(db)
  expect(await findPackets(db, { shop: 'Bay North' })).toHaveLength(count)
  const found = await searchPackets(db, { shop: 'Bay North' }, { limit: 2, after: '2026-00032999' })
  expect(found.map(({ accession }) => accession)).toEqual(['2026-00033000'])
  await db.destroy()
})

test('finds days of calibration by an index', async () => {
  const db = await freshRegister()
  const plan = await sql<{ detail: string }>`explain query plan
    select accession from calibrations where day >= '2026-03-01' and day <= '2026-03-02'`.execute(db)
  expect(plan.rows.map(({ detail }) => detail)).toEqual([expect.stringContaining('calibrations_day')])
  await db.destroy()
})

test('asks no more questions for many packets than for one', async () => {
  const asked: string[] = []
  const db = new Kysely<Register>({
    dialect: openRegisterFile(':memory:'),
    log: ({ query }) => {
      asked.push(query.sql)
    },
  })
  await migrate(db)
  const numbers = sql`with recursive n(i) as (select 1 union all select i + 1 from n where i < 300)`
  await sql`insert into packets ${numbers} select printf('2026-%04d', i), i, '2026-03-15T10:00:00Z', 'job ' || i, 'folder',
    'sha256:' || i, 0, i, 1, 1, null, 'clerk', iif(i % 3 = 0, printf('2026-%04d', i - 1), null), 'Bay North', null, null, null
    from n`.execute(db)
  await sql`insert into facts select accession, 'vin', 'VIN ' || idx from packets`.execute(db)
  await sql`insert into facts select accession, 'vin-declared', 'DECLARED ' || idx from packets`.execute(db)
  await sql`insert into reports select 2 * idx, accession, 'a', 'general', '1.0.0', 'x', '2026-03-15', 'fail', '1' from packets`.execute(
    db,
  )
  await sql`insert into reports select 2 * idx + 1, accession, 'b', 'general', '1.1.0', 'x', '2026-03-16', 'pass', '1' from packets
    where idx % 2 = 0`.execute(db)
  await sql`insert into holds values ('H-0001', 1, 'm', '{}', '', '', '', '', null), ('H-0002', 2, 'm', '{}', '', '', '', '', 3)`.execute(
    db,
  )
  await sql`insert into hold_packets values ('H-0001', '2026-0002'), ('H-0002', '2026-0003')`.execute(db)
  await sql`insert into calibrations select accession, 1, 'front-radar', 'static', 'complete', null, '2026-03-1' || (idx % 5), null,
    null, null, 'serial ' || idx, null from packets`.execute(db)
  asked.length = 0
  const [one] = await searchPackets(db, { accessions: ['2026-0002'] })
  const few = asked.length
  const all = await searchPackets(db, {})
  expect(all).toHaveLength(300)
  expect(asked.length - few).toBeLessThanOrEqual(few)
  expect(all[1]).toEqual(one)
  expect(one).toMatchObject({
    vins: ['VIN 2'],
    declaredVins: ['DECLARED 2'],
    verdict: 'pass',
    rulebook: 'general 1.1.0',
    holds: ['H-0001'],
    followedBy: '2026-0003',
    calibrations: [{ sensor: 'front-radar', outcome: 'complete', day: '2026-03-12', instrument: 'serial 2' }],
  })
  expect(all[2]).toMatchObject({ verdict: 'fail', holds: [], follows: '2026-0002', followedBy: null })
  await db.destroy()
})
