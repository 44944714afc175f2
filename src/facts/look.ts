/** What is seen in a picture beside its words: bar codes, and what it looks like as a whole. */
import type { Barcode } from './reading.ts'

export interface Look {
  barcodes: Barcode[]
  /**
   * Difference hash of the whole picture, 256 bits in 64 hexadecimal digits: near for the same picture at another size or
   * quality, not for a part of it. Null for a picture without enough in it to be told from another.
   */
  likeness: string | null
}

/** Or why it could not be looked at, in words that follow "cannot be looked at: ". */
export type Looked = Look | { fault: string }

export const isLook = (looked: Looked): looked is Look => !('fault' in looked)

/** How many bits of two hashes differ. */
export function countBits(one: string, other: string): number {
  let differing = BigInt(`0x${one}`) ^ BigInt(`0x${other}`)
  let bits = 0
  for (; differing > 0n; differing &= differing - 1n) bits++
  return bits
}
