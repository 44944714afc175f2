/** The example packets, each time with a file more, so that no two that are handed over are the same. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { root } from '../../source-file.ts'

export interface ExamplePacket {
  name: string
  files: readonly { path: string; bytes: Buffer }[]
}

export function readExamples(): ExamplePacket[] {
  const folder = join(root, 'examples', 'packets')
  return readdirSync(folder)
    .sort()
    .map((name) => ({
      name,
      files: readdirSync(join(folder, name)).map((path) => ({ path, bytes: readFileSync(join(folder, name, path)) })),
    }))
}

export const markedBy = ({ name, files }: ExamplePacket, mark: string): ExamplePacket => ({
  name: `${name} ${mark}`,
  files: [...files, { path: 'slip.txt', bytes: Buffer.from(`Handed over at the counter, slip ${mark}.\n`) }],
})
