/** A desk's own file is copied with its archive: what people wrote and who they are, and nothing that lets somebody in. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Kysely, sql } from 'kysely'
import { Migrator } from 'kysely/migration'
import { afterAll, expect, test } from 'vitest'
import { type DeskTables, deskMigrations, migrateDesk } from '../../src/desk/server/tables.ts'
import { copyDeskFile } from '../../src/io/archive/desk-file.ts'
import { openRegisterFile } from '../../src/io/archive/register-file.ts'

const scratch = mkdtempSync(join(tmpdir(), 'desk-file-'))
const [from, to] = [join(scratch, 'archive'), join(scratch, 'copy')]
for (const folder of [from, to]) mkdirSync(folder)
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

async function open(folder: string): Promise<Kysely<DeskTables>> {
  const db = new Kysely<DeskTables>({ dialect: openRegisterFile(join(folder, 'desk.sqlite')) })
  await migrateDesk(db)
  return db
}

test('where there is no desk, nothing is copied', async () => {
  expect(await copyDeskFile(from, to)).toBe(false)
})

test('accounts of a desk that knew passwords alone stay as they were, and its copy is made whichever version it is of', async () => {
  const [earlier, copy] = ['earlier', 'earlier-copy'].map((name) => join(scratch, name)) as [string, string]
  for (const folder of [earlier, copy]) mkdirSync(folder)
  const db = new Kysely<DeskTables>({ dialect: openRegisterFile(join(earlier, 'desk.sqlite')) })
  const provider = { getMigrations: async () => ({ '0001-desk': deskMigrations['0001-desk'] }) }
  await new Migrator({ db, provider }).migrateToLatest()
  await sql`insert into people values ('Ada Quill', '["administrator"]', null, 'scrypt$', 0, '2026-11-25T10:00:00Z')`.execute(
    db,
  )
  await sql`insert into people values ('Bo Lind', '["submitter"]', 'Bay', 'scrypt$', 1, '2026-11-25T10:00:00Z')`.execute(
    db,
  )
  expect(await copyDeskFile(earlier, copy)).toBe(true)
  await db.destroy()
  const bound = { issuer: null, subject: null, email: null, claimed: 0 }
  const common = { password: 'scrypt$', made_at: '2026-11-25T10:00:00Z', ...bound }
  for (const folder of [earlier, copy]) {
    const next = await open(folder)
    expect(await next.selectFrom('people').selectAll().orderBy('name').execute()).toEqual([
      { name: 'Ada Quill', roles: '["administrator"]', shop: null, closed: 0, ...common },
      { name: 'Bo Lind', roles: '["submitter"]', shop: 'Bay', closed: 1, ...common },
    ])
    await next.destroy()
  }
})

test('accounts, tokens, notes and states are copied while the desk is open; sessions and what the log tells are not', async () => {
  const db = await open(from)
  const at = '2026-11-25T10:00:00Z'
  const person = {
    name: 'Ada Quill',
    roles: '["reviewer"]',
    shop: null,
    password: 'scrypt$',
    closed: 0,
    made_at: at,
    issuer: null,
    subject: null,
    email: null,
    claimed: 0,
  } as const
  const token = { token: 't1', secret: 'hash', person: 'Ada Quill', label: 'Intake', made_at: at, used_at: null }
  const note = { note: 1, accession: '2026-0001', at, by_name: 'Ada Quill', text: 'Asked for the post-scan.' }
  const work = { accession: '2026-0001', state: 'asked', assigned: 'Ada Quill' } as const
  await db.insertInto('people').values(person).execute()
  await db.insertInto('tokens').values(token).execute()
  await db.insertInto('notes').values(note).execute()
  await db.insertInto('work').values(work).execute()
  const session = {
    secret: 'hash-of-the-cookie',
    name: 'Ada Quill',
    person: '{}',
    token: 'of-the-page',
    begun_at: at,
    seen_at: at,
    openid: 'header.claims-of-the-id-token.signature',
  }
  await db.insertInto('sessions').values(session).execute()
  await db.insertInto('followed').values({ id: 1, size: 900 }).execute()
  // Twice: a copy that stands already is brought up to date.
  expect([await copyDeskFile(from, to), await copyDeskFile(from, to)]).toEqual([true, true])
  await db.destroy()
  const copy = await open(to)
  expect(await copy.selectFrom('people').selectAll().execute()).toEqual([person])
  expect(await copy.selectFrom('tokens').selectAll().execute()).toEqual([token])
  expect(await copy.selectFrom('notes').selectAll().execute()).toEqual([note])
  expect(await copy.selectFrom('work').selectAll().execute()).toEqual([work])
  for (const table of ['sessions', 'openings', 'answers', 'followed', 'cases', 'decisions'] as const)
    expect(await copy.selectFrom(table).selectAll().execute(), table).toEqual([])
  await copy.destroy()
  for (const secret of ['hash-of-the-cookie', 'claims-of-the-id-token'])
    expect(readFileSync(join(to, 'desk.sqlite')).includes(secret), secret).toBe(false)
  expect(statSync(join(to, 'desk.sqlite')).mode & 0o077).toBe(0)
})
