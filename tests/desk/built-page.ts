/** The page as it is shipped, built for a test. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, relative } from 'node:path'
import { buildPage } from '../../.config/vite.config.ts'

/** Its files by their paths, as `buildApp` takes them. */
export async function readBuiltPage(): Promise<Map<string, Uint8Array>> {
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-built-page-'))
  try {
    await buildPage(folder)
    const entries = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile())
    const paths = entries.map(({ parentPath, name }) => join(parentPath, name))
    return new Map(paths.map((path) => [relative(folder, path), readFileSync(path)]))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
