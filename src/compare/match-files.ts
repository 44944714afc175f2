/** Which file of the one submission is which of the other. */
import type { MatchedBy } from './comparison.ts'
import { countEntries, type Pairing, pairByKey, pairByScore, pairOnly, shareOf, startPairing } from './pairing.ts'
import type { Part } from './part.ts'

export interface MatchedFiles {
  /** Of the first and of the second list; both null never. */
  before: Part | null
  after: Part | null
  matchedBy: MatchedBy | null
}

/** At least half of the lines are shared. */
const leastShare = 0.5

/** Kinds of which a packet may hold many that have nothing to do with each other. */
const manyKinds: ReadonlySet<Part['kind']> = new Set(['photo', 'other', 'calibration', 'statement', 'drive-log'])

/**
 * In this order: the same name and digest; the same digest, wherever it is now; the same name; the same kind and the
 * most lines in common; the only file of its kind that is left on either side. A file whose name another one took is
 * told by its digest, so that two files that changed names are no changes of both.
 */
export function matchFiles(before: readonly Part[], after: readonly Part[]): MatchedFiles[] {
  const found: MatchedFiles[] = []
  let pairing = startPairing(before.length, after.length)
  const step = (matchedBy: MatchedBy, next: (pairing: Pairing) => Pairing) => {
    const known = pairing.pairs.length
    pairing = next(pairing)
    for (const [one, other] of pairing.pairs.slice(known))
      found.push({ before: before[one] ?? null, after: after[other] ?? null, matchedBy })
  }
  const byKey = (keyOf: (part: Part) => string | null) => (open: Pairing) => pairByKey(open, before, after, keyOf)
  step(
    'name',
    byKey(({ file, sha256 }) => JSON.stringify([file, sha256])),
  )
  step(
    'digest',
    byKey(({ sha256 }) => sha256 || null),
  )
  step(
    'name',
    byKey(({ file }) => file),
  )
  step('words', (open) => pairByLines(open, before, after))
  step('kind', (open) =>
    pairOnly(open, before, after, ({ kind, sha256 }) => (sha256 === '' || manyKinds.has(kind) ? null : kind)),
  )
  for (const index of pairing.first) found.push({ before: before[index] ?? null, after: null, matchedBy: null })
  for (const index of pairing.second) found.push({ before: null, after: after[index] ?? null, matchedBy: null })
  return found
}

function pairByLines(open: Pairing, before: readonly Part[], after: readonly Part[]): Pairing {
  const bagsOf = (parts: readonly Part[], left: readonly number[]) =>
    new Map(left.map((index) => [index, countEntries((parts[index]?.lines ?? []).map(({ text }) => text))]))
  const [first, second] = [bagsOf(before, open.first), bagsOf(after, open.second)]
  const score = (one: number, other: number): number => {
    const [a, b] = [first.get(one), second.get(other)]
    return a && b && before[one]?.kind === after[other]?.kind ? shareOf(a, b) : 0
  }
  return pairByScore(open, score, leastShare)
}
