/** Brings an entry of the log into the register. */
import type { Kysely, Transaction } from 'kysely'
import type { Report } from '../../findings/report.ts'
import type { Checked, Disposed, Entry, Held, LoggedEntry, Received, Sealed } from '../entry.ts'
import { type Manifest, parseManifest } from '../manifest.ts'
import { forgetPrints, takePrints } from '../seen/index-prints.ts'
import { declaredFacts } from './declared.ts'
import { calibrationsOf, factsOf, foldFact, type PacketFact } from './report-facts.ts'
import { findPackets } from './scope.ts'
import type { Register } from './tables.ts'

export type Writing = Transaction<Register> | Kysely<Register>

/** Gives the whole content of an object; null where it is not kept, or not what its name says. */
export type ReadObject = (sha256: string) => Promise<Uint8Array | null>

/** Packets of an entry, for their histories. */
function accessionsOf(entry: Entry): readonly string[] {
  if ('accessions' in entry) return entry.accessions
  return 'accession' in entry ? [entry.accession] : []
}

/**
 * Brings one entry in; they come in the order of the log. What an entry names and the archive no longer holds is passed
 * over: of a packet that was destroyed, the log alone tells.
 */
export async function applyEntry(db: Writing, { index, entry }: LoggedEntry, readObject: ReadObject): Promise<void> {
  await db.insertInto('entries').values({ idx: index, at: entry.at, act: entry.act, by_name: entry.by.name }).execute()
  for (const accession of accessionsOf(entry))
    await db.insertInto('entry_packets').values({ idx: index, accession }).execute()
  await applyAct(db, index, entry, readObject)
}

async function applyAct(db: Writing, index: number, entry: Entry, readObject: ReadObject): Promise<void> {
  switch (entry.act) {
    case 'received':
      return receive(db, index, entry, readObject)
    case 'checked':
      return takeReport(db, index, entry, readObject)
    case 'sealed':
    case 're-stamped':
      return takeManifest(db, index, entry, 'bag', readObject)
    case 'held':
      return hold(db, index, entry)
    case 'released':
      await db.updateTable('holds').set({ released_idx: index }).where('hold', '=', entry.hold).execute()
      return
    case 'disposal-proposed':
      for (const accession of entry.accessions)
        await db
          .insertInto('proposals')
          .values({ idx: index, accession, by_name: entry.by.name, certificate: entry.by.certificate ?? null })
          .execute()
      return keepObject(db, entry.signature, readObject)
    case 'disposed':
      return dispose(db, index, entry, readObject)
    case 'exported':
      return keepObject(db, entry.manifest, readObject)
    case 'custodian-named':
      await db
        .insertInto('custodians')
        .values({ certificate: entry.certificate, name: entry.name, idx: index })
        .onConflict((it) => it.doNothing())
        .execute()
      return keepObject(db, entry.certificate, readObject)
    case 'witness-named':
      await db
        .insertInto('witnesses')
        .values({ key: entry.key, idx: index })
        .onConflict((it) => it.doNothing())
        .execute()
      return
    // These change nothing that is asked for but the history. What fixity found sound is noted beside the log.
    case 'begun':
    case 'viewed':
    case 'decided':
    case 'export-failed':
    case 'fixity-checked':
    case 'mended':
    case 'backed-up':
    case 'restored':
      return
  }
}

async function receive(db: Writing, index: number, entry: Received, readObject: ReadObject): Promise<void> {
  const { accession, packet, manifest, files, bytes } = entry
  await db
    .insertInto('packets')
    .values({
      accession,
      idx: index,
      received_at: entry.at,
      name: packet.name,
      form: packet.form,
      digest: packet.digest,
      bag: packet.bag ? 1 : 0,
      manifest,
      files,
      bytes,
      handed_by: entry.from ?? null,
      received_by: entry.by.name,
      follows: entry.follows ?? null,
      shop: entry.shop ?? null,
      job: entry.job ?? null,
      claim: entry.claim ?? null,
      disposed_idx: null,
    })
    .execute()
  await takeManifest(db, index, entry, 'packet', readObject)
  await addFacts(db, accession, [...statedFacts(entry), ...(await declaredFacts(entry, readObject))])
  await extendHolds(db, accession)
}

/** SQLite takes at most 32,766 values in a statement. */
const rowsAtOnce = 1000

async function takeManifest(
  db: Writing,
  index: number,
  { accession, manifest }: Received | Sealed,
  kind: 'packet' | 'bag',
  readObject: ReadObject,
): Promise<void> {
  const bytes = await readObject(manifest)
  const read = bytes === null ? null : parseManifest(bytes)
  await db
    .insertInto('manifests')
    .values({ manifest, accession, idx: index, kind })
    .onConflict((it) => it.doNothing())
    .execute()
  if (bytes === null || read === null) return
  await addObjects(db, [{ sha256: manifest, bytes: bytes.length }, ...read.files])
  await addContents(db, manifest, read)
}

