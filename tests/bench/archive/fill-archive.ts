/** Whole archives of any size but for their contents: a log of simulated receipts, and a register that follows it. */
import { DatabaseSync } from 'node:sqlite'
import type { Archive } from '../../../src/archive/archive.ts'
import { appendEntries, type Head, openLog } from '../../../src/archive/log/log.ts'
import { type FactKind, foldFact } from '../../../src/archive/register/report-facts.ts'
import { accessionOf, digestOf, fillRegister, vinOf } from './fill.ts'

export const jobOf = (packet: number): string => `RO${packet}`
/** A large archive is of more shops, not of busier ones. */
export const shopOf = (packet: number): string => `BAY ${Math.floor(packet / 100)}`

const entriesAtOnce = 10_000

/** Puts receipts of so many packets into an archive that is new, the log first, as an act does; `path`: of its register. */
export async function fillArchive(archive: Archive, path: string, packets: number): Promise<void> {
  const { log } = archive.outside.storage
  let head = await openLog(log, archive.key)
  for (let from = 1; from <= packets; from += entriesAtOnce) {
    const count = Math.min(entriesAtOnce, packets - from + 1)
    head = await appendEntries(
      log,
      archive.signer,
      head,
      Array.from({ length: count }, (_, at) => makeEntry(from + at)),
    )
  }
  fillRegister(path, packets)
  fillRecords(path, packets, head)
}

const makeEntry = (packet: number): Uint8Array =>
  Buffer.from(
    JSON.stringify({
      accession: accessionOf(packet),
      act: 'received',
      at: '2026-03-15T10:00:00Z',
      by: { name: 'clerk' },
      bytes: 1_000_000,
      entry: 1,
      files: 8,
      job: jobOf(packet),
      manifest: digestOf(packet),
      packet: { bag: false, digest: `sha256:${digestOf(packet)}`, form: 'folder', name: 'job' },
      shop: shopOf(packet),
    }),
  )

/** What a report on an ordinary packet is asked for by; keys come in the order of the disk. */
const facts: readonly (readonly [kind: FactKind, value: (packet: number) => string])[] = [
  ['instrument-serial', (packet) => `A${String(packet % 400).padStart(8, '0')}`],
  ['job', jobOf],
  ['plate', (packet) => `P${packet}`],
  ['sensor', (packet) => (packet % 2 === 0 ? 'front-radar' : 'front-camera')],
  ['shop', shopOf],
  ['technician', (packet) => `TECHNICIAN ${Math.floor(packet / 200)}`],
  ['vin', vinOf],
]

function fillRecords(path: string, packets: number, { size, root }: Head): void {
  const database = new DatabaseSync(path)
  database.exec('PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -65536; BEGIN')
  const insert = (table: string, row: (packet: number) => (string | number)[]) => {
    const statement = database.prepare(`insert into ${table} values (${row(1).map(() => '?')})`)
    for (let packet = 1; packet <= packets; packet++) statement.run(...row(packet))
  }
  const day = (packet: number) => new Date(Date.UTC(2026, 0, 1 + (packet % 365))).toISOString().slice(0, 10)
  insert('entries', (packet) => [packet, '2026-03-15T10:00:00Z', 'received', 'clerk'])
  insert('entry_packets', (packet) => [accessionOf(packet), packet])
  insert('objects', (packet) => [digestOf(packet), 1000, '2026-03-15T10:00:00Z'])
  insert('reports', (packet) => [
    packet,
    accessionOf(packet),
    digestOf(packet),
    'general',
    '1',
    'r',
    day(1),
    'pass',
    '1',
  ])
  for (const [kind, value] of facts)
    insert('facts', (packet) => [accessionOf(packet), kind, foldFact(kind, value(packet))])
  insert('findings', (packet) => [accessionOf(packet), `check-${packet % 50}`, 'pass', 'as it should be'])
  insert('calibrations (accession, number, sensor, method, outcome, day, instrument)', (packet) => [
    accessionOf(packet),
    0,
    'front-radar',
    'static',
    'completed',
    day(packet),
    `A${String(packet % 400).padStart(8, '0')}`,
  ])
  database.prepare('update state set size = ?, root = ?').run(size, Buffer.from(root).toString('hex'))
  database.exec('COMMIT')
  database.close()
}
