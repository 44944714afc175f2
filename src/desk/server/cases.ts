/** The queue's packets, made from the archive as its log grows. */
import { archives, type Report } from '../../index.ts'
import type { Desk } from './desk.ts'

/** The following that goes on, and the one that begins when it has ended: more would do the same work again. */
const following = new WeakMap<Desk, { now: Promise<void>; next: Promise<void> | null }>()

/**
 * Brings the desk to where the archive's log is, and tells whoever listens what changed. Cheap where nothing did: acts of
 * other programs on the same archive are seen too.
 */
export function follow(desk: Desk): Promise<void> {
  const going = following.get(desk)
  if (going === undefined) return begin(desk)
  going.next ??= going.now.catch(() => undefined).then(() => begin(desk))
  return going.next
}

function begin(desk: Desk): Promise<void> {
  const now = followNow(desk)
  const going: { now: Promise<void>; next: Promise<void> | null } = { now, next: null }
  following.set(desk, going)
  const end = () => {
    if (following.get(desk) === going && going.next === null) following.delete(desk)
  }
  now.then(end, end)
  return now
}

async function followNow(desk: Desk): Promise<void> {
  const { db, archive, events } = desk
  const size = (await db.selectFrom('followed').select('size').executeTakeFirst())?.size ?? 0
  const changed = new Set<string>()
  let next = size
  for await (const { index, entry } of archives.history(archive, size)) {
    for (const accession of await touchedBy(desk, entry)) changed.add(accession)
    if (entry.act === 'decided') await noteDecision(desk, index, entry)
    next = index + 1
  }
  if (next === size) return
  for (const accession of changed) await refreshCase(desk, accession)
  const row = { id: 1 as const, size: next }
  await db
    .insertInto('followed')
    .values(row)
    .onConflict((it) => it.column('id').doUpdateSet({ size: next }))
    .execute()
  for (const accession of changed) events.tell({ event: 'packet', data: { accession } })
}

async function touchedBy({ archive }: Desk, entry: archives.Entry): Promise<readonly string[]> {
  if (entry.act === 'viewed') return []
  if (entry.act === 'held' || entry.act === 'released') {
    const rows = await archive.db
      .selectFrom('hold_packets')
      .select('accession')
      .where('hold', '=', entry.hold)
      .execute()
    return rows.map(({ accession }) => accession)
  }
  if (entry.act === 'received') return [entry.accession, ...(entry.follows === undefined ? [] : [entry.follows])]
  if ('accessions' in entry) return entry.accessions
  return 'accession' in entry ? [entry.accession] : []
}

type Decided = Extract<archives.Entry, { act: 'decided' }>

async function noteDecision({ db }: Desk, index: number, entry: Decided): Promise<void> {
  const { accession, at, by, ruling, why = '', check, finding } = entry
  await db
    .insertInto('decisions')
    .values({ entry: index, accession, at, by_name: by.name, ruling, why, check_id: check, finding })
    .onConflict((it) => it.doNothing())
    .execute()
}

async function refreshCase(desk: Desk, accession: string): Promise<void> {
  const { db, archive } = desk
  const packet = await archive.db
    .selectFrom('packets')
    .selectAll()
    .where('accession', '=', accession)
    .executeTakeFirst()
  if (packet === undefined || packet.disposed_idx !== null) {
    await db.deleteFrom('cases').where('accession', '=', accession).execute()
    return
  }
  const later = await archive.db
    .selectFrom('packets')
    .select('accession')
    .where('follows', '=', accession)
    .orderBy('idx')
    .executeTakeFirst()
  const report = (await readReport(archive, accession))?.report ?? null
  const holds = (await archives.listHolds(archive, accession)).map(({ hold }) => hold)
  const row = {
    accession,
    idx: packet.idx,
    name: packet.name,
    received_at: packet.received_at,
    shop: packet.shop,
    job: packet.job ?? jobOf(report),
    claim: packet.claim,
    ...describeReport(report),
    files: packet.files,
    bytes: packet.bytes,
    follows: packet.follows,
    followed_by: later?.accession ?? null,
    holds: JSON.stringify(holds),
  }
  const words = [row.accession, row.name, row.vin, row.vehicle, row.job, row.claim, row.shop]
  const values = { ...row, words: foldWords(words.filter((word) => word !== null).join(' ')) }
  await db
    .insertInto('cases')
    .values(values)
    .onConflict((it) => it.column('accession').doUpdateSet(values))
    .execute()
}

/** As words are searched: lower case, spaces between. */
export const foldWords = (text: string): string => text.normalize('NFKC').toLowerCase()

const jobOf = (report: Report | null): string | null =>
  report?.documents.find(({ jobNumber }) => jobNumber !== undefined)?.jobNumber ?? null

function describeReport(report: Report | null) {
  if (report === null)
    return { vin: null, vehicle: null, verdict: null, fail: 0, warn: 0, pass: 0, not_checked: 0, worst: null }
  const { vin, year, make, model } = report.vehicle
  const { fail, warn, pass, notChecked } = report.counts
  const vehicle = [year, make, model].filter((part) => part !== undefined && part !== null).join(' ')
  const worst = report.findings.find(({ verdict }) => verdict === 'fail' || verdict === 'warn')?.reason ?? null
  const { verdict } = report
  return {
    vin: vin ?? null,
    vehicle: vehicle === '' ? null : vehicle,
    verdict,
    fail,
    warn,
    pass,
    not_checked: notChecked,
    worst,
  }
}

/** The last report on a packet, with its digest; null where it was not checked, or the archive lost the report. */
export async function readReport(
  archive: archives.Archive,
  accession: string,
): Promise<{ report: Report; sha256: string; bytes: Uint8Array } | null> {
  const row = await archive.db
    .selectFrom('reports')
    .select('report')
    .where('accession', '=', accession)
    .orderBy('idx', 'desc')
    .executeTakeFirst()
  if (row === undefined) return null
  const bytes = await archives.readObject(archive.outside.storage, row.report)
  if (bytes === null) return null
  return { report: JSON.parse(new TextDecoder().decode(bytes)) as Report, sha256: row.report, bytes }
}
