/** The custody of what is handed over: its entries, each with a proof that it stands in the log, and by what they are verified. */
import type { BagSink, WrittenFile } from '../../seal/bag/write.ts'
import type { Archive } from '../archive.ts'
import { entryBytes, openLog, proveEntry } from '../log/log.ts'
import { formatKey } from '../log/note.ts'
import { formatProof } from '../log/proof-text.ts'
import { entriesAbout } from '../register/search.ts'
import { listWitnesses } from '../witness.ts'

export interface Custody {
  files: WrittenFile[]
  /** Entries that were left out, as `keep` wanted it. */
  left: number[]
  key: string
  witnesses: string[]
}

export const entryPath = (index: number): string => `custody/entry-${String(index).padStart(6, '0')}.json`

/**
 * Puts into the bag the entries about these packets, those of their holds too, and the entry `own`: `custody/entry-….json`
 * as it stands in the log, and beside it its proof (C2SP tlog-proof), all under one checkpoint. `keep` tells of an entry
 * whether it may be handed over.
 */
export async function putCustody(
  archive: Archive,
  sink: BagSink,
  accessions: readonly string[],
  own: number,
  keep: (entry: Uint8Array) => boolean,
): Promise<Custody> {
  const { log } = archive.outside.storage
  const witnesses = await listWitnesses(archive)
  const head = await openLog(log, archive.key, witnesses)
  const indexes = new Set([0, own])
  for (const accession of accessions) for (const index of await entriesAbout(archive.db, accession)) indexes.add(index)
  const [files, left]: [WrittenFile[], number[]] = [[], []]
  for (const index of [...indexes].sort((a, b) => a - b)) {
    const entry = await entryBytes(log, head, index)
    if (!keep(entry)) {
      left.push(index)
      continue
    }
    const proof = formatProof(await proveEntry(log, head, index))
    files.push(await sink.put(entryPath(index), entry))
    files.push(await sink.put(`${entryPath(index)}.tlog-proof`, Buffer.from(proof)))
  }
  const key = formatKey(archive.key)
  const watchers = witnesses.map(formatKey)
  files.push(await sink.put('custody/checkpoint', head.note))
  files.push(await sink.put('custody/log-key.txt', Buffer.from(`${key}\n`)))
  if (watchers.length > 0)
    files.push(await sink.put('custody/witness-keys.txt', Buffer.from(watchers.map((one) => `${one}\n`).join(''))))
  return { files, left, key, witnesses: watchers }
}
