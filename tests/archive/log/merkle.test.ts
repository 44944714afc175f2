/** Merkle trees against the published roots and proofs of RFC 6962's reference tests, and against RFC 9162's definition. */
import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import {
  emptyRoot,
  hashLeaf,
  type Nodes,
  proveConsistency,
  proveInclusion,
  rootOf,
  verifyConsistency,
  verifyInclusion,
} from '../../../src/archive/log/merkle.ts'

/** The leaves of the tests of Certificate Transparency (certificate-transparency, merkletree tests; also transparency-dev/merkle). */
const published = [
  '',
  '00',
  '10',
  '2021',
  '3031',
  '40414243',
  '5051525354555657',
  '606162636465666768696a6b6c6d6e6f',
].map((hex) => Uint8Array.from(Buffer.from(hex, 'hex')))

/** The roots of the first 1 to 8 of them, from the same tests. */
const publishedRoots = [
  '6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d',
  'fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125',
  'aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77',
  'd37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7',
  '4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4',
  '76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef',
  'ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c',
  '5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328',
]

const hex = (hash: Uint8Array) => Buffer.from(hash).toString('hex')
const base64 = (hash: Uint8Array) => Buffer.from(hash).toString('base64')

/** MTH of RFC 9162, 2.1.1, written as the text defines it: nothing in common with what is tested. */
function definedRoot(leaves: readonly Uint8Array[]): Buffer {
  const hash = (...parts: Uint8Array[]) => createHash('sha256').update(Buffer.concat(parts)).digest()
  const [only] = leaves
  if (only === undefined) return hash()
  if (leaves.length === 1) return hash(Buffer.from([0]), only)
  const k = 2 ** Math.ceil(Math.log2(leaves.length) - 1)
  return hash(Buffer.from([1]), definedRoot(leaves.slice(0, k)), definedRoot(leaves.slice(k)))
}

const nodesOver =
  (leaves: readonly Uint8Array[]): Nodes =>
  ({ level, index }) =>
    definedRoot(leaves.slice(index * 2 ** level, (index + 1) * 2 ** level))

const made = Array.from({ length: 40 }, (_, at) => Uint8Array.from(Buffer.from(`entry ${at}`)))

describe('roots', () => {
  test('are those that are published', async () => {
    const roots = await Promise.all(
      publishedRoots.map((_, at) => rootOf(at + 1, nodesOver(published.slice(0, at + 1)))),
    )
    expect(roots.map(hex)).toEqual(publishedRoots)
    expect(hex(await rootOf(0, nodesOver([])))).toBe(createHash('sha256').digest('hex'))
  })

  test('are those of the definition, for every size up to 40', async () => {
    for (let size = 1; size <= made.length; size++)
      expect(hex(await rootOf(size, nodesOver(made)))).toBe(hex(definedRoot(made.slice(0, size))))
  })
})

