/** An archive in a folder: what is kept, what is logged, what the register makes of it. */
import { createHash } from 'node:crypto'
import { chmod, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import canonicalize from 'canonicalize'
import { describe, expect, test } from 'vitest'
import {
  type Archive,
  act,
  closeArchive,
  history,
  initArchive,
  openArchive,
  readObject,
} from '../../src/archive/archive.ts'
import { checkFixity } from '../../src/archive/fixity.ts'
import { appendEntries, openLog } from '../../src/archive/log/log.ts'
import { registerVersion } from '../../src/archive/register/tables.ts'
import { auditArchive, isWhole } from '../../src/archive/verify.ts'
import { clerk, freshRegister, makeArchive, makeFolder, outsideOf, receiveTexts, reopen } from './made-archive.ts'

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex')

async function actsOf(archive: Archive): Promise<string[]> {
  const acts: string[] = []
  for await (const { entry } of history(archive)) acts.push(entry.act)
  return acts
}

const objectsIn = async (folder: string) =>
  (await readdir(join(folder, 'objects'), { recursive: true })).map(String).filter((path) => /[0-9a-f]{64}$/.test(path))

describe('an archive', () => {
  test('begins with its own name, and is begun once', async () => {
    const { archive, outside } = await makeArchive()
    expect(await actsOf(archive)).toEqual(['begun'])
    await expect(initArchive(outside, 'archive.example/bay', clerk)).rejects.toThrow('An archive stands here already')
    await expect(openArchive(outsideOf(await makeFolder()))).rejects.toThrow('There is no archive in ')
  })

  test('that was interrupted while it was begun is begun again', async () => {
    const folder = await makeFolder()
    const outside = outsideOf(folder)
    const failing = {
      ...outside,
      storage: { ...outside.storage, writeFile: () => Promise.reject(new Error('killed')) },
    }
    await expect(initArchive(failing, 'archive.example/bay', clerk)).rejects.toThrow('killed')
    const archive = await initArchive(outside, 'archive.example/bay', clerk)
    expect(await actsOf(archive)).toEqual(['begun'])
    await closeArchive(archive)
  })

  test('keeps identical files once, and gives each back', async () => {
    const { folder, archive, outside } = await makeArchive()
    const first = await receiveTexts(archive, 'one', { 'a.txt': 'same', 'b.txt': 'other' })
    const second = await receiveTexts(archive, 'two', { 'c.txt': 'same' })
    expect([first.accession, second.accession]).toEqual(['2026-0001', '2026-0002'])
    const kept = await objectsIn(folder)
    expect(kept.filter((path) => path.endsWith(sha256('same')))).toHaveLength(1)
    // Two contents and two lists.
    expect(kept).toHaveLength(4)
    const bytes = await readObject(outside.storage, sha256('other'))
    expect(Buffer.from(bytes ?? '').toString()).toBe('other')
  })

  test('receives the very same packet once', async () => {
    const { archive } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': 'same' })
    expect(await receiveTexts(archive, 'one', { 'a.txt': 'same' })).toMatchObject({
      accession: '2026-0001',
      again: true,
    })
    expect(await actsOf(archive)).toEqual(['begun', 'received'])
  })

  test('receives a bag of a packet that it has: its seal would else be lost', async () => {
    const { archive } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': 'same' })
    const bag = { 'data/a.txt': 'same', 'bagit.txt': 'BagIt-Version: 1.0' }
    expect(await receiveTexts(archive, 'one', bag)).toMatchObject({ accession: '2026-0002', again: false })
    expect(await receiveTexts(archive, 'one', bag)).toMatchObject({ accession: '2026-0002', again: true })
  })

  test('chains what was received for one job', async () => {
    const { archive } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': '1' }, { job: 'RO-10482' })
    const other = await receiveTexts(archive, 'two', { 'a.txt': '2' }, { job: 'RO-10483' })
    const later = await receiveTexts(archive, 'three', { 'a.txt': '3' }, { job: 'RO-10482' })
    expect([other.follows, later.follows]).toEqual([null, '2026-0001'])
    await expect(receiveTexts(archive, 'four', { 'a.txt': '4' }, { follows: '2026-0099' })).rejects.toThrow(
      'The archive has no packet 2026-0099',
    )
  })

  test('numbers packets anew in each year, and never gives a number twice where a clock was set back', async () => {
    const clock = { now: new Date('2026-12-31T23:59:59Z') }
    const { archive } = await makeArchive(clock)
    const numbers = [(await receiveTexts(archive, 'one', { a: '1' })).accession]
    clock.now = new Date('2027-01-01T00:00:00Z')
    numbers.push((await receiveTexts(archive, 'two', { a: '2' })).accession)
    clock.now = new Date('2026-12-31T23:59:59Z')
    numbers.push((await receiveTexts(archive, 'three', { a: '3' })).accession)
    expect(numbers).toEqual(['2026-0001', '2027-0001', '2026-0002'])
  })
})

describe('the register', () => {
  test('is made again from the log and the objects where it is lost', async () => {
    const { folder, archive, outside } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': 'same' }, { shop: 'Bay North', job: 'RO-1' })
    const before = await archive.db.selectFrom('packets').selectAll().execute()
    await closeArchive(archive)
    for (const name of ['register.sqlite', 'register.sqlite-wal', 'register.sqlite-shm'])
      await rm(join(folder, name), { force: true })
    const again = await reopen(outside)
    expect(await again.db.selectFrom('packets').selectAll().execute()).toEqual(before)
    expect(isWhole(await auditArchive(again, freshRegister))).toBe(true)
  })

  test('is made anew where an earlier version made it, and knows still what was found sound', async () => {
    const { archive, outside } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': 'same' }, { shop: 'Bay North', job: 'RO-1' })
    await checkFixity(archive, clerk)
    const sound = await archive.db.selectFrom('objects').selectAll().execute()
    expect(sound.every(({ sound_at }) => sound_at !== null)).toBe(true)
    // As another version may have read it.
    await archive.db.updateTable('packets').set({ shop: 'Bay', job: null }).execute()
    await archive.db
      .updateTable('state')
      .set({ version: registerVersion - 1 })
      .execute()
    await closeArchive(archive)
    const again = await reopen(outside)
    expect(await again.db.selectFrom('packets').select(['shop', 'job']).execute()).toEqual([
      { shop: 'Bay North', job: 'RO-1' },
    ])
    expect(await again.db.selectFrom('objects').selectAll().execute()).toEqual(sound)
    expect(await again.db.selectFrom('state').select('version').execute()).toEqual([{ version: registerVersion }])
    expect(isWhole(await auditArchive(again, freshRegister))).toBe(true)
  })

  test('is left alone where a later version made it', async () => {
    const { archive, outside } = await makeArchive()
    const other = await reopen(outside)
    await archive.db
      .updateTable('state')
      .set({ version: registerVersion + 1 })
      .execute()
    const told = { code: 'newer', message: 'A newer witnessmark wrote this register' }
    await expect(openArchive(outside)).rejects.toMatchObject(told)
    await expect(receiveTexts(other, 'one', { 'a.txt': '1' })).rejects.toMatchObject(told)
    expect(await actsOf(other)).toEqual(['begun'])
  })

  test('catches up with acts that were logged before the process died', async () => {
    const { archive, outside } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': '1' })
    // The transaction is undone, as by a kill between the log and the register.
    await expect(
      act(archive, clerk, async () => ({
        entries: [{ act: 'viewed', accession: '2026-0001' }],
        result: undefined,
        after: () => Promise.reject(new Error('killed')),
      })),
    ).rejects.toThrow('killed')
    const known = async (one: Archive) =>
      (await one.db.selectFrom('entries').select('act').execute()).map(({ act: own }) => own)
    expect(await known(archive)).toEqual(['begun', 'received'])
    const again = await reopen(outside)
    expect(await known(again)).toEqual(['begun', 'received', 'viewed'])
    expect(isWhole(await auditArchive(again, freshRegister))).toBe(true)
  })

  test.each([
    ['an act', { act: 'lent' }],
    ['a part of an act', { act: 'viewed', accession: '2026-0001', through: 'a window' }],
    ['a form', { entry: 2, act: 'viewed', accession: '2026-0001' }],
  ])('is not made by a program to which %s in the log is too new, and nothing is written', async (_, own) => {
    const { archive, outside } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': '1' })
    const { log } = outside.storage
    const entry = { entry: 1, at: '2030-01-01T00:00:00Z', by: { name: 'Ada Quill' }, ...own }
    const bytes = new Uint8Array(Buffer.from(canonicalize(entry) ?? ''))
    const { size } = await appendEntries(log, archive.signer, await openLog(log, archive.key), [bytes])
    const told = {
      code: 'newer',
      message: expect.stringContaining('Entry 2 of the log was written by a newer version'),
    }
    await expect(openArchive(outside)).rejects.toMatchObject(told)
    await expect(receiveTexts(archive, 'two', { 'a.txt': '2' })).rejects.toMatchObject(told)
    expect((await openLog(log, archive.key)).size).toBe(size)
  })

  test('is not made from an entry that is none, which is damage', async () => {
    const { archive, outside } = await makeArchive()
    const { log } = outside.storage
    await appendEntries(log, archive.signer, await openLog(log, archive.key), [
      new Uint8Array(Buffer.from('{"act":1}')),
    ])
    await expect(openArchive(outside)).rejects.toMatchObject({ code: 'damaged' })
  })

  test('sees a log whose end was taken away, or that was exchanged for another', async () => {
    const { folder, archive, outside } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': '1' })
    const checkpoint = await readFile(join(folder, 'log/checkpoint'))
    await receiveTexts(archive, 'two', { 'a.txt': '2' })
    await closeArchive(archive)
    await writeFile(join(folder, 'log/checkpoint'), checkpoint)
    await expect(openArchive(outside)).rejects.toThrow('The log has 2 entries, and had 3: its end was taken away')
  })

  test('and its audit see a register that was changed', async () => {
    const { archive } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': '1' })
    await archive.db.updateTable('packets').set({ received_by: 'Somebody else' }).execute()
    expect((await auditArchive(archive, freshRegister)).registerFaults).toEqual(['packets'])
  })

  test('lets one writer in at a time', async () => {
    const { archive, outside } = await makeArchive()
    const other = await reopen(outside)
    const results = await Promise.all(
      Array.from({ length: 20 }, (_, at) =>
        receiveTexts(at % 2 === 0 ? archive : other, `packet ${at}`, { a: `${at}` }),
      ),
    )
    expect(new Set(results.map(({ accession }) => accession)).size).toBe(20)
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
  })
})

describe('an audit of the archive', () => {
  test('names contents that were changed or lost, by the packets that hold them', async () => {
    const { folder, archive } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': 'first', 'b.txt': 'second', 'c.txt': 'third' })
    const pathOf = (text: string) => join(folder, 'objects', sha256(text).slice(0, 2), sha256(text))
    await chmod(pathOf('first'), 0o644)
    await writeFile(pathOf('first'), 'fIrst')
    await rm(pathOf('second'))
    const audit = await auditArchive(archive, freshRegister)
    expect(isWhole(audit)).toBe(false)
    expect(audit.damaged.flatMap(({ names }) => names).sort()).toEqual(['2026-0001/a.txt', '2026-0001/b.txt'])
    // Received again, the good copy takes the place of the bad one.
    await receiveTexts(archive, 'two', { 'a.txt': 'first', 'b.txt': 'second' })
    expect((await auditArchive(archive, freshRegister)).damaged).toEqual([])
  })

  test('names what stands in the folder and belongs to nothing', async () => {
    const { archive } = await makeArchive()
    await archive.outside.storage.objects.put(
      (async function* () {
        yield Buffer.from('nobody’s')
      })(),
    )
    const audit = await auditArchive(archive, freshRegister)
    expect(audit.unnamed).toEqual([sha256('nobody’s')])
    expect(isWhole(audit)).toBe(true)
  })
})

describe('what cannot be written', () => {
  test('is told, and nothing is lost', async () => {
    const { archive, outside } = await makeArchive()
    await receiveTexts(archive, 'one', { 'a.txt': '1' })
    const full = Object.assign(new Error('no space left on device'), { code: 'ENOSPC' })
    const log = { ...outside.storage.log, write: () => Promise.reject(full) }
    const blocked = { ...archive, outside: { ...outside, storage: { ...outside.storage, log } } }
    await expect(receiveTexts(blocked, 'two', { 'a.txt': '2' })).rejects.toThrow('The disk takes no more at')
    expect((await receiveTexts(archive, 'two', { 'a.txt': '2' })).accession).toBe('2026-0002')
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
  })
})
