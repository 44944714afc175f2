/** Registers of archives of any size, filled with simulated packets in the order of the disk, so that a million takes minutes. */
import { DatabaseSync } from 'node:sqlite'
import { mix32 } from '../../../src/archive/seen/minhash.ts'

/** Files with prints in a packet: a report of 20 bands and its marks, a photo and a drive of 20 bands each. */
const keysPerPacket = 61
const filesPerPacket = 3
/** Sessions of an instrument, over three years. */
const [sessionsPerPacket, instruments, seconds] = [2, 400, 3 * 365 * 86_400]
/** Of files that are kept byte for byte. */
const contentsPerPacket = 3

const even = (seed: number): number => mix32(seed) / 2 ** 32

/** Packets from the entry 1 on; `register.sqlite` has its tables already. Returns the rows written. */
export function fillRegister(path: string, packets: number): number {
  const database = new DatabaseSync(path)
  database.exec('PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -65536; BEGIN')
  const rows =
    fillPackets(database, packets) +
    fillContents(database, packets) +
    fillBands(database, packets) +
    fillEngagements(database, packets)
  database.exec('COMMIT')
  database.close()
  return rows
}

export const accessionOf = (packet: number): string => `2026-${String(packet).padStart(8, '0')}`
export const vinOf = (packet: number): string => `1ZZTE5T${String(packet).padStart(10, '0')}`
export const digestOf = (name: number): string => `${name.toString(16).padStart(12, '0')}${'0'.repeat(52)}`

function fillPackets(database: DatabaseSync, packets: number): number {
  const packet = database.prepare(
    `insert into packets values (?, ?, '2026-03-15T10:00:00Z', 'job', 'folder', ?, 0, ?, 8, 1000000, null, 'clerk', null, null, null, null, null)`,
  )
  const printed = database.prepare('insert into printed values (?, ?, ?, ?, ?, null)')
  for (let at = 1; at <= packets; at++) {
    const accession = accessionOf(at)
    packet.run(accession, at, `sha256:${digestOf(at)}`, digestOf(at))
    printed.run(at, accession, digestOf(at), vinOf(at), `RO${at}`)
  }
  database.prepare("insert into tallies values ('printed', ?)").run(packets)
  return 2 * packets
}

function fillContents(database: DatabaseSync, packets: number): number {
  const manifest = database.prepare("insert into manifests values (?, ?, ?, 'packet')")
  const content = database.prepare('insert into contents values (?, ?, ?, 1000)')
  for (let at = 1; at <= packets; at++) {
    manifest.run(digestOf(at), accessionOf(at), at)
    for (let file = 0; file < contentsPerPacket; file++)
      content.run(digestOf(at), `file ${file}`, digestOf(at * contentsPerPacket + file))
  }
  return (1 + contentsPerPacket) * packets
}

/** Keys are spread evenly, as hashes are. */
function fillBands(database: DatabaseSync, packets: number): number {
  const band = database.prepare('insert into bands values (?, ?, ?)')
  const rows = packets * keysPerPacket
  const gap = 2 ** 48 / rows
  for (let at = 0; at < rows; at++) {
    const key = Math.floor(at * gap + even(2 * at) * gap * 0.99)
    band.run(key, 1 + (mix32(2 * at + 1) % packets), mix32(at) % filesPerPacket)
  }
  return rows
}

function fillEngagements(database: DatabaseSync, packets: number): number {
  const engagement = database.prepare(
    "insert into engagements values ('instrument', ?, ?, ?, 0, ?, 'cal.pdf', 'front radar')",
  )
  const rows = packets * sessionsPerPacket
  // A large archive is of more shops, not of busier ones: an instrument has 1,500 sessions at most.
  const count = Math.max(instruments, Math.ceil(rows / 1500))
  const each = Math.ceil(rows / count)
  for (let instrument = 0; instrument < count; instrument++)
    for (let session = 0; session < each; session++) {
      const starts = Math.floor(1_760_000_000 + ((session + 0.4 * even(instrument * each + session)) * seconds) / each)
      engagement.run(
        `A${String(instrument).padStart(8, '0')}`,
        starts,
        1 + (mix32(instrument * each + session) % packets),
        starts + 900,
      )
    }
  return count * each
}
