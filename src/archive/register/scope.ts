/** Which packets a scope is for. */
import type { Scope } from '../entry.ts'
import type { Writing } from './project.ts'
import { type FactKind, foldFact, foldName } from './report-facts.ts'

const factKeys = ['vin', 'job', 'claim', 'shop'] as const satisfies readonly (FactKind & keyof Scope)[]

/** `among`: only this one is asked about. `disposed`: destroyed ones, too. */
interface Among {
  among?: string
  disposed?: boolean
}

/** Numbers of the packets that fit every key of a scope, sorted. */
export async function findPackets(db: Writing, scope: Scope, among: Among = {}): Promise<string[]> {
  const found = await selectPackets(db, scope, among).orderBy('packets.accession').execute()
  return found.map(({ accession }) => accession)
}

/** The same as a query, to be a part of another: SQLite takes no more than 32,766 values. */
export function selectPackets(db: Writing, scope: Scope, { among, disposed = false }: Among = {}) {
  let query = db.selectFrom('packets').select('packets.accession')
  if (!disposed) query = query.where('disposed_idx', 'is', null)
  if (among !== undefined) query = query.where('packets.accession', '=', among)
  if (scope.accessions !== undefined) query = query.where('packets.accession', 'in', [...scope.accessions])
  if (scope.receivedFrom !== undefined) query = query.where('received_at', '>=', `${scope.receivedFrom}T00:00:00Z`)
  if (scope.receivedTo !== undefined) query = query.where('received_at', '<=', `${scope.receivedTo}T23:59:59Z`)
  for (const kind of factKeys) {
    const wanted = scope[kind]
    if (wanted === undefined) continue
    query = query.where('packets.accession', 'in', (it) =>
      it
        .selectFrom('facts')
        .select('facts.accession')
        .where('kind', 'in', kind === 'vin' ? ['vin', 'vin-declared'] : [kind])
        .where('value', '=', foldFact(kind, wanted)),
    )
  }
  if (scope.words !== undefined)
    for (const word of foldName(scope.words).split(' '))
      query = query.where((it) =>
        it.or([
          it('packets.accession', 'in', (facts) =>
            facts.selectFrom('facts').select('facts.accession').where('value', 'like', holding(word)),
          ),
          it('packets.name', 'like', holding(word)),
        ]),
      )
  return query
}

/** For `like`, whose wild cards a word may hold: each stands for itself or, at worst, finds more. */
const holding = (word: string): string => `%${word}%`
