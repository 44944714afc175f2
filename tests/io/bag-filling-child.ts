/**
 * Writes bags `bag-0`, `bag-1`, … into a folder, as a folder or a zip, until it is killed. Says `ready`, then the name
 * of each when it is finished, a line each.
 */
import { createHash } from 'node:crypto'
import { join } from 'node:path'
import type { Sink } from '../../src/io/bag-sink.ts'

/** Payload that every bag has: content by path, larger than one piece. */
export const payload = new Map(
  ['data/a.bin', 'data/photos/b.bin', 'data/photos/left/c.bin'].map((path, index) => [
    path,
    new Uint8Array(40_000 * (index + 1)).fill(index + 1),
  ]),
)

async function* inPieces(content: Uint8Array) {
  for (let start = 0; start < content.length; start += 30_000) yield content.subarray(start, start + 30_000)
}

export async function fill(sink: Sink): Promise<void> {
  const written = []
  for (const [path, content] of payload) written.push(await sink.put(path, inPieces(content)))
  await sink.put('bagit.txt', Buffer.from('BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n'))
  const lines = written.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join('')
  await sink.put('manifest-sha256.txt', Buffer.from(lines))
  // The last of a bag, as a seal is.
  await sink.put('seal.p7s', createHash('sha256').update(lines).digest())
}

if (process.argv[1] === import.meta.filename) {
  const [, , folder = '', form] = process.argv
  // Each child loads what it needs, and no more: there are hundreds.
  const write =
    form === 'zip'
      ? await import('../../src/io/zip-writer.ts').then(
          ({ writeBagZip }) =>
            (name: string) =>
              writeBagZip(join(folder, `${name}.zip`), name, fill),
        )
      : await import('../../src/io/bag-writer.ts').then(
          ({ writeBagFolder }) =>
            (name: string) =>
              writeBagFolder(join(folder, name), fill),
        )
  process.stdout.write('ready\n')
  for (let number = 0; ; number++) {
    await write(`bag-${number}`)
    process.stdout.write(`bag-${number}\n`)
  }
}
