/** Legal holds: what is held is not destroyed, whatever its schedule says. */
import { type Actor, type Archive, act } from './archive.ts'
import { ArchiveError } from './archive-error.ts'
import type { Scope } from './entry.ts'
import type { Writing } from './register/project.ts'
import { findPackets } from './register/scope.ts'

export interface PlacedHold {
  /** `H-0001` */
  hold: string
  /** Packets that it is for today; those that come later and fit are held too. */
  accessions: string[]
}

/** Whoever holds or releases says why and by what authority. */
export type HoldActor = Required<Pick<Actor, 'by' | 'why' | 'authority'>>

/** Places a hold. Throws ArchiveError `unknown` where the scope names a packet that the archive does not have. */
export async function placeHold(archive: Archive, actor: HoldActor, matter: string, scope: Scope): Promise<PlacedHold> {
  return act(archive, actor, async (writing) => {
    await holdToKnown(writing, scope.accessions ?? [])
    const hold = await nextHold(writing)
    const accessions = await findPackets(writing, scope)
    return { entries: [{ act: 'held', hold, matter, scope }], result: { hold, accessions } }
  })
}

/** Throws ArchiveError `unknown` for a number of no packet. */
export async function holdToKnown(writing: Writing, accessions: readonly string[]): Promise<void> {
  for (const accession of accessions) {
    const found = await writing
      .selectFrom('packets')
      .select('idx')
      .where('accession', '=', accession)
      .executeTakeFirst()
    if (found === undefined) throw noSuch(accession)
  }
}

export const noSuch = (accession: string): ArchiveError =>
  new ArchiveError('unknown', `The archive has no packet ${accession}`, 'See "witnessmark archive list".')

async function nextHold(writing: Writing): Promise<string> {
  const last = await writing.selectFrom('holds').select('hold').orderBy('idx', 'desc').limit(1).executeTakeFirst()
  return `H-${String(Number(last?.hold.slice(2) ?? 0) + 1).padStart(4, '0')}`
}

/** Lifts a hold; packets that another one is for stay held. Throws ArchiveError `unknown` for one that is not in force. */
export async function releaseHold(archive: Archive, actor: HoldActor, hold: string): Promise<void> {
  await act(archive, actor, async (writing) => {
    const found = await writing.selectFrom('holds').select('released_idx').where('hold', '=', hold).executeTakeFirst()
    if (found === undefined || found.released_idx !== null) {
      const what = found === undefined ? 'There is no hold' : 'There is no longer a hold'
      throw new ArchiveError('unknown', `${what} ${hold}`, 'See "witnessmark archive holds".')
    }
    return { entries: [{ act: 'released', hold }], result: undefined }
  })
}

export interface HoldInForce {
  hold: string
  matter: string
  scope: Scope
  placedAt: string
  placedBy: string
  why: string
  authority: string
  packets: number
}

/** Holds in force, oldest first; those on one packet where one is named. */
export async function listHolds({ db }: { db: Writing }, accession?: string): Promise<HoldInForce[]> {
  let query = db
    .selectFrom('holds')
    .leftJoin('hold_packets', 'hold_packets.hold', 'holds.hold')
    .select(['holds.hold', 'matter', 'scope', 'placed_at', 'placed_by', 'why', 'authority'])
    .select((it) => it.fn.count<number>('hold_packets.accession').as('packets'))
    .where('released_idx', 'is', null)
    .groupBy('holds.hold')
  if (accession !== undefined)
    query = query.where('holds.hold', 'in', (it) =>
      it.selectFrom('hold_packets').select('hold').where('accession', '=', accession),
    )
  const rows = await query.orderBy('holds.idx').execute()
  return rows.map(({ scope, placed_at, placed_by, packets, ...rest }) => ({
    ...rest,
    scope: JSON.parse(scope) as Scope,
    placedAt: placed_at,
    placedBy: placed_by,
    packets,
  }))
}
