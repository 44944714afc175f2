/** Sealing is killed at any moment: no half bag ever has its final name. */
import { spawn } from 'node:child_process'
import { mkdirSync, readdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { setTimeout } from 'node:timers/promises'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { readTrustFiles, verifyBag } from '../../src/index.ts'
import { fileSystem } from '../../src/io/files.ts'
import { general } from '../checks/general.ts'
import { openDesk } from '../seal/desk.ts'

/** For each form. */
const kills = 104
/** Children at a time. */
const lanes = 4

const child = join(import.meta.dirname, 'sealing-child.ts')

let root = ''
/** Of each `seal`, after where it writes to. */
let words: string[] = []
let trusted = new Uint8Array()
let tidy = () => {}

beforeAll(() => {
  const desk = openDesk((dispose) => {
    tidy = dispose
  })
  root = desk.folder
  // By a program that leaves the key open, so that no passphrase takes its time in each child.
  const certificate = ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:P-256', '-nodes', '-days', '9']
  const usage = ['-addext', 'keyUsage=critical,digitalSignature', '-addext', 'basicConstraints=critical,CA:FALSE']
  desk.openssl(...certificate, ...usage, '-subj', '/CN=Records desk', '-keyout', 'key.pem', '-out', 'desk.pem')
  trusted = new Uint8Array(desk.get('desk.pem'))
  mkdirSync(join(root, 'packet', 'photos'), { recursive: true })
  desk.put('packet/scan before.txt', 'Fault memory before repair\nVIN 1ZZTE5T11NB000421\nno codes stored\n')
  desk.put('packet/photos/front left.bin', Buffer.alloc(400_000, 7))
  desk.put('packet/drive.bin', Buffer.alloc(900_000, 9))
  words = [join(root, 'packet'), '--identity', join(root, 'desk.pem'), '--key', join(root, 'key.pem')]
})
afterAll(() => tidy())

/** A process that seals the packet over and over into a folder. */
class Sealing {
  readonly #process
  readonly #ended: Promise<unknown>
  readonly #lines

  constructor(folder: string, ending: string) {
    this.#process = spawn(process.execPath, [child, folder, ending, ...words], {
      stdio: ['ignore', 'pipe', 'inherit'],
      env: { ...process.env, NODE_COMPILE_CACHE: join(root, 'compiled') },
    })
    this.#ended = new Promise((resolve) => this.#process.once('exit', (_, signal) => resolve(signal)))
    this.#lines = createInterface(this.#process.stdout)[Symbol.asyncIterator]()
  }

  async isReady(): Promise<void> {
    expect((await this.#lines.next()).value).toBe('ready')
  }

  async finishes(bags: number): Promise<void> {
    for (let bag = 0; bag < bags; bag++) expect(await this.#lines.next()).toEqual({ value: `bag-${bag}`, done: false })
  }

  async kill(): Promise<void> {
    this.#process.kill('SIGKILL')
    expect(await this.#ended).toBe('SIGKILL')
  }
}

/** Milliseconds from the start of a child's work to the end of its first bag, on this machine and under its load. */
async function timeOfFirstBag(folder: string, ending: string): Promise<number> {
  mkdirSync(folder)
  const sealing = new Sealing(folder, ending)
  await sealing.isReady()
  const start = performance.now()
  await sealing.finishes(1)
  const taken = performance.now() - start
  await sealing.kill()
  return taken
}

/** What is amiss with a bag; nothing where it is whole and sealed by us. */
async function judge(path: string): Promise<string[]> {
  const trust = readTrustFiles([{ path: 'desk.pem', data: trusted }])
  const options = { trust, algorithms: general.algorithms, at: new Date() }
  const { examination, files } = await verifyBag(path, fileSystem, options)
  const parts = examination.parts.filter(({ part, state }) => state !== 'holds' && part !== 'stamp')
  return [...parts.map(({ text }) => text), ...(files.length === 3 ? [] : ['files are missing'])]
}

test.each([
  ['folder', ''],
  ['zip', '.zip'],
])('%s', { timeout: 1_500_000 }, async (form, ending) => {
  const longestWait = await timeOfFirstBag(join(root, form), ending)
  let number = 0
  let halves = 0
  const work = async (lane: number) => {
    const folder = join(root, `${form}-${lane}`)
    mkdirSync(folder)
    while (number < kills) {
      const kill = number++
      // Most are killed in their first bag, some in the second.
      const finished = kill % 4 === 0 ? 1 : 0
      const sealing = new Sealing(folder, ending)
      await sealing.isReady()
      await sealing.finishes(finished)
      // Spread evenly, and in no step with the child's work.
      await setTimeout(((kill * 0.618_034) % 1) * longestWait)
      await sealing.kill()
      const names = readdirSync(folder)
      for (let bag = 0; bag < finished; bag++) expect(names).toContain(`bag-${bag}${ending}`)
      for (const name of names) {
        const path = join(folder, name)
        if (/^\.bag-\d+(?:\.zip)?\.[0-9a-f]{12}\.tmp$/.test(name)) halves++
        else {
          expect(name).toMatch(ending === '' ? /^bag-\d+$/ : /^bag-\d+\.zip$/)
          expect(await judge(path)).toEqual([])
        }
        rmSync(path, { recursive: true })
      }
    }
  }
  await Promise.all(Array.from({ length: lanes }, (_, lane) => work(lane)))
  // Kills fell amid writing.
  expect(halves).toBeGreaterThan(kills / 10)
})