describe('a proof that an entry is there', () => {
  // transparency-dev/merkle, testdata/inclusion/2/happy-path.json
  test('is the published one for leaf 5 of 8', async () => {
    const proof = await proveInclusion(5, 8, nodesOver(published))
    expect(proof.map(base64)).toEqual([
      'vBoGQ7EuTS18d5GPROD095qDi2z57FtcKD4fTYhZnms=',
      'yoVOoSjtBQtBs1/8G4e46yveRh6eO1WW7Oa51ZdaCuA=',
      '037kGJdt2VdTwcc4Yrk5j6Kiz5tP8P3+izDNlSCWFLc=',
    ])
  })

  test('holds for every leaf of every tree, and for no other leaf, size, order or root', async () => {
    for (let size = 1; size <= 33; size++) {
      const leaves = made.slice(0, size)
      const root = definedRoot(leaves)
      for (const [index, leaf] of leaves.entries()) {
        const proof = await proveInclusion(index, size, nodesOver(leaves))
        const hash = hashLeaf(leaf)
        expect(verifyInclusion(hash, index, size, proof, root)).toBe(true)
        expect(verifyInclusion(hash, index + 1, size, proof, root)).toBe(false)
        expect(verifyInclusion(hash, index - 1, size, proof, root)).toBe(false)
        expect(verifyInclusion(hashLeaf(Buffer.from('another')), index, size, proof, root)).toBe(false)
        expect(verifyInclusion(hash, index, size, [...proof, hash], root)).toBe(false)
        expect(verifyInclusion(hash, index, size, proof.slice(1), root)).toBe(size === 1)
        expect(verifyInclusion(hash, index, size, proof, hash)).toBe(size === 1)
        for (const at of proof.keys()) {
          const bent = proof.map((one, other) => (other === at ? Uint8Array.from(one, (byte) => byte ^ 1) : one))
          expect(verifyInclusion(hash, index, size, bent, root)).toBe(false)
        }
      }
    }
  })

  test('is refused for a leaf that the tree does not have', async () => {
    await expect(proveInclusion(8, 8, nodesOver(published))).rejects.toThrow('A tree of 8 leaves has no leaf 8')
    await expect(proveInclusion(-1, 8, nodesOver(published))).rejects.toThrow(RangeError)
    expect(verifyInclusion(new Uint8Array(31), 0, 1, [], new Uint8Array(31))).toBe(false)
  })
})

describe('a proof that one tree continues another', () => {
  // transparency-dev/merkle, testdata/consistency/2/happy-path.json
  test('is the published one from 6 leaves to 8', async () => {
    const proof = await proveConsistency(6, 8, nodesOver(published))
    expect(proof.map(base64)).toEqual([
      'DrxdNDf74tsVi58Sah0RjjCBgQMdCpSfje3t68VY72o=',
      'yoVOoSjtBQtBs1/8G4e46yveRh6eO1WW7Oa51ZdaCuA=',
      '037kGJdt2VdTwcc4Yrk5j6Kiz5tP8P3+izDNlSCWFLc=',
    ])
  })

  test('holds for every pair of sizes, and for no tree that was rewritten', async () => {
    for (let second = 1; second <= 33; second++) {
      const whole = definedRoot(made.slice(0, second))
      for (let first = 0; first <= second; first++) {
        const part = definedRoot(made.slice(0, first))
        const proof = await proveConsistency(first, second, nodesOver(made.slice(0, second)))
        expect(verifyConsistency(first, second, proof, part, whole)).toBe(true)
        const rewritten = definedRoot(made.slice(0, first).map((leaf, at) => (at === 0 ? Buffer.from('other') : leaf)))
        if (first > 0) expect(verifyConsistency(first, second, proof, rewritten, whole)).toBe(false)
        const other = definedRoot(made.slice(1, second + 1))
        if (first > 0) expect(verifyConsistency(first, second, proof, part, other)).toBe(false)
        expect(verifyConsistency(first, second, [...proof, part], part, whole)).toBe(false)
        if (first > 0 && first < second) expect(verifyConsistency(first, second, [], part, whole)).toBe(false)
        if (proof.length > 0) expect(verifyConsistency(first, second, proof.slice(1), part, whole)).toBe(false)
        if (first > 0 && first < second) expect(verifyConsistency(first - 1, second, proof, part, whole)).toBe(false)
        for (const at of proof.keys()) {
          const bent = proof.map((one, index) => (index === at ? Uint8Array.from(one, (byte) => byte ^ 128) : one))
          expect(verifyConsistency(first, second, bent, part, whole)).toBe(false)
        }
      }
    }
  })

  test('is refused from the longer to the shorter', async () => {
    await expect(proveConsistency(9, 8, nodesOver(published))).rejects.toThrow('does not hold one of 9')
    expect(verifyConsistency(2, 1, [], emptyRoot(), emptyRoot())).toBe(false)
  })
})
