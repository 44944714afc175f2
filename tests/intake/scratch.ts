/** A folder of its own for each test file, gone afterwards. */
import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll } from 'vitest'

export const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-'))
afterAll(() => {
  // Some tests make folders that even their owner may not enter.
  execFileSync('chmod', ['-R', 'u+rwX', scratch])
  rmSync(scratch, { recursive: true, force: true })
})

let count = 0

/** A fresh folder that holds the given files. */
export function makeFolder(files: Record<string, string | Uint8Array>): string {
  const folder = join(scratch, `packet-${++count}`)
  mkdirSync(folder)
  for (const [path, data] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true })
    writeFileSync(join(folder, path), data)
  }
  return folder
}

/** Bytes saved under a fresh name. */
export function makeFile(name: string, data: string | Uint8Array): string {
  return join(makeFolder({ [name]: data }), name)
}
