/**
 * A sealed bag and everything that can be done to it: each change is found. And signatures, tokens and certificates
 * changed bit by bit: none is accepted.
 */
import { createHash } from 'node:crypto'
import { cp, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { concludeSeal } from '../../src/report/seal-text.ts'
import { type BagView, examineBag } from '../../src/seal/bag/examine.ts'
import { oids } from '../../src/seal/cms/structure.ts'
import { verifySigned } from '../../src/seal/cms/verify.ts'
import { examineSeal } from '../../src/seal/examine.ts'
import { unwrapToken } from '../../src/seal/stamp/exchange.ts'
import { verifyStamp } from '../../src/seal/stamp/token.ts'
import { makeBag, openScene, policy, type Scene, viewBag } from './scene.ts'

let scene: Scene
let made: Awaited<ReturnType<typeof makeBag>>
beforeAll(async () => {
  scene = await openScene()
  const signer = await scene.sign({ name: 'Records desk' })
  made = await makeBag(signer, scene.stamp)
})
afterAll(async () => {
  await made.remove()
  await scene.close()
})

const question = () => ({ trust: scene.trust, policy, at: new Date(Date.now() + 60_000) })
const isWhole = (view: BagView) => {
  // The signatures take most of the time, and need not be looked at where the files are broken already.
  const { structure, files } = examineBag(view, { sealed: true })
  if (structure.state === 'broken' || files.state === 'broken') return false
  const { parts } = examineSeal(view, question()).examination
  return parts.every(({ state, code }) => state === 'holds' || code === 'not-looked-up')
}

async function listFiles(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true })
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
}

test('an untouched bag holds in every part', async () => {
  const { examination } = examineSeal(await viewBag(made.bag), question())
  expect(examination.parts.map(({ part, state }) => `${part} ${state}`)).toEqual([
    'structure holds',
    'files holds',
    'signature holds',
    'signer holds',
    'revocation unexamined',
    'stamp holds',
  ])
})

/** As the bag would be opened with one file changed: what is hashed is hashed anew, what is read is read anew. */
function changeFile(view: BagView, path: string, bytes: Uint8Array): BagView {
  const digest = (name: string) => createHash(name).update(bytes).digest('hex')
  const digests = { 'sha-256': digest('sha256'), 'sha-512': digest('sha512') }
  const entries = view.entries.map((entry) => (entry.path === path ? { path, bytes: bytes.length, digests } : entry))
  const tagFiles = new Map(view.tagFiles)
  if (tagFiles.has(path)) tagFiles.set(path, bytes)
  return { ...view, entries, tagFiles }
}

/** Those have tests of their own below, where every byte of them is changed. */
const isSignature = (path: string) => path === 'seal.p7s' || path === 'seal.tsr'

describe('every byte of every file', () => {
  test('changed in one bit, in its case and in all bits is found', { timeout: 300_000 }, async () => {
    const view = await viewBag(made.bag)
    let count = 0
    const unseen: string[] = []
    for (const path of await listFiles(made.bag)) {
      if (isSignature(path)) continue
      const bytes = new Uint8Array(await readFile(join(made.bag, path)))
      for (let index = 0; index < bytes.length; index++) {
        for (const mask of [0x20, 1 << (index % 8), 0xff]) {
          const changed = bytes.with(index, (bytes[index] ?? 0) ^ mask)
          count++
          if (isWhole(changeFile(view, path, changed))) unseen.push(`${path} byte ${index} mask ${mask}`)
        }
      }
    }
    expect(unseen).toEqual([])
    expect(count).toBeGreaterThan(10_000)
  })

  test('more, less, twice or nothing is found', { timeout: 60_000 }, async () => {
    const view = await viewBag(made.bag)
    for (const path of await listFiles(made.bag)) {
      const bytes = new Uint8Array(await readFile(join(made.bag, path)))
      const changes = [
        new Uint8Array([...bytes, 0]),
        new Uint8Array([...bytes, 0x0a]),
        bytes.subarray(0, -1),
        bytes.subarray(1),
        new Uint8Array([...bytes, ...bytes]),
        new Uint8Array(),
      ]
      for (const [index, changed] of changes.entries())
        expect(isWhole(changeFile(view, path, changed)), `${path}, change ${index}`).toBe(false)
    }
  })
})

