/**
 * Disks that are full and folders that cannot be written to: whoever acts is told what, where and how to mend it; nothing is
 * lost or half there; and what was not done can be done as soon as there is room.
 */
import { execFileSync, spawn } from 'node:child_process'
import { chmodSync, chownSync, cpSync, mkdirSync, readdirSync, statfsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { text } from 'node:stream/consumers'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { closeArchive, history, initArchive, openArchive } from '../../src/archive/archive.ts'
import { restoreFrom } from '../../src/archive/backup.ts'
import type { ArchiveStorage } from '../../src/archive/storage.ts'
import { auditArchive, isWhole } from '../../src/archive/verify.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { clerk, freshRegister, makeFolder, outsideOf } from './made-archive.ts'
import { type ActName, acts, archiveIn, copyIn, doOnce, openAndDo, prepare, type Told, tell } from './one-act.ts'

let prepared = ''
beforeAll(async () => {
  prepared = await makeFolder()
  await prepare(prepared)
})

async function freshPlace(folder?: string): Promise<string> {
  const place = folder ?? (await makeFolder())
  cpSync(prepared, place, { recursive: true })
  return place
}

const logged = { add: 'received', hold: 'held', dispose: 'disposed', 'back up': 'backed-up' } as const
/** Entries in the log that `prepare` made. */
const before = 7

/** What was done stands in the log, what was not does not; all of it agrees, and the act can be done. */
async function expectSound(place: string, act: ActName, told: Told): Promise<void> {
  const archive = await openArchive(outsideOf(archiveIn(place)))
  try {
    const entries = (await Array.fromAsync(history(archive))).map(({ entry }) => entry.act)
    const isDone = told.code === 'done' || told.code === 'unfinished'
    expect(entries.slice(before)).toEqual(isDone ? [logged[act]] : [])
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
    if (!isDone) await doOnce(archive, place, act)
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
  } finally {
    await closeArchive(archive)
  }
  if (act !== 'back up') return
  const restored = outsideOf(await makeFolder())
  await restoreFrom(archiveFolder(copyIn(place)), restored, clerk, 'copy')
  const copy = await openArchive(restored)
  expect(isWhole(await auditArchive(copy, freshRegister))).toBe(true)
  await closeArchive(copy)
}

/** What, where, and how to mend it. */
function expectTold(told: Told, place: string, codes: readonly string[]): void {
  expect(codes).toContain(told.code)
  if (!('message' in told)) return
  expect(told.message).toContain(place)
  expect(told.mend).toMatch(/Make room|Allow yourself/)
}

/** A storage whose write of that number, and every one after it, finds the disk full: before it begins, or when it has ended. */
function fillingUp(storage: ArchiveStorage, number: number, moment: 'before' | 'after'): ArchiveStorage {
  let count = 0
  const write = async <Result>(work: () => Promise<Result>): Promise<Result> => {
    const isFull = ++count >= number
    const result = isFull && moment === 'before' ? null : await work()
    if (isFull || result === null) throw Object.assign(new Error('ENOSPC: no space left'), { code: 'ENOSPC' })
    return result
  }
  const { log, objects } = storage
  return {
    ...storage,
    log: { ...log, write: (path, bytes) => write(() => log.write(path, bytes)) },
    objects: { ...objects, put: (chunks) => write(() => objects.put(chunks)) },
    writeFile: (name, bytes) => write(() => storage.writeFile(name, bytes)),
    strangers: () => storage.strangers(),
    writeSecret: (name, bytes) => write(() => storage.writeSecret(name, bytes)),
  }
}

describe.each(['before', 'after'] as const)('a disk that is full %s a write', (moment) => {
  test.each(acts)('at any write of the act: %s', async (act) => {
    const codes: string[] = []
    for (let number = 1; codes.at(-1) !== 'done'; number++) {
      const place = await freshPlace()
      const outside = outsideOf(archiveIn(place))
      // A copy fills its own disk.
      const [own, copy] = [outside.storage, archiveFolder(copyIn(place))]
      const [storage, target] =
        act === 'back up' ? [own, fillingUp(copy, number, moment)] : [fillingUp(own, number, moment), copy]
      const archive = await openArchive({ ...outside, storage })
      const told = await doOnce(archive, place, act, target).then(() => ({ code: 'done' }) as const, tell)
      await closeArchive(archive)
      expectTold(told, act === 'back up' ? target.place : storage.place, ['done', 'full', 'unfinished'])
      codes.push(told.code)
      await expectSound(place, act, told)
    }
    // Of every act there are tiles and the checkpoint at least.
    expect(codes.filter((code) => code === 'full').length).toBeGreaterThanOrEqual(2)
    if (act !== 'back up') expect(codes.includes('unfinished')).toBe(moment === 'after')
  })

  test('at any write of its beginning', async () => {
    const codes: string[] = []
    for (let number = 1; codes.at(-1) !== 'done'; number++) {
      const folder = await makeFolder()
      const outside = outsideOf(folder)
      const storage = fillingUp(outside.storage, number, moment)
      const told = await initArchive({ ...outside, storage }, 'archive.example/bay', clerk).then(async (archive) => {
        await closeArchive(archive)
        return { code: 'done' } as const
      }, tell)
      codes.push(told.code)
      expectTold(told, folder, ['done', 'full', 'unfinished'])
      const archive = await (told.code === 'full'
        ? initArchive(outside, 'archive.example/bay', clerk)
        : openArchive(outside))
      expect((await Array.fromAsync(history(archive))).map(({ entry }) => entry.act)).toEqual(['begun'])
      expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
      await closeArchive(archive)
    }
    expect(codes.length).toBeGreaterThan(5)
  })
})

const child = join(import.meta.dirname, 'one-act-child.ts')

/** Does the act in a process of its own: under a limit on the size of files, in kibibytes, or as another user. */
async function inChild(place: string, act: ActName, { limit, user }: { limit?: number; user?: number }): Promise<Told> {
  const own = [process.execPath, child, place, act]
  const [command = '', ...rest] =
    limit === undefined ? own : ['bash', '-c', `ulimit -f ${limit} && exec "$@"`, '-', ...own]
  const running = spawn(command, rest, {
    stdio: ['ignore', 'pipe', 'inherit'],
    ...(user === undefined ? {} : { uid: user, gid: user }),
  })
  return JSON.parse(await text(running.stdout)) as Told
}

describe.skipIf(process.platform === 'win32')('a process that may write no file longer than', () => {
  // From less than a page of the register to more than a photo.
  test.each([1, 24, 64, 160, 288, 800])('%i KiB', async (limit) => {
    const codes = new Set<string>()
    for (const act of acts) {
      const place = await freshPlace()
      const told = await inChild(place, act, { limit })
      expectTold(told, place, ['done', 'full', 'unfinished'])
      codes.add(told.code)
      await expectSound(place, act, told)
    }
    if (limit < 16) expect(codes).toEqual(new Set(['full']))
    if (limit > 600) expect(codes).toEqual(new Set(['done']))
  })
})

const isRoot = process.getuid?.() === 0

/** A small file system in memory; null where this process may not mount one. */
async function mountSmall(): Promise<string | null> {
  const folder = await makeFolder()
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=8m', 'tmpfs', folder], { stdio: 'ignore' })
    return folder
  } catch {
    return null
  }
}

