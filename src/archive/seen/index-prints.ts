/** Brings prints into the register, and takes them out again. */
import type { ReadObject, Writing } from '../register/project.ts'
import type { Register } from '../register/tables.ts'
import { keysOf, type Prints, parsePrints } from './prints.ts'

/** SQLite takes at most 32,766 values in a statement. */
const rowsAtOnce = 2000

/** Of the last check of a packet the prints count. Those that are lost, or of a newer form, are passed over. */
export async function takePrints(db: Writing, row: Register['prints'], readObject: ReadObject): Promise<void> {
  const { accession, prints } = row
  await db.insertInto('prints').values(row).execute()
  const bytes = await readObject(prints)
  if (bytes === null) return
  const read = parsePrints(bytes)
  const packet = await db.selectFrom('packets').select('idx').where('accession', '=', accession).executeTakeFirst()
  if (read === null || packet === undefined) return
  await forgetPrints(db, accession, readObject)
  const { vin, job, shop } = read
  await db.insertInto('printed').values({ packet: packet.idx, accession, prints, vin, job, shop }).execute()
  await tally(db, 1)
  await addPrints(db, packet.idx, read)
}

const tally = (db: Writing, change: 1 | -1) =>
  db
    .insertInto('tallies')
    .values({ what: 'printed', count: change })
    .onConflict((it) => it.column('what').doUpdateSet((row) => ({ count: row('tallies.count', '+', change) })))
    .execute()

/** The rows of `bands` that a packet has. */
export const bandRows = (packet: number, { files }: Pick<Prints, 'files'>): Register['bands'][] =>
  files.flatMap((print, file) => keysOf(print).map((key) => ({ key, packet, file })))

async function addPrints(db: Writing, packet: number, prints: Prints): Promise<void> {
  const rows = bandRows(packet, prints)
  for (let at = 0; at < rows.length; at += rowsAtOnce)
    await db
      .insertInto('bands')
      .values(rows.slice(at, at + rowsAtOnce))
      .execute()
  const engagements = prints.engagements.map(({ who, name, from, to, file, label }, number) => ({
    who,
    name,
    starts: from,
    ends: to,
    packet,
    number,
    file,
    label,
  }))
  for (let at = 0; at < engagements.length; at += rowsAtOnce)
    await db
      .insertInto('engagements')
      .values(engagements.slice(at, at + rowsAtOnce))
      .execute()
}

/** Takes a packet out of what can be found; nothing happens where it is not in. */
export async function forgetPrints(db: Writing, accession: string, readObject: ReadObject): Promise<void> {
  const known = await db
    .selectFrom('printed')
    .select(['packet', 'prints'])
    .where('accession', '=', accession)
    .executeTakeFirst()
  if (known === undefined) return
  const { packet, prints } = known
  await db.deleteFrom('printed').where('packet', '=', packet).execute()
  await tally(db, -1)
  await db.deleteFrom('engagements').where('packet', '=', packet).execute()
  const bytes = await readObject(prints)
  const read = bytes === null ? null : parsePrints(bytes)
  // No index leads from a packet to its keys, which would double the table: where its prints are lost, all is gone through.
  if (read === null) {
    await db.deleteFrom('bands').where('packet', '=', packet).execute()
    return
  }
  const keys = [...new Set(bandRows(packet, read).map(({ key }) => key))]
  for (let at = 0; at < keys.length; at += rowsAtOnce)
    await db
      .deleteFrom('bands')
      .where('key', 'in', keys.slice(at, at + rowsAtOnce))
      .where('packet', '=', packet)
      .execute()
}
