/**
 * A sealed bag and everything that can be done to it: each change is found. And signatures, tokens and certificates
 * changed bit by bit: none is accepted.
 */
import { cp, mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
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
const isWhole = (view: BagView) =>
  examineSeal(view, question()).examination.parts.every(({ state }) => state === 'holds')

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
    'stamp holds',
  ])
})

/** As the bag would be opened with one file changed: what is hashed is hashed anew, what is read is read anew. */
async function changeFile(view: BagView, path: string, bytes: Uint8Array): Promise<BagView> {
  const digest = async (name: string) =>
    Buffer.from(await crypto.subtle.digest(name, new Uint8Array(bytes))).toString('hex')
  const digests = { 'sha-256': await digest('SHA-256'), 'sha-512': await digest('SHA-512') }
  const entries = view.entries.map((entry) => (entry.path === path ? { path, bytes: bytes.length, digests } : entry))
  const tagFiles = new Map(view.tagFiles)
  if (tagFiles.has(path)) tagFiles.set(path, bytes)
  return { ...view, entries, tagFiles }
}

describe('every byte of every file', () => {
  test('flipped in one bit and in all is found', { timeout: 240_000 }, async () => {
    const view = await viewBag(made.bag)
    let count = 0
    const unseen: string[] = []
    for (const path of await listFiles(made.bag)) {
      const bytes = new Uint8Array(await readFile(join(made.bag, path)))
      for (let index = 0; index < bytes.length; index++) {
        // The bit that turns a letter from lower to upper case, one that makes another digit, and all of them.
        for (const mask of [0x20, 1 << (index % 8), 0xff]) {
          const changed = bytes.with(index, (bytes[index] ?? 0) ^ mask)
          count++
          if (isWhole(await changeFile(view, path, changed))) unseen.push(`${path} byte ${index} mask ${mask}`)
        }
      }
    }
    expect(unseen).toEqual([])
    expect(count).toBeGreaterThan(10_000)
  })

  test('appended, cut off, doubled and emptied is found', async () => {
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
        expect(isWhole(await changeFile(view, path, changed)), `${path}, change ${index}`).toBe(false)
    }
  })
})

describe('files on disk', () => {
  const withCopy = async (change: (bag: string) => Promise<void>) => {
    const copy = join(made.folder, 'copy')
    await cp(made.bag, copy, { recursive: true })
    try {
      await change(copy)
      return await viewBag(copy).then(isWhole, () => false)
    } finally {
      await rm(copy, { recursive: true })
    }
  }

  test('removed, renamed and swapped are found', async () => {
    const files = await listFiles(made.bag)
    for (const path of files) {
      if (path === 'seal.tsr') continue
      expect(await withCopy((bag) => rm(join(bag, path))), `${path} removed`).toBe(false)
      expect(await withCopy((bag) => rename(join(bag, path), join(bag, `${path}.bak`))), `${path} renamed`).toBe(false)
    }
    const payload = files.filter((path) => path.startsWith('data/'))
    for (const [index, one] of payload.entries()) {
      for (const other of payload.slice(index + 1)) {
        const swap = async (bag: string) => {
          await rename(join(bag, one), join(bag, 'x'))
          await rename(join(bag, other), join(bag, one))
          await rename(join(bag, 'x'), join(bag, other))
        }
        expect(await withCopy(swap), `${one} and ${other} swapped`).toBe(false)
      }
    }
  })

  test('a stamp that is taken away is missed', async () => {
    expect(await withCopy((bag) => rm(join(bag, 'seal.tsr')))).toBe(false)
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
  ])('added are found: %s', async (path) => {
    const add = async (bag: string) => {
      await mkdir(dirname(join(bag, path)), { recursive: true })
      await writeFile(join(bag, path), '')
    }
    expect(await withCopy(add)).toBe(false)
  })
})

describe('mutations of what is signed by others', () => {
  const masks = [0x01, 0x80, 0x20, 0xff]

  test('no signature and no certificate in it is accepted with any bit changed', { timeout: 120_000 }, async () => {
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
      for (const mask of masks) if (accepts(der.with(index, (der[index] ?? 0) ^ mask))) unseen.push(index)
    expect(unseen).toEqual([])
    expect(der.length * masks.length).toBeGreaterThan(2000)
  })

  test('no token and no certificate in it is accepted with any bit changed', { timeout: 120_000 }, async () => {
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
      for (const mask of masks) if (accepts(response.with(index, (response[index] ?? 0) ^ mask))) unseen.push(index)
    expect(unseen).toEqual([])
    expect(response.length * masks.length).toBeGreaterThan(2000)
  })
})
