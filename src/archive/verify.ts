/** Goes through a whole archive: the log, byte by byte; the register, against the log; everything that the log says is kept. */
import type { Kysely } from 'kysely'
import { type Archive, readObject } from './archive.ts'
import { parseEntry } from './entry.ts'
import { isSound } from './fixity.ts'
import { auditLog } from './log/audit.ts'
import { openLog, readEntries } from './log/log.ts'
import { applyEntry } from './register/project.ts'
import { madeTables, type Register } from './register/tables.ts'

export interface ArchiveAudit {
  /** Entries in the log. */
  entries: number
  /** Objects that were read again. */
  objects: number
  bytes: number
  /** Of the log; empty when every byte is as it was signed. */
  logFaults: string[]
  /** Tables of the register that do not say what the log says. */
  registerFaults: string[]
  /** Kept by the log, and lost or not what they were. */
  damaged: { sha256: string; names: string[] }[]
  /** On the disk, and named by nothing. */
  unnamed: string[]
  /** Left by an append that never ended: they count for nothing. */
  unfinished: string[]
}

export const isWhole = ({ logFaults, registerFaults, damaged }: ArchiveAudit): boolean =>
  logFaults.length + registerFaults.length + damaged.length === 0

/** An archive's register, made anew in an empty one. */
export type MakeRegister = () => Promise<Kysely<Register>>

/** `fresh` gives an empty register that is thrown away, in which the log is brought in anew. */
export async function auditArchive(
  archive: Archive,
  fresh: MakeRegister,
  progress: (done: number, of: number) => void = () => undefined,
): Promise<ArchiveAudit> {
  const { storage } = archive.outside
  const head = await openLog(storage.log, archive.key)
  const log = await auditLog(storage.log, head)
  const audit: ArchiveAudit = {
    entries: head.size,
    objects: 0,
    bytes: 0,
    logFaults: log.faults,
    registerFaults: [],
    damaged: [],
    unnamed: [],
    unfinished: log.unfinished,
  }
  await auditRegister(archive, fresh, audit)
  await auditObjects(archive, audit, progress)
  return audit
}

async function auditRegister(archive: Archive, fresh: MakeRegister, audit: ArchiveAudit): Promise<void> {
  if (audit.logFaults.length > 0) return
  const { storage } = archive.outside
  const made = await fresh()
  try {
    const head = await openLog(storage.log, archive.key)
    await made.transaction().execute(async (writing) => {
      for await (const { index, entry: bytes } of readEntries(storage.log, head)) {
        const entry = parseEntry(bytes)
        if (entry === null) audit.logFaults.push(`Entry ${index} is none that this version can read`)
        else await applyEntry(writing, { index, entry }, (sha256) => readObject(storage, sha256))
      }
    })
    for (const table of madeTables)
      if ((await rowsOf(archive.db, table)) !== (await rowsOf(made, table))) audit.registerFaults.push(table)
  } finally {
    await made.destroy()
  }
}

/** All of a table's rows, in one order. */
async function rowsOf(db: Kysely<Register>, table: (typeof madeTables)[number]): Promise<string> {
  const rows = await db.selectFrom(table).selectAll().execute()
  return rows
    .map((row) => JSON.stringify(Object.entries(row).sort(([a], [b]) => (a < b ? -1 : 1))))
    .sort()
    .join('\n')
}

async function auditObjects(
  archive: Archive,
  audit: ArchiveAudit,
  progress: (done: number, of: number) => void,
): Promise<void> {
  const kept = await archive.db.selectFrom('objects').select(['sha256', 'bytes']).orderBy('sha256').execute()
  for (const { sha256, bytes } of kept) {
    if (!(await isSound(archive, sha256))) audit.damaged.push({ sha256, names: await namesOf(archive, sha256) })
    audit.objects++
    audit.bytes += bytes
    progress(audit.objects, kept.length)
  }
  const known = new Set(kept.map(({ sha256 }) => sha256))
  for await (const sha256 of archive.outside.storage.objects.list()) if (!known.has(sha256)) audit.unnamed.push(sha256)
}

/** What an object is in the packets that hold it. */
export async function namesOf({ db }: Pick<Archive, 'db'>, sha256: string): Promise<string[]> {
  const files = await db
    .selectFrom('contents')
    .innerJoin('manifests', 'manifests.manifest', 'contents.manifest')
    .select(['manifests.accession', 'contents.path'])
    .where('contents.sha256', '=', sha256)
    .orderBy('manifests.accession')
    .limit(20)
    .execute()
  const lists = await db.selectFrom('manifests').select('accession').where('manifest', '=', sha256).execute()
  const reports = await db.selectFrom('reports').select('accession').where('report', '=', sha256).execute()
  const prints = await db.selectFrom('prints').select('accession').where('prints', '=', sha256).execute()
  return [
    ...files.map(({ accession, path }) => `${accession}/${path}`),
    ...lists.map(({ accession }) => `list of ${accession}`),
    ...reports.map(({ accession }) => `report on ${accession}`),
    ...prints.map(({ accession }) => `prints of ${accession}`),
  ]
}
