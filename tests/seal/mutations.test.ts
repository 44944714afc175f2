/**
 * Signature, token and certificates of a sealed bag under thousands of changes by chance: none is accepted. The seed is new in
 * each run and told when something is found. To run more: `SEAL_MUTATIONS=20000 SEAL_SEED=7 vitest run …`.
 */
import { createHash, randomInt } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { BagView } from '../../src/seal/bag/examine.ts'
import { takeApart } from '../../src/seal/cms/structure.ts'
import { examineSeal } from '../../src/seal/examine.ts'
import { unwrapToken } from '../../src/seal/stamp/exchange.ts'
import { makeChance, mutate, parseNodes, writeNode } from './mutate.ts'
import { makeBag, openScene, policy, type Scene, viewBag } from './scene.ts'

const count = Number(process.env.SEAL_MUTATIONS ?? 700)
const seed = Number(process.env.SEAL_SEED ?? randomInt(2 ** 31))

let scene: Scene
let stamped: BagView
let unstamped: BagView
const gone: (() => Promise<void>)[] = []
beforeAll(async () => {
  scene = await openScene()
  const signer = await scene.sign({ name: 'Records desk' })
  const make = async (stamp: typeof scene.stamp | null) => {
    const made = await makeBag(signer, stamp)
    gone.push(made.remove)
    return viewBag(made.bag)
  }
  stamped = await make(scene.stamp)
  unstamped = await make(null)
})
afterAll(async () => {
  for (const remove of gone) await remove()
  await scene.close()
})

function exchange(view: BagView, path: string, bytes: Uint8Array): BagView {
  const digest = (name: string) => createHash(name).update(bytes).digest('hex')
  const digests = { 'sha-256': digest('sha256'), 'sha-512': digest('sha512') }
  const entries = view.entries.map((entry) => (entry.path === path ? { path, bytes: bytes.length, digests } : entry))
  return { ...view, entries, tagFiles: new Map([...view.tagFiles, [path, bytes]]) }
}

/** All parts hold, but for the stamp where there is none. */
function passes(view: BagView): boolean {
  const { parts } = examineSeal(view, { trust: scene.trust, policy, at: new Date(Date.now() + 60_000) }).examination
  return parts.every(({ state, code }) => state === 'holds' || code === 'none' || code === 'not-looked-up')
}

test('what is changed is read and written as it was', () => {
  for (const path of ['seal.p7s', 'seal.tsr']) {
    const bytes = stamped.tagFiles.get(path) as Uint8Array
    expect(parseNodes(bytes).map(writeNode)).toEqual([bytes])
  }
  expect(passes(stamped)).toBe(true)
  expect(passes(unstamped)).toBe(true)
})

/**
 * A token is in its authority's form, not in ours: which certificates it carries, and in which order, nobody signed. All
 * that was signed must be the same.
 */
function isSameToken(one: Uint8Array, other: Uint8Array): boolean {
  const [first, second] = [one, other].map((response) => {
    const { content, certificates, signers } = takeApart(unwrapToken(response))
    const [info] = signers
    const ders = certificates.map(({ der }) => Buffer.from(der).toString('hex'))
    return { content, signature: info?.signature, signed: info?.signedBytes, ders }
  })
  if (first === undefined || second === undefined) return false
  const { ders: known, ...signed } = first
  const { ders, ...rest } = second
  return isDeepStrictEqual(signed, rest) && ders.every((der) => known.includes(der))
}

test.each(['seal.p7s of a bag with a stamp', 'seal.p7s of a bag without', 'seal.tsr'])(
  `${count} changes of %s: none is accepted`,
  { timeout: 3_600_000 },
  (what) => {
    const view = what.endsWith('without') ? unstamped : stamped
    const path = what.slice(0, 'seal.p7s'.length)
    const bytes = view.tagFiles.get(path) as Uint8Array
    const accepted: string[] = []
    let tried = 0
    for (let number = 0; tried < count; number++) {
      const changed = mutate(bytes, makeChance(seed + number))
      if (Buffer.compare(changed, bytes) === 0) continue
      tried++
      if (passes(exchange(view, path, changed)) && !(path === 'seal.tsr' && isSameToken(bytes, changed)))
        accepted.push(`seed ${seed + number}: ${Buffer.from(changed).toString('base64')}`)
    }
    expect(accepted).toEqual([])
  },
)