describe('files', () => {
  const drop = (view: BagView, path: string): BagView => ({
    ...view,
    entries: view.entries.filter((entry) => entry.path !== path),
    tagFiles: new Map([...view.tagFiles].filter(([file]) => file !== path)),
  })

  test('removed, renamed and swapped are found', { timeout: 60_000 }, async () => {
    const view = await viewBag(made.bag)
    for (const entry of view.entries) {
      expect(isWhole(drop(view, entry.path)), `${entry.path} removed`).toBe(false)
      const without = drop(view, entry.path)
      const renamed = { ...entry, path: `${entry.path}.bak` }
      expect(isWhole({ ...without, entries: [...without.entries, renamed] }), `${entry.path} renamed`).toBe(false)
    }
    for (const [index, one] of view.entries.entries()) {
      for (const other of view.entries.slice(index + 1)) {
        const contents = await Promise.all([one, other].map(({ path }) => readFile(join(made.bag, path))))
        const [first, second] = contents as [Buffer, Buffer]
        const swapped = changeFile(changeFile(view, one.path, second), other.path, first)
        expect(isWhole(swapped), `${one.path} and ${other.path} swapped`).toBe(false)
      }
    }
  })

  test('a seal that is taken away with its stamp leaves no bag that passes', async () => {
    const view = await viewBag(made.bag)
    const bare = drop(drop(view, 'seal.tsr'), 'seal.p7s')
    const { form, parts } = examineSeal(bare, question()).examination
    expect(form).toBe('bag')
    expect(concludeSeal({ parts })).toBe('warn')
    expect(parts.find(({ part }) => part === 'signature')).toMatchObject({ state: 'absent', code: 'not-sealed' })
    const kept = examineSeal(drop(view, 'seal.p7s'), question()).examination
    expect(kept.parts.find(({ part }) => part === 'signature')).toMatchObject({ state: 'broken', code: 'removed' })
  })

  test.each([
    'data/added.pdf',
    'data/photos/.hidden',
    'added.txt',
    '.DS_Store',
    'report/added.html',
    'renewal-1/added.txt',
    'fetch.txt',
    'manifest-md5.txt',
    'tagmanifest-sha1.txt',
    'seal.p7s.bak',
  ])('added are found on disk: %s', { timeout: 30_000 }, async (path) => {
    const folder = await mkdtemp(join(tmpdir(), 'copy-'))
    const copy = join(folder, 'bag')
    await cp(made.bag, copy, { recursive: true })
    await mkdir(dirname(join(copy, path)), { recursive: true })
    await writeFile(join(copy, path), '')
    expect(isWhole(await viewBag(copy))).toBe(false)
    await rm(folder, { recursive: true })
  })
})

describe('mutations of what is signed by others', () => {
  /** A bit of each place in turn, and those that make a structured value or an enumeration of a plain one. */
  const masksAt = (index: number) => [1 << (index % 8), 0x20, 0x08]

  test('no signature and no certificate in it is accepted with any bit changed', { timeout: 300_000 }, async () => {
    const view = await viewBag(made.bag)
    const der = view.tagFiles.get('seal.p7s') as Uint8Array
    const content = view.tagFiles.get('tagmanifest-sha256.txt') as Uint8Array
    const accepts = (bytes: Uint8Array) =>
      verifySigned({
        ...{ der: bytes, content, contentType: oids.data, bound: true, carriedBound: true, unsigned: [], policy },
        day: new Date().toISOString().slice(0, 10),
      }).holds
    expect(accepts(der)).toBe(true)
    const unseen: number[] = []
    for (let index = 0; index < der.length; index++)
      for (const mask of masksAt(index)) if (accepts(der.with(index, (der[index] ?? 0) ^ mask))) unseen.push(index)
    expect(unseen).toEqual([])
    expect(der.length * 2).toBeGreaterThan(2000)
  })

  test('no token and no certificate in it is accepted with any bit changed', { timeout: 300_000 }, async () => {
    const view = await viewBag(made.bag)
    const response = view.tagFiles.get('seal.tsr') as Uint8Array
    const stamped = view.tagFiles.get('seal.p7s') as Uint8Array
    const { trust, at } = question()
    const accepts = (bytes: Uint8Array) => {
      try {
        const token = unwrapToken(bytes)
        return verifyStamp({ token, file: 'seal.tsr', stamped, trust, policy, at }).state === 'holds'
      } catch (error) {
        if (error instanceof RangeError) return false
        throw error
      }
    }
    expect(accepts(response)).toBe(true)
    const unseen: number[] = []
    for (let index = 0; index < response.length; index++)
      for (const mask of masksAt(index))
        if (accepts(response.with(index, (response[index] ?? 0) ^ mask))) unseen.push(index)
    expect(unseen).toEqual([])
    expect(response.length * 2).toBeGreaterThan(2000)
  })
})
