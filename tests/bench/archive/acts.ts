/** What ordinary work with an archive costs as it grows: to add, to list, to search; and what a packet takes on the disk. */
import { mkdirSync, readdirSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'
import { type Archive, closeArchive, initArchive, openArchive } from '../../../src/archive/archive.ts'
import { type Search, searchPackets } from '../../../src/archive/register/search.ts'
import { clerk, outsideOf } from '../../archive/archive-place.ts'
import { keep } from '../../archive/seen/kept-packets.ts'
import { median } from '../timing.ts'
import type { Asked } from './asked.ts'
import { vinOf } from './fill.ts'
import { fillArchive, jobOf, shopOf } from './fill-archive.ts'

/** Milliseconds of the processor, medians. */
export type ActTimes = Record<'open' | 'add' | 'list' | 'vin' | 'job' | 'shop' | 'days', number>
/** Bytes on the disk a packet. Of objects: what a packet adds beside its own files. */
export type Growth = Record<'log' | 'register' | 'index' | 'objects', number>

const rounds = 30

export async function measureActs(
  folder: string,
  packets: number,
  added: readonly Asked[],
): Promise<{ times: ActTimes; growth: Growth }> {
  const root = join(folder, `archive-${packets}`)
  mkdirSync(join(root, 'objects'), { recursive: true })
  const register = join(root, 'register.sqlite')
  const begun = await initArchive(outsideOf(root), 'bench.example/bay', clerk)
  await fillArchive(begun, register, packets)
  await closeArchive(begun)
  const log = bytesIn(join(root, 'log')) / packets
  const tables = bytesOfTables(register)
  const archive = await openArchive(outsideOf(root))
  const before = bytesIn(join(root, 'objects'))
  const times = await timeActs(archive, packets, added.slice(0, rounds))
  const objects = (bytesIn(join(root, 'objects')) - before) / rounds
  await closeArchive(archive)
  const open = await medianOf(async () => closeArchive(await openArchive(outsideOf(root))))
  rmSync(root, { recursive: true })
  const growth = { log, register: tables.register / packets, index: tables.index / packets, objects }
  return { times: { open, ...times }, growth }
}

async function timeActs(archive: Archive, packets: number, added: readonly Asked[]): Promise<Omit<ActTimes, 'open'>> {
  const { db } = archive
  const find = (search: (packet: number) => Search, limit = 1000) =>
    medianOf(async (round) => {
      const found = await searchPackets(db, search(1 + ((round * 7919) % packets)), { limit })
      if (found.length === 0) throw new Error(`Nothing was found by ${JSON.stringify(search(1))}`)
    })
  const add = await medianOf(async (round) => {
    const one = added[round]
    if (one !== undefined) await keep(archive, one.original)
  })
  return {
    add,
    list: await find(() => ({}), 100),
    vin: await find((packet) => ({ vin: vinOf(packet) })),
    job: await find((packet) => ({ job: jobOf(packet) })),
    shop: await find((packet) => ({ shop: shopOf(packet) })),
    days: await find(() => ({ calibratedFrom: '2026-03-01', calibratedTo: '2026-03-02' }), 10),
  }
}

async function medianOf(work: (round: number) => Promise<void>): Promise<number> {
  const spent: number[] = []
  for (let round = 0; round < rounds; round++) {
    const from = process.cpuUsage()
    await work(round)
    const { user, system } = process.cpuUsage(from)
    spent.push((user + system) / 1000)
  }
  return median(spent)
}

const bytesIn = (folder: string): number =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0)

/** Of the tables by which copies are found, and of all others. */
function bytesOfTables(path: string): { index: number; register: number } {
  const database = new DatabaseSync(path, { readOnly: true })
  const rows = database.prepare('select name, sum(pgsize) as bytes from dbstat group by name').all()
  database.close()
  const result = { index: 0, register: 0 }
  for (const { name, bytes } of rows)
    result[/^(?:sqlite_autoindex_)?(?:bands|engagements|printed|prints)/.test(String(name)) ? 'index' : 'register'] +=
      Number(bytes)
  return result
}
