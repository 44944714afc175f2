/** OpenSSL's own program, in a folder of its own, as the outside that our files must satisfy. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'

export interface Desk {
  folder: string
  /** Writes a file into the folder. */
  put(name: string, content: Uint8Array | string): string
  get(name: string): Buffer
  /** Runs `openssl …` there; what it printed, on both streams. Throws where it fails. */
  openssl(...words: string[]): string
  /** Whether it succeeds. */
  accepts(...words: string[]): boolean
}

/** Gone when the test has ended. */
export function openDesk(): Desk {
  const folder = mkdtempSync(join(tmpdir(), 'identity-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  const run = (words: string[]) => {
    const ran = spawnSync('openssl', words, { cwd: folder, encoding: 'utf8' })
    if (ran.error)
      throw new Error('These tests need OpenSSL 3 (Debian: apt-get install openssl).', { cause: ran.error })
    return ran
  }
  return {
    folder,
    put(name, content) {
      writeFileSync(join(folder, name), content)
      return join(folder, name)
    },
    get: (name) => readFileSync(join(folder, name)),
    openssl(...words) {
      const { status, stdout, stderr } = run(words)
      if (status !== 0) throw new Error(`openssl ${words.join(' ')}\n${stderr}`)
      return stdout + stderr
    },
    accepts: (...words) => run(words).status === 0,
  }
}

export { formatPem as pem } from '../../../src/seal/identity/index.ts'

export const subject = {
  commonName: 'Tamsin Orrell-Žák',
  organization: 'Fernhollow Calibration',
  unit: 'Bay 3',
  country: 'IE',
  email: 'bay3@fernhollow.example',
}

export const passphrase = 'quillwort övertone gable 71'
export const now = new Date('2026-11-25T09:00:00Z')

/** Fewer rounds than are written otherwise, where a slow reader must keep up. */
export const fewRounds = 2000
