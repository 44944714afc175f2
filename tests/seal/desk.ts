/** Other people's programs, in a folder of their own, as the outside that our files must satisfy. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'

/** In which Debian package each is. `.ci/programs.mjs` installs them where that may be done. */
const packages: Readonly<Record<string, string>> = {
  openssl: 'openssl',
  pdfsig: 'poppler-utils',
  pdfinfo: 'poppler-utils',
  qpdf: 'qpdf',
  certutil: 'libnss3-tools',
  pk12util: 'libnss3-tools',
}

export interface Desk {
  folder: string
  /** Writes a file into the folder. */
  put(name: string, content: Uint8Array | string): string
  get(name: string): Buffer
  /** Runs a program there; what it printed, on both streams. Throws where it fails. */
  run(program: string, ...words: string[]): string
  openssl(...words: string[]): string
  /** Whether `openssl …` succeeds. */
  accepts(...words: string[]): boolean
}

/** Gone when the test has ended, or when `later` says. */
export function openDesk(later: (dispose: () => void) => void = onTestFinished): Desk {
  const folder = mkdtempSync(join(tmpdir(), 'seal-desk-'))
  later(() => rmSync(folder, { recursive: true, force: true }))
  const start = (program: string, words: string[]) => {
    const ran = spawnSync(program, words, { cwd: folder, encoding: 'utf8' })
    if (ran.error === undefined) return ran
    throw new Error(`This test needs ${program} (Debian: apt-get install ${packages[program]}).`, { cause: ran.error })
  }
  const run = (program: string, ...words: string[]) => {
    const { status, stdout, stderr } = start(program, words)
    if (status !== 0) throw new Error(`${program} ${words.join(' ')}\n${stdout}${stderr}`)
    return stdout + stderr
  }
  return {
    folder,
    put(name, content) {
      writeFileSync(join(folder, name), content)
      return join(folder, name)
    },
    get: (name) => readFileSync(join(folder, name)),
    run,
    openssl: (...words) => run('openssl', ...words),
    accepts: (...words) => start('openssl', words).status === 0,
  }
}
