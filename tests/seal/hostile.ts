/** Sealed bags on disk that somebody changes, and what `verify` says of them. */
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect } from 'vitest'
import { IntakeError } from '../../src/intake/errors.ts'
import { fileSystem } from '../../src/io/files.ts'
import { concludeSeal, renderSeal } from '../../src/report/seal-text.ts'
import { SealError } from '../../src/seal/seal-error.ts'
import { type VerificationOptions, verifyBag } from '../../src/sealing.ts'
import { type CraftedEntry, craftZip } from '../intake/craft-zip.ts'
import { makeBag, openScene, policy } from './scene.ts'

/** Verdict of a verification, the parts that do not hold and their faults; or the code of the error that refuses it. */
export interface Judged {
  verdict: string
  parts: string[]
  faults: string[]
}

export type Hostile = Awaited<ReturnType<typeof openHostile>>

/** A sealed bag, another of the same signer with another packet in it, and room for changed copies. */
export async function openHostile() {
  const scene = await openScene()
  const signer = await scene.sign({ name: 'Records desk' })
  const made = await makeBag(signer, scene.stamp)
  const text = 'VIN 1ZZTE5T11NB000421\nno codes at all\n'
  const other = await makeBag(signer, scene.stamp, [{ path: 'scan before.txt', text }])
  const folder = await mkdtemp(join(tmpdir(), 'hostile-'))
  let count = 0
  const place = (name = '') => join(folder, `${count++}${name}`)
  return {
    scene,
    made,
    other,
    /** A path where nothing is yet. */
    place,
    /** A copy of the sealed bag, changed. */
    async attack(change: (bag: string) => Promise<unknown>): Promise<string> {
      const bag = join(place(), 'RO 17 sealed')
      await cp(made.bag, bag, { recursive: true })
      await change(bag)
      return bag
    },
    /** The sealed bag as a zip, changed. */
    async zip(change: (entries: CraftedEntry[]) => CraftedEntry[]): Promise<string> {
      const path = place('.zip')
      await writeFile(path, craftZip({ entries: change(await listEntries(made.bag)) }))
      return path
    },
    judge: (path: string) => judge(path, { trust: scene.trust, algorithms: policy, at: new Date(Date.now() + 60_000) }),
    close: () => Promise.all([made.remove(), other.remove(), scene.close(), rm(folder, { recursive: true })]),
  }
}

async function listEntries(bag: string): Promise<CraftedEntry[]> {
  const found = await readdir(bag, { recursive: true, withFileTypes: true })
  const files = found.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name))
  return Promise.all(
    files.toSorted().map(async (file) => ({ name: `bag/${file.slice(bag.length + 1)}`, data: await readFile(file) })),
  )
}

/** Nothing may take longer than a person waits, and nothing from a bag may steer a terminal. */
async function judge(path: string, options: VerificationOptions): Promise<Judged> {
  const started = performance.now()
  try {
    const { examination, name } = await verifyBag(path, fileSystem, options)
    // Whether a certificate was revoked is a question of its own, which nobody asks here.
    const open = examination.parts.filter(({ state, code }) => state !== 'holds' && code !== 'not-looked-up')
    const text = renderSeal(examination, { name, examined: '2026-01-01' }, { width: 100, color: false })
    expect(text).not.toMatch(/[\0-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]/)
    return {
      verdict: concludeSeal(examination),
      parts: open.map(({ part, state, code }) => `${part} ${state} ${code}`),
      faults: open.flatMap(({ faults }) => faults.map(({ code, file }) => `${code} ${file}`)),
    }
  } catch (error) {
    if (!(error instanceof IntakeError || error instanceof SealError)) throw error
    expect(error.where).not.toBe('')
    expect(error.mend).not.toBe('')
    return { verdict: 'refused', parts: [error.code], faults: [] }
  } finally {
    expect(performance.now() - started).toBeLessThan(20_000)
  }
}
