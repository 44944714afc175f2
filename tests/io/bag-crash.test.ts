/** A process that writes bags is killed at any moment: no half bag ever has its final name. */
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { expect, onTestFinished, test } from 'vitest'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { payload } from './bag-filling-child.ts'

/** For each form. */
const kills = 104
/** Children at a time. */
const lanes = 4
const longestWait = 120

const child = join(import.meta.dirname, 'bag-filling-child.ts')

/** Whole milliseconds, spread evenly and in no step with the child's work. */
const waitOf = (number: number): number => Math.floor(((number * 0.618_034) % 1) * longestWait)

async function killOne(folder: string, form: string, wait: number, cache: string): Promise<void> {
  const started = spawn(process.execPath, [child, folder, form], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, NODE_COMPILE_CACHE: cache },
  })
  const ended = new Promise((resolve) => started.once('exit', (_, signal) => resolve(signal)))
  await new Promise((resolve) => started.stdout.once('data', resolve))
  await setTimeout(wait)
  started.kill('SIGKILL')
  expect(await ended).toBe('SIGKILL')
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
  let number = 0
  const seen = { whole: 0, halves: 0 }
  const work = async (lane: number) => {
    const folder = join(root, `${lane}`)
    mkdirSync(folder)
    while (number < kills) {
      await killOne(folder, form, waitOf(number++), join(root, 'compiled'))
      for (const name of readdirSync(folder)) {
        const path = join(folder, name)
        if (/^\.bag-\d+(?:\.zip)?\.[0-9a-f]{12}\.tmp$/.test(name)) seen.halves++
        else {
          expect(name).toMatch(form === 'zip' ? /^bag-\d+\.zip$/ : /^bag-\d+$/)
          expect(await judge(path)).toBeNull()
          seen.whole++
        }
        rmSync(path, { recursive: true })
      }
    }
  }
  await Promise.all(Array.from({ length: lanes }, (_, lane) => work(lane)))
  // Kills fell amid writing, and bags were finished in between.
  expect(seen.halves).toBeGreaterThan(kills / 4)
  expect(seen.whole).toBeGreaterThan(kills / 4)
})
