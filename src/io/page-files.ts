/** The desk's page as it was built: `dist/page/` in a clone, `page/` beside the published program. */
import { readdir, readFile } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'

const places = ['../../dist/page', '../../page']

/** Its files by path, with `/`; null where it was not built. */
export async function readPageFiles(): Promise<Map<string, Uint8Array> | null> {
  for (const place of places) {
    const folder = join(import.meta.dirname, place)
    const entries = await readdir(folder, { recursive: true, withFileTypes: true }).catch(() => null)
    if (entries === null || !entries.some(({ name }) => name === 'index.html')) continue
    const files = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name))
    return new Map(
      await Promise.all(
        files.map(async (path) => [relative(folder, path).replaceAll(sep, '/'), await readFile(path)] as const),
      ),
    )
  }
  return null
}
