/** What is seen in a picture beside its words: bar codes, and what it looks like as a whole. */
import type { Barcode, ThumbnailLook, Word } from './reading.ts'

export interface Look {
  barcodes: Barcode[]
  /**
   * The whole picture in 16 by 16 fields of grey, a byte each, from the top left, in 512 hexadecimal digits: near for the
   * same picture at another size or quality, not for a part of it. Null for a picture with too little in it.
   */
  likeness: string | null
  /** Absent where the file holds none that can be decoded. */
  thumbnail?: ThumbnailLook
}

/** Or why it could not be looked at, in words that follow "cannot be looked at: ". */
export type Looked = Look | { fault: string }

export const isLook = (looked: Looked): looked is Look => !('fault' in looked)

/**
 * By how much two likenesses differ, in levels of 256: root mean square of the fields, each against the mean of its own
 * picture, so that a lighter copy is a copy.
 */
export function compareLikenesses(one: string, other: string): number {
  const [a, b] = [readLevels(one), readLevels(other)]
  const [meanOfA, meanOfB] = [a, b].map((levels) => levels.reduce((sum, level) => sum + level, 0) / levels.length)
  const squares = a.map((level, at) => (level - (meanOfA ?? 0) - (b[at] ?? 0) + (meanOfB ?? 0)) ** 2)
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length)
}

const readLevels = (likeness: string): number[] =>
  (likeness.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))

/** The words of a page that is a picture. */
export interface PageWords {
  /** Each with its confidence and where it is to be seen. */
  words: Word[]
  /** Mean of that of the words, 0 to 100. */
  confidence: number
}
