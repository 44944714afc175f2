/**
 * MinHash (Broder 1997) with bands (Leskovec, Rajaraman, Ullman: Mining of Massive Datasets, 3.4): sets that are alike by
 * Jaccard's measure J share a band's key with probability 1 - (1 - J^5)^20. All seeds are fixed: the same set gives the
 * same signature on every machine and in every version, or what is on the disk would have to be made anew.
 */

export const bands = 20
export const rowsPerBand = 5
export const signatureLength = bands * rowsPerBand

/** The finaliser of MurmurHash3 (32 bits, public domain): a permutation of the 32-bit numbers. */
export function mix32(value: number): number {
  let mixed = value >>> 0
  mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b)
  mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35)
  return (mixed ^ (mixed >>> 16)) >>> 0
}

/** FNV-1a over UTF-16 code units, mixed; 32 bits. */
export function hashText(text: string): number {
  let hash = 0x811c9dc5
  for (let at = 0; at < text.length; at++) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193)
  return mix32(hash)
}

/** Two rounds of mixing a seed in: each seed is a permutation of its own. */
const seeds = Uint32Array.from({ length: signatureLength }, (_, at) => mix32(mix32(at + 1) ^ 0x5eed5eed))

/** The least of every permutation over a set of 32-bit hashes. Throws RangeError for an empty set. */
export function signatureOf(hashes: Iterable<number>): Uint32Array {
  const least = new Uint32Array(signatureLength).fill(0xffffffff)
  let count = 0
  for (const hash of hashes) {
    count++
    for (let at = 0; at < signatureLength; at++) {
      const value = mix32(hash ^ (seeds[at] ?? 0))
      if (value < (least[at] ?? 0)) least[at] = value
    }
  }
  if (count === 0) throw new RangeError('An empty set has no signature')
  return least
}

/** The share of equal places: an estimate of Jaccard's measure, with a standard error of √(J(1-J)/100). */
export function estimateLikeness(one: Uint32Array, other: Uint32Array): number {
  let equal = 0
  for (let at = 0; at < signatureLength; at++) if (one[at] === other[at]) equal++
  return equal / signatureLength
}

/** Jaccard's measure of two sets; 0 where both are empty. */
export function compareSets(one: ReadonlySet<number>, other: ReadonlySet<number>): number {
  const shared = one.intersection(other).size
  return shared === 0 ? 0 : shared / (one.size + other.size - shared)
}

/** With what probability two sets that are alike by `likeness` share the key of at least one band. */
export const findingProbability = (likeness: number): number => 1 - (1 - likeness ** rowsPerBand) ** bands

/** What is looked for, so that keys of different kinds do not meet. */
export type KeyKind = 'text' | 'marks' | 'picture' | 'track'
const kindSeeds: Readonly<Record<KeyKind, number>> = { text: 1, marks: 2, picture: 3, track: 4 }

/** 48 bits over a kind, a band and its values: a whole number that a double holds exactly. */
export function makeKey(kind: KeyKind, band: number, values: Iterable<number>): number {
  let low = mix32(kindSeeds[kind] * 0x10001 + band)
  let high = mix32(low ^ 0x9e3779b9)
  for (const value of values) {
    low = mix32(Math.imul(low, 31) ^ (value >>> 0))
    high = mix32(Math.imul(high, 37) ^ mix32(value ^ 0x7f4a7c15))
  }
  return (high & 0xffff) * 2 ** 32 + low
}

/** One key a band. */
export function bandKeys(kind: KeyKind, signature: Uint32Array): number[] {
  return Array.from({ length: bands }, (_, band) =>
    makeKey(kind, band, signature.subarray(band * rowsPerBand, (band + 1) * rowsPerBand)),
  )
}