describe('a disk of eight megabytes', async () => {
  const disk = process.platform === 'linux' && isRoot ? await mountSmall() : null
  afterAll(() => {
    if (disk !== null) execFileSync('umount', [disk])
  })

  // Where nothing may be mounted (no root, or a container), the limits on files above stand for it.
  test.skipIf(disk === null).each(acts)('that is full: %s', async (act) => {
    const codes: string[] = []
    for (const [number, pages] of [0, 1, 2, 4, 8, 16, 40, 90, 400].entries()) {
      const place = join(disk ?? '', `${act}-${number}`)
      mkdirSync(place)
      await freshPlace(place)
      const filler = join(disk ?? '', 'filler')
      const { bavail, bsize } = statfsSync(place)
      writeFileSync(filler, Buffer.alloc(Math.max(0, bavail - pages) * bsize))
      const told = await openAndDo(place, act)
      codes.push(told.code)
      execFileSync('rm', [filler])
      expectTold(told, place, ['done', 'full', 'unfinished'])
      await expectSound(place, act, told)
      execFileSync('rm', ['-r', place])
    }
    expect(codes[0]).toBe('full')
    expect(codes.at(-1)).toBe('done')
  })
})

/** Nobody's, by convention; any that owns nothing would do. */
const nobody = 65_534

function openTo(folder: string, mode: { folder: number; file: number }): void {
  chmodSync(folder, mode.folder)
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true }))
    chmodSync(join(entry.parentPath, entry.name), entry.isDirectory() ? mode.folder : mode.file)
}

describe.skipIf(process.platform === 'win32')('a folder that cannot be written to', () => {
  test.each(acts)('is told: %s', async (act) => {
    const place = await freshPlace()
    // Root may write whatever the modes say, so the act is another user's; else modes do it.
    openTo(place, isRoot ? { folder: 0o755, file: 0o644 } : { folder: 0o555, file: 0o444 })
    const told = await inChild(place, act, isRoot ? { user: nobody } : {})
    openTo(place, { folder: 0o755, file: 0o644 })
    expectTold(told, place, ['read-only'])
    await expectSound(place, act, told)
  })

  test('is told of the place of a copy', async () => {
    const place = await freshPlace()
    openTo(place, { folder: 0o755, file: 0o644 })
    mkdirSync(copyIn(place))
    chmodSync(copyIn(place), 0o555)
    if (isRoot) {
      chownSync(archiveIn(place), nobody, nobody)
      for (const own of readdirSync(archiveIn(place), { recursive: true, encoding: 'utf8' }))
        chownSync(join(archiveIn(place), own), nobody, nobody)
    }
    const told = await inChild(place, 'back up', isRoot ? { user: nobody } : {})
    chmodSync(copyIn(place), 0o755)
    expectTold(told, copyIn(place), ['read-only'])
    await expectSound(place, 'back up', told)
  })
})