async function addContents(db: Writing, manifest: string, { files }: Manifest): Promise<void> {
  for (let at = 0; at < files.length; at += rowsAtOnce)
    await db
      .insertInto('contents')
      .values(files.slice(at, at + rowsAtOnce).map(({ path, sha256, bytes }) => ({ manifest, path, sha256, bytes })))
      .onConflict((it) => it.doNothing())
      .execute()
}

async function addObjects(db: Writing, objects: readonly { sha256: string; bytes: number }[]): Promise<void> {
  for (let at = 0; at < objects.length; at += rowsAtOnce)
    await db
      .insertInto('objects')
      .values(objects.slice(at, at + rowsAtOnce).map(({ sha256, bytes }) => ({ sha256, bytes, sound_at: null })))
      .onConflict((it) => it.doNothing())
      .execute()
}

async function keepObject(db: Writing, sha256: string, readObject: ReadObject): Promise<void> {
  const bytes = await readObject(sha256)
  if (bytes !== null) await addObjects(db, [{ sha256, bytes: bytes.length }])
}

async function takeReport(db: Writing, index: number, entry: Checked, readObject: ReadObject): Promise<void> {
  const { accession, rulebook } = entry
  await db
    .insertInto('reports')
    .values({
      idx: index,
      accession,
      report: entry.report,
      rulebook: rulebook.name,
      rulebook_version: rulebook.version,
      rulebook_sha256: rulebook.sha256,
      reviewed: entry.reviewed,
      verdict: entry.verdict,
      program: entry.program,
    })
    .execute()
  if (entry.prints !== undefined) {
    await keepObject(db, entry.prints, readObject)
    await takePrints(db, { idx: index, accession, prints: entry.prints }, readObject)
  }
  const bytes = await readObject(entry.report)
  if (bytes === null) return
  await addObjects(db, [{ sha256: entry.report, bytes: bytes.length }])
  await replaceFacts(db, accession, JSON.parse(new TextDecoder().decode(bytes)) as Report)
  await extendHolds(db, accession)
}

function statedFacts(stated: { shop?: string | null; job?: string | null; claim?: string | null }): PacketFact[] {
  const kinds = ['shop', 'job', 'claim'] as const
  return kinds.map((kind) => ({ kind, value: foldFact(kind, stated[kind] ?? '') })).filter(({ value }) => value !== '')
}

async function addFacts(db: Writing, accession: string, facts: readonly PacketFact[]): Promise<void> {
  for (let at = 0; at < facts.length; at += rowsAtOnce)
    await db
      .insertInto('facts')
      .values(facts.slice(at, at + rowsAtOnce).map((fact) => ({ accession, ...fact })))
      .onConflict((it) => it.doNothing())
      .execute()
}

const factTables = ['facts', 'findings', 'calibrations'] as const

async function replaceFacts(db: Writing, accession: string, report: Report): Promise<void> {
  // What its packet.yaml declares was known when it was received, and a report may not repeat it.
  const declared = await db
    .selectFrom('facts')
    .select('value')
    .where('accession', '=', accession)
    .where('kind', '=', 'vin-declared')
    .execute()
  for (const table of factTables) await db.deleteFrom(table).where('accession', '=', accession).execute()
  const stated = await db
    .selectFrom('packets')
    .select(['shop', 'job', 'claim'])
    .where('accession', '=', accession)
    .executeTakeFirst()
  const kept = declared.map(({ value }) => ({ kind: 'vin-declared', value }) as const)
  await addFacts(db, accession, [...statedFacts(stated ?? {}), ...kept, ...factsOf(report)])
  const findings = new Map(
    report.findings.map(({ check, verdict, message }) => [
      `${check} ${verdict} ${message}`,
      { accession, check_id: check, verdict, message },
    ]),
  )
  if (findings.size > 0)
    await db
      .insertInto('findings')
      .values([...findings.values()])
      .execute()
  const calibrations = calibrationsOf(report).map((one, number) => ({
    accession,
    number,
    sensor: one.sensor,
    method: one.method,
    outcome: one.outcome,
    started: one.started,
    day: one.day,
    duration_seconds: one.durationSeconds,
    drive_seconds: one.driveSeconds,
    technician: one.technician,
    instrument: one.instrument,
    software: one.software,
  }))
  if (calibrations.length > 0) await db.insertInto('calibrations').values(calibrations).execute()
}

