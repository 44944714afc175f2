/**
 * Bags of more files, and of more bytes, than a plain zip can state (Zip64: APPNOTE 4.3.14, 4.5.3): written by us, listed by
 * another program, and verified.
 */
import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdtemp, open, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { expect, onTestFinished, test } from 'vitest'
import { ZipFile } from 'yazl'
import { defaultIntakeLimits } from '../../src/intake/limits.ts'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { writeBagZip } from '../../src/io/zip-writer.ts'
import { concludeSeal } from '../../src/report/seal-text.ts'
import { examineBag } from '../../src/seal/bag/examine.ts'
import { declaration } from '../../src/seal/bag/tags.ts'
import { verifyBag } from '../../src/sealing.ts'
import { fillBag, makeSource, openScene, policy } from '../seal/scene.ts'

async function makeFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'zip64-'))
  onTestFinished(() => rm(folder, { recursive: true, force: true }))
  return folder
}

test('a sealed bag of more than 65 535 files', { timeout: 600_000 }, async () => {
  const scene = await openScene()
  onTestFinished(scene.close)
  const source = await makeSource(await scene.sign({ name: 'Records desk' }), scene.stamp)
  const count = 65_600
  const files = Array.from({ length: count }, (_, index) => ({ path: `photos/${index}.txt`, text: `${index}\n` }))
  const path = join(await makeFolder(), 'bag.zip')
  await writeBagZip(path, 'bag', (sink) => fillBag(sink, source, files))
  // Payload, lists, report, seal and stamp.
  expect(execFileSync('unzip', ['-Z', '-h', path], { encoding: 'utf8' })).toContain(`number of entries: ${count + 11}`)
  const options = { trust: scene.trust, algorithms: policy, at: new Date(Date.now() + 60_000) }
  const { examination, files: found } = await verifyBag(path, fileSystem, options)
  expect(found.length).toBe(count)
  expect(found.find(({ original }) => original === 'photos/65599.txt')).toMatchObject({ bytes: 6 })
  const open = examination.parts.filter(({ state, code }) => state !== 'holds' && code !== 'not-looked-up')
  expect(open).toEqual([])
  expect(concludeSeal(examination)).toBe('pass')
})

const pieceBytes = 8 * 1024 * 1024
/** A byte more than the largest number of 32 bits, and then some. */
const pieces = 513
const largeBytes = pieces * pieceBytes
const zeroes = new Uint8Array(pieceBytes)

async function* emptiness() {
  for (let piece = 0; piece < pieces; piece++) yield zeroes
}

const isZero = (bytes: Uint8Array): boolean => Buffer.compare(bytes, zeroes.subarray(0, bytes.length)) === 0

/** Writes what comes where it belongs, and nothing for zeroes, so that the file takes no room on the disk. */
async function writeSparsely(path: string, stream: AsyncIterable<Uint8Array>): Promise<void> {
  const file = await open(path, 'wx')
  try {
    let position = 0
    for await (const chunk of stream) {
      if (!isZero(chunk)) await file.write(chunk, 0, chunk.length, position)
      position += chunk.length
    }
    await file.truncate(position)
  } finally {
    await file.close()
  }
}

test('a bag of a file of more than 4 GiB, and one behind it', { timeout: 600_000 }, async () => {
  const hash = createHash('sha256')
  for (let piece = 0; piece < pieces; piece++) hash.update(zeroes)
  const small = createHash('sha256').update('no codes\n').digest('hex')
  const manifest = `${hash.digest('hex')}  data/drive.bin\n${small}  data/scan.txt\n`
  // As `writeBagZip` does it: stored, the size of what is streamed stated behind it.
  const zip = new ZipFile()
  const stored = { compress: false } as const
  zip.addReadStream(Readable.from(emptiness(), { objectMode: false }), 'bag/data/drive.bin', stored)
  zip.addBuffer(Buffer.from('no codes\n'), 'bag/data/scan.txt', stored)
  zip.addBuffer(Buffer.from(manifest), 'bag/manifest-sha256.txt', stored)
  zip.addBuffer(Buffer.from(declaration), 'bag/bagit.txt', stored)
  zip.end()
  const path = join(await makeFolder(), 'bag.zip')
  await writeSparsely(path, zip.outputStream as unknown as AsyncIterable<Uint8Array>)
  const { size, blocks } = await stat(path)
  expect(size).toBeGreaterThan(2 ** 32)
  expect(blocks * 512).toBeLessThan(64 * 1024 * 1024)
  expect(execFileSync('unzip', ['-Z', '-l', path], { encoding: 'utf8' })).toContain(String(largeBytes))

  const limits = { fileBytes: 8 * 2 ** 30, totalBytes: 16 * 2 ** 30, ratio: defaultIntakeLimits.ratio }
  const { bag, problems } = await openPacket(fileSystem, path, limits)
  expect(problems).toEqual([])
  if (bag === null) throw new Error('it is no bag')
  expect(bag.entries.find((entry) => entry.path === 'data/drive.bin')?.bytes).toBe(largeBytes)
  const { structure, files } = examineBag(bag, { sealed: false })
  expect([structure.state, files.state, files.text]).toEqual([
    'holds',
    'holds',
    'All 2 files are there, unchanged, and none beside them',
  ])
})
