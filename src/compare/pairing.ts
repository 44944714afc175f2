/**
 * Finds what belongs together in two lists. Every function gives the same pairs when the two lists are exchanged, so that
 * a comparison read backwards tells the same.
 */

/** Indices into the first list and the second. */
export type Pair = readonly [number, number]

export interface Pairing {
  pairs: Pair[]
  /** Indices that belong to no pair, rising. */
  first: number[]
  second: number[]
}

/** Nothing paired yet. */
export function startPairing(first: number, second: number): Pairing {
  return { pairs: [], first: [...Array(first).keys()], second: [...Array(second).keys()] }
}

function take({ pairs, first, second }: Pairing, found: readonly Pair[]): Pairing {
  const [usedFirst, usedSecond] = [new Set(found.map(([one]) => one)), new Set(found.map(([, other]) => other))]
  return {
    pairs: [...pairs, ...found],
    first: first.filter((index) => !usedFirst.has(index)),
    second: second.filter((index) => !usedSecond.has(index)),
  }
}

/** Entries with the same key; several of one key in the order in which they stand. Null is no key. */
export function pairByKey<T>(
  pairing: Pairing,
  first: readonly T[],
  second: readonly T[],
  keyOf: (entry: T) => string | null,
): Pairing {
  const waiting = new Map<string, number[]>()
  for (const index of pairing.second) {
    const key = keyOf(second[index] as T)
    if (key === null) continue
    const others = waiting.get(key)
    if (others === undefined) waiting.set(key, [index])
    else others.push(index)
  }
  const found: Pair[] = []
  const next = new Map<string, number>()
  for (const index of pairing.first) {
    const key = keyOf(first[index] as T)
    if (key === null) continue
    const at = next.get(key) ?? 0
    const other = waiting.get(key)?.[at]
    if (other === undefined) continue
    next.set(key, at + 1)
    found.push([index, other])
  }
  return take(pairing, found)
}

/** Entries whose key only one entry on either side has. */
export function pairOnly<T>(
  pairing: Pairing,
  first: readonly T[],
  second: readonly T[],
  keyOf: (entry: T) => string | null,
): Pairing {
  const only = (list: readonly T[], left: readonly number[]) => {
    const times = countEntries(left.map((index) => keyOf(list[index] as T)).filter((key) => key !== null))
    return new Set([...times].filter(([, number]) => number === 1).map(([key]) => key))
  }
  const [one, other] = [only(first, pairing.first), only(second, pairing.second)]
  return pairByKey(pairing, first, second, (entry) => {
    const key = keyOf(entry)
    return key !== null && one.has(key) && other.has(key) ? key : null
  })
}

/** More would take too long; what is left then stays unpaired. */
const mostScored = 250_000

/** The best matches first, down to the score `least`; of equal ones those that stand at about the same place. */
export function pairByScore(
  pairing: Pairing,
  score: (first: number, second: number) => number,
  least: number,
): Pairing {
  if (pairing.first.length * pairing.second.length > mostScored) return pairing
  const candidates = pairing.first
    .flatMap((one) => pairing.second.map((other) => ({ one, other, worth: score(one, other) })))
    .filter(({ worth }) => worth >= least)
    // Two that are equal in all this cannot be rivals: they are (a, b) and (b, a).
    .sort((a, b) => b.worth - a.worth || Math.abs(a.one - a.other) - Math.abs(b.one - b.other) || sum(a) - sum(b))
  const [usedFirst, usedSecond] = [new Set<number>(), new Set<number>()]
  const found: Pair[] = []
  for (const { one, other } of candidates) {
    if (usedFirst.has(one) || usedSecond.has(other)) continue
    usedFirst.add(one)
    usedSecond.add(other)
    found.push([one, other])
  }
  return take(pairing, found)
}

const sum = ({ one, other }: { one: number; other: number }): number => one + other

/** How much two lists have in common, entries of one kind counted as often as they stand: 0 to 1 (Dice). */
export function shareOf(first: ReadonlyMap<string, number>, second: ReadonlyMap<string, number>): number {
  const size = (bag: ReadonlyMap<string, number>) => bag.values().reduce((total, times) => total + times, 0)
  const all = size(first) + size(second)
  if (all === 0) return 0
  let common = 0
  for (const [entry, times] of first) common += Math.min(times, second.get(entry) ?? 0)
  return (2 * common) / all
}

/** Each entry with how often it stands. */
export function countEntries(entries: Iterable<string>): Map<string, number> {
  const bag = new Map<string, number>()
  for (const entry of entries) bag.set(entry, (bag.get(entry) ?? 0) + 1)
  return bag
}
