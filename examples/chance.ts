/** Seeded numbers, so that noise is the same each time the examples are made. */

export interface Chance {
  /** Even in [0, 1). */
  even(): number
  /** Normal with mean 0 and deviation 1: the sum of twelve even numbers less six, which needs no logarithm or cosine. */
  normal(): number
}

/** A generator of 32-bit state (mulberry32, public domain). */
export function seedChance(seed: number): Chance {
  let state = seed >>> 0
  const even = (): number => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), state | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
  const normal = (): number => {
    let sum = -6
    for (let count = 0; count < 12; count++) sum += even()
    return sum
  }
  return { even, normal }
}

/** A value that wanders about zero with the deviation and the memory (seconds) given (Ornstein-Uhlenbeck, step by step). */
export function wander(chance: Chance, deviation: number, memorySeconds: number, stepSeconds: number): () => number {
  const kept = 1 - stepSeconds / memorySeconds
  const kick = deviation * Math.sqrt(1 - kept * kept)
  let value = deviation * chance.normal()
  return () => {
    value = value * kept + kick * chance.normal()
    return value
  }
}