async function hold(db: Writing, index: number, entry: Held): Promise<void> {
  const { hold: name, matter, scope } = entry
  await db
    .insertInto('holds')
    .values({
      hold: name,
      idx: index,
      matter,
      scope: JSON.stringify(scope),
      placed_at: entry.at,
      placed_by: entry.by.name,
      why: entry.why ?? '',
      authority: entry.authority ?? '',
      released_idx: null,
    })
    .execute()
  for (const accession of await findPackets(db, scope))
    await db.insertInto('hold_packets').values({ hold: name, accession }).execute()
}

/** Holds are for packets that come later too: one that fits is held from the moment it is known to fit. */
async function extendHolds(db: Writing, accession: string): Promise<void> {
  const open = await db.selectFrom('holds').select(['hold', 'scope']).where('released_idx', 'is', null).execute()
  for (const { hold: name, scope } of open) {
    const [fits] = await findPackets(db, JSON.parse(scope), { among: accession })
    if (fits === undefined) continue
    await db
      .insertInto('hold_packets')
      .values({ hold: name, accession })
      .onConflict((it) => it.doNothing())
      .execute()
  }
}

/** Of a packet that is gone there stay its number, its name and its digests. */
async function dispose(db: Writing, index: number, entry: Disposed, readObject: ReadObject): Promise<void> {
  const { accession } = entry
  await db.updateTable('packets').set({ disposed_idx: index }).where('accession', '=', accession).execute()
  for (const table of factTables) await db.deleteFrom(table).where('accession', '=', accession).execute()
  await forgetPrints(db, accession, readObject)
  for (const { sha256 } of await findOwnObjects(db, accession))
    await db.deleteFrom('objects').where('sha256', '=', sha256).execute()
  const own = await db.selectFrom('manifests').select('manifest').where('accession', '=', accession).execute()
  await db.deleteFrom('manifests').where('accession', '=', accession).execute()
  for (const { manifest } of own) {
    const other = await db
      .selectFrom('manifests')
      .select('accession')
      .where('manifest', '=', manifest)
      .limit(1)
      .executeTakeFirst()
    if (other === undefined) await db.deleteFrom('contents').where('manifest', '=', manifest).execute()
  }
  await keepObject(db, entry.signature, readObject)
}

/**
 * Contents, lists and reports that one packet has and no packet that is kept has too, sorted by digest. `gone`: packets that
 * will be destroyed before it.
 */
export async function findOwnObjects(
  db: Writing,
  accession: string,
  gone: readonly string[] = [],
): Promise<{ sha256: string; bytes: number }[]> {
  const own = await db.selectFrom('manifests').select('manifest').where('accession', '=', accession).execute()
  const manifests = own.map(({ manifest }) => manifest)
  const contents = await db.selectFrom('contents').select('sha256').where('manifest', 'in', manifests).execute()
  const reports = await db.selectFrom('reports').select('report').where('accession', '=', accession).execute()
  const prints = await db.selectFrom('prints').select('prints').where('accession', '=', accession).execute()
  const named = new Set([
    ...manifests,
    ...contents.map(({ sha256 }) => sha256),
    ...reports.map(({ report }) => report),
    ...prints.map(({ prints: own }) => own),
  ])
  const others = { accession, gone }
  const found: { sha256: string; bytes: number }[] = []
  for (const sha256 of [...named].sort()) {
    if (await isNamedByOthers(db, sha256, others)) continue
    const object = await db
      .selectFrom('objects')
      .select(['sha256', 'bytes'])
      .where('sha256', '=', sha256)
      .executeTakeFirst()
    if (object !== undefined) found.push(object)
  }
  return found
}

async function isNamedByOthers(
  db: Writing,
  sha256: string,
  { accession, gone }: { accession: string; gone: readonly string[] },
): Promise<boolean> {
  const without = [accession, ...gone]
  const list = await db
    .selectFrom('manifests')
    .select('accession')
    .where('manifest', '=', sha256)
    .where('accession', 'not in', without)
    .limit(1)
    .executeTakeFirst()
  const content = await db
    .selectFrom('contents')
    .innerJoin('manifests', 'manifests.manifest', 'contents.manifest')
    .select('manifests.accession')
    .where('contents.sha256', '=', sha256)
    .where('manifests.accession', 'not in', without)
    .limit(1)
    .executeTakeFirst()
  const report = await db
    .selectFrom('reports')
    .innerJoin('packets', 'packets.accession', 'reports.accession')
    .select('reports.accession')
    .where('report', '=', sha256)
    .where('reports.accession', 'not in', without)
    .where('disposed_idx', 'is', null)
    .limit(1)
    .executeTakeFirst()
  const prints = await db
    .selectFrom('prints')
    .innerJoin('packets', 'packets.accession', 'prints.accession')
    .select('prints.accession')
    .where('prints', '=', sha256)
    .where('prints.accession', 'not in', without)
    .where('disposed_idx', 'is', null)
    .limit(1)
    .executeTakeFirst()
  return [list, content, report, prints].some((other) => other !== undefined)
}
