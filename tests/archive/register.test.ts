/** A register of many packets, made by SQL alone. */
import { sql } from 'kysely'
import { expect, test } from 'vitest'
import { findPackets } from '../../src/archive/register/scope.ts'
import { searchPackets } from '../../src/archive/register/search.ts'
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
