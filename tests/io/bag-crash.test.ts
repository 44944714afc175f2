/** A process that writes bags is killed at any moment: no half bag ever has its final name. */
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { setTimeout } from 'node:timers/promises'
import { expect, onTestFinished, test } from 'vitest'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { payload } from './bag-filling-child.ts'

/** For each form. */
const kills = 104
/** Children at a time. */
const lanes = 4

const child = join(import.meta.dirname, 'bag-filling-child.ts')

/**
 * A process that fills bags into a folder is killed once it has said so many of them finished, somewhere in the next:
 * after a part of the time the first bag of such a process took on this machine, fast or slow.
 */
class Filling {
  readonly #process
  readonly #ended: Promise<unknown>
  readonly #lines

  constructor(folder: string, form: string, cache: string) {
    this.#process = spawn(process.execPath, [child, folder, form], {
      stdio: ['ignore', 'pipe', 'inherit'],
      env: { ...process.env, NODE_COMPILE_CACHE: cache },
    })
    this.#ended = new Promise((resolve) => this.#process.once('exit', (_, signal) => resolve(signal)))
    this.#lines = createInterface(this.#process.stdout)[Symbol.asyncIterator]()
  }

  async finishes(bags: number): Promise<void> {
    for (let bag = 0; bag < bags; bag++) expect(await this.#lines.next()).toEqual({ value: `bag-${bag}`, done: false })
  }

  async isReady(): Promise<void> {
    expect((await this.#lines.next()).value).toBe('ready')
  }

  async kill(): Promise<void> {
    this.#process.kill('SIGKILL')
    expect(await this.#ended).toBe('SIGKILL')
  }
}

/** Milliseconds from the start of a child's first bag to its end. */
async function timeOfFirstBag(folder: string, form: string, cache: string): Promise<number> {
  const filling = new Filling(folder, form, cache)
  await filling.isReady()
  const start = performance.now()
  await filling.finishes(1)
  const taken = performance.now() - start
  await filling.kill()
  return taken
}

/** Where one is not whole, what is wrong with it. */
async function judge(path: string): Promise<string | null> {
  const { bag } = await openPacket(fileSystem, path)
  if (bag === null) return 'no bag'
  const lines = bag.entries
    .filter(({ path: own }) => own.startsWith('data/'))
    .map(({ path: own, digests }) => `${digests['sha-256']}  ${own}\n`)
  const seal = bag.tagFiles.get('seal.p7s')
  if (bag.problems.length > 0 || lines.length !== payload.size) return 'files are missing'
  const whole = createHash('sha256').update(lines.join('')).digest()
  return seal !== undefined && whole.equals(seal) ? null : 'it is not what was written'
}

test.each(['folder', 'zip'])('%s', { timeout: 240_000 }, async (form) => {
  const root = mkdtempSync(join(tmpdir(), 'bags-'))
  onTestFinished(() => rmSync(root, { recursive: true, force: true }))
  const cache = join(root, 'compiled')
  mkdirSync(join(root, 'first'))
  const longestWait = await timeOfFirstBag(join(root, 'first'), form, cache)
  let number = 0
  let halves = 0
  const work = async (lane: number) => {
    const folder = join(root, `${lane}`)
    mkdirSync(folder)
    while (number < kills) {
      const kill = number++
      const finished = kill % 3
      const filling = new Filling(folder, form, cache)
      await filling.isReady()
      await filling.finishes(finished)
      // Spread evenly, and in no step with the child's work.
      await setTimeout(((kill * 0.618_034) % 1) * longestWait)
      await filling.kill()
      const names = readdirSync(folder)
      for (let bag = 0; bag < finished; bag++) expect(names).toContain(form === 'zip' ? `bag-${bag}.zip` : `bag-${bag}`)
      for (const name of names) {
        const path = join(folder, name)
        if (/^\.bag-\d+(?:\.zip)?\.[0-9a-f]{12}\.tmp$/.test(name)) halves++
        else {
          expect(name).toMatch(form === 'zip' ? /^bag-\d+\.zip$/ : /^bag-\d+$/)
          expect(await judge(path)).toBeNull()
        }
        rmSync(path, { recursive: true })
      }
    }
  }
  await Promise.all(Array.from({ length: lanes }, (_, lane) => work(lane)))
  // Kills fell amid writing.
  expect(halves).toBeGreaterThan(kills / 10)
})
