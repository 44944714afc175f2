import { createHash } from 'node:crypto'
import { compareCodeUnits } from './names.ts'

/**
 * The digest of a packet: `sha256:` and the SHA-256 of one line a file, `<sha256>  <path>\n` in UTF-8, the lines
 * sorted. Inside a folder without junk, `find . -type f -printf '%P\0' | xargs -0 sha256sum | LC_ALL=C sort | sha256sum`
 * gives the same, as long as no name holds a backslash.
 */
export function digestPacket(files: readonly { path: string; sha256: string }[]): string {
  const lines = files.map(({ sha256, path }) => `${sha256}  ${path}\n`)
  return `sha256:${createHash('sha256').update(lines.sort(compareCodeUnits).join('')).digest('hex')}`
}
