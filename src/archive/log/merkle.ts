/**
 * Merkle trees over SHA-256: RFC 9162, section 2.1 (the same trees as RFC 6962's).
 *
 * A whole subtree is known by its level and index: the one of 2 ** level leaves that begins at leaf index * 2 ** level.
 * Every root and proof is made of whole subtrees, so a log keeps their hashes and nothing else. Sizes and indexes are
 * whole numbers below 2 ** 53.
 */
import { createHash } from 'node:crypto'

/** A whole subtree. */
export interface Node {
  level: number
  index: number
}

/** Gives the hash of a whole subtree, which the tree that is asked about must hold. */
export type Nodes = (node: Node) => Uint8Array | Promise<Uint8Array>

export const hashBytes = 32

const digest = (...parts: Uint8Array[]): Uint8Array => {
  const hash = createHash('sha256')
  for (const part of parts) hash.update(part)
  return new Uint8Array(hash.digest())
}

const [leafMark, nodeMark] = [Uint8Array.of(0), Uint8Array.of(1)]

/** MTH({d}) = HASH(0x00 || d). */
export const hashLeaf = (data: Uint8Array): Uint8Array => digest(leafMark, data)

/** HASH(0x01 || left || right). */
export const hashNode = (left: Uint8Array, right: Uint8Array): Uint8Array => digest(nodeMark, left, right)

/** MTH({}): the hash of nothing. */
export const emptyRoot = (): Uint8Array => digest()

/** The whole subtrees of which the leaves from `start` to before `end` are made, from the left, by the greatest first that fit. */
function coverRange(start: number, end: number): Node[] {
  const nodes: Node[] = []
  for (let at = start; at < end; ) {
    let level = 0
    while (at % 2 ** (level + 1) === 0 && at + 2 ** (level + 1) <= end) level++
    nodes.push({ level, index: at / 2 ** level })
    at += 2 ** level
  }
  return nodes
}

/** MTH(D[start:end]), for a range that is one side of a split of 2.1.1: its subtrees are joined from the right. */
async function hashRange(start: number, end: number, nodes: Nodes): Promise<Uint8Array> {
  const hashes: Uint8Array[] = []
  for (const node of coverRange(start, end)) hashes.push(await nodes(node))
  return hashes.reduceRight((right, left) => hashNode(left, right))
}

/** The root of the tree of the first `size` leaves (2.1.1). */
export const rootOf = async (size: number, nodes: Nodes): Promise<Uint8Array> =>
  size === 0 ? emptyRoot() : hashRange(0, size, nodes)

/** The greatest power of two below `size`, which is at least 2. */
function splitOf(size: number): number {
  let split = 1
  while (split * 2 < size) split *= 2
  return split
}

/**
 * PATH(index, D[size]) of 2.1.3.1: the hashes that lead from a leaf to the root, from the leaf's sibling on. Throws
 * RangeError for a leaf that the tree does not have.
 */
export async function proveInclusion(index: number, size: number, nodes: Nodes): Promise<Uint8Array[]> {
  holdToWhole(index, size)
  if (index >= size) throw new RangeError(`A tree of ${size} leaves has no leaf ${index}`)
  const path = async (start: number, end: number): Promise<Uint8Array[]> => {
    if (end - start === 1) return []
    const middle = start + splitOf(end - start)
    return index < middle
      ? [...(await path(start, middle)), await hashRange(middle, end, nodes)]
      : [...(await path(middle, end)), await hashRange(start, middle, nodes)]
  }
  return path(0, size)
}

/**
 * PROOF(first, D[second]) of 2.1.4.1: that the tree of `first` leaves is the beginning of that of `second`. Empty where
 * `first` is 0 or `second`. Throws RangeError where `first` is the greater.
 */
export async function proveConsistency(first: number, second: number, nodes: Nodes): Promise<Uint8Array[]> {
  holdToWhole(first, second)
  if (first > second) throw new RangeError(`A tree of ${second} leaves does not hold one of ${first}`)
  if (first === 0 || first === second) return []
  const subproof = async (start: number, end: number, isWhole: boolean): Promise<Uint8Array[]> => {
    if (end === first) return isWhole ? [] : [await hashRange(start, end, nodes)]
    const middle = start + splitOf(end - start)
    return first <= middle
      ? [...(await subproof(start, middle, isWhole)), await hashRange(middle, end, nodes)]
      : [...(await subproof(middle, end, false)), await hashRange(start, middle, nodes)]
  }
  return subproof(0, second, true)
}

function holdToWhole(...numbers: number[]): void {
  for (const number of numbers)
    if (!Number.isSafeInteger(number) || number < 0) throw new RangeError(`${number} is no number of leaves`)
}

const isSame = (one: Uint8Array, other: Uint8Array): boolean => Buffer.compare(one, other) === 0
const isWhole = (number: number): boolean => Number.isSafeInteger(number) && number >= 0
const areHashes = (hashes: readonly Uint8Array[]): boolean => hashes.every(({ length }) => length === hashBytes)
const half = (number: number): number => Math.floor(number / 2)

/** Whether `proof` leads from the leaf's hash to the root (2.1.3.2). */
export function verifyInclusion(
  leaf: Uint8Array,
  index: number,
  size: number,
  proof: readonly Uint8Array[],
  root: Uint8Array,
): boolean {
  if (!isWhole(index) || !isWhole(size) || index >= size || !areHashes([leaf, root, ...proof])) return false
  let [fn, sn, r] = [index, size - 1, leaf]
  for (const p of proof) {
    if (sn === 0) return false
    if (fn % 2 === 1 || fn === sn) {
      r = hashNode(p, r)
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [half(fn), half(sn)]
    } else {
      r = hashNode(r, p)
    }
    fn = half(fn)
    sn = half(sn)
  }
  return sn === 0 && isSame(r, root)
}

/**
 * Whether `proof` shows that the tree of `first` leaves is the beginning of that of `second` (2.1.4.2). Of the empty tree
 * every tree is a continuation, which RFC 9162 leaves open: its root must then be the empty one, and the proof empty.
 */
export function verifyConsistency(
  first: number,
  second: number,
  proof: readonly Uint8Array[],
  firstRoot: Uint8Array,
  secondRoot: Uint8Array,
): boolean {
  if (!isWhole(first) || !isWhole(second) || first > second) return false
  if (!areHashes([firstRoot, secondRoot, ...proof])) return false
  if (first === second) return proof.length === 0 && isSame(firstRoot, secondRoot)
  if (first === 0) return proof.length === 0 && isSame(firstRoot, emptyRoot())
  const isPowerOfTwo = coverRange(0, first).length === 1
  const [start, ...rest] = isPowerOfTwo ? [firstRoot, ...proof] : proof
  if (start === undefined || proof.length === 0) return false
  let [fn, sn] = [first - 1, second - 1]
  while (fn % 2 === 1) [fn, sn] = [half(fn), half(sn)]
  let [fr, sr] = [start, start]
  for (const c of rest) {
    if (sn === 0) return false
    if (fn % 2 === 1 || fn === sn) {
      fr = hashNode(c, fr)
      sr = hashNode(c, sr)
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [half(fn), half(sn)]
    } else {
      sr = hashNode(sr, c)
    }
    fn = half(fn)
    sn = half(sn)
  }
  return sn === 0 && isSame(fr, firstRoot) && isSame(sr, secondRoot)
}
