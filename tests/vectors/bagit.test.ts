/** Published bags, opened from disk as a folder and as a zip. Source: bagit/SOURCE.md. */
import { createHash } from 'node:crypto'
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { writeBagZip } from '../../src/io/zip-writer.ts'
import { type BagExamination, examineBag } from '../../src/seal/bag/examine.ts'
import cases from './bagit/cases.json' with { type: 'json' }

type Files = Readonly<Record<string, string>>
const suite: Readonly<Record<string, Files>> = cases.suite
const library: Readonly<Record<string, Files>> = cases.library

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'published-bags-'))
})
afterAll(() => rm(folder, { recursive: true }))

let count = 0
async function examine(files: Files): Promise<BagExamination> {
  const bag = join(folder, `bag ${count++}`)
  for (const [path, content] of Object.entries(files)) {
    await mkdir(dirname(join(bag, path)), { recursive: true })
    await writeFile(join(bag, path), content)
  }
  await writeBagZip(`${bag}.zip`, 'bag', async ({ put }) => {
    for (const [path, content] of Object.entries(files)) await put(path, new TextEncoder().encode(content))
  })
  const [unpacked, packed] = await Promise.all([bag, `${bag}.zip`].map(open))
  expect(packed).toEqual(unpacked)
  return unpacked as BagExamination
}

async function open(path: string): Promise<BagExamination> {
  const { bag } = await openPacket(fileSystem, path)
  if (bag === null) throw new Error(`${path} is no bag`)
  return examineBag(bag, { sealed: false })
}

const statesOf = ({ structure, files }: BagExamination) => `${structure.state}, ${files.state}`
const faultsOf = ({ structure, files }: BagExamination) =>
  [...structure.faults, ...files.faults].map(({ code, file }) => `${code} ${file}`)

const pick = (from: Readonly<Record<string, Files>>, name: string): Files => {
  const found = from[name]
  if (found === undefined) throw new Error(`no case ${name}`)
  return found
}

describe('the conformance suite', () => {
  test.each([
    ['v0.97/valid/basic-bag-sha256', 'holds, holds'],
    ['v0.97/valid/basic-bag-sha512', 'holds, holds'],
    // Valid, by digests that can be forged: never a pass.
    ['v0.97/valid/basic-bag-sha1', 'holds, doubtful'],
    ['v0.95/valid/basic-bag-md5', 'holds, doubtful'],
    // RFC 8493, 2.4 asks for SHA-256 and SHA-512; SHA-224 is read by nobody here, and said to be unread.
    ['v0.97/valid/basic-bag-sha224', 'doubtful, unexamined'],
    ['v0.97/warning/filename-normalization', 'holds, holds'],
  ])('%s: %s', async (name, states) => {
    expect(statesOf(await examine(pick(suite, name)))).toBe(states)
  })

  test('v0.97/warning/same-filename-listed-twice-with-different-normalization: the file is listed twice', async () => {
    const name = 'v0.97/warning/same-filename-listed-twice-with-different-normalization'
    expect(faultsOf(await examine(pick(suite, name)))).toEqual(['listed-twice manifest-sha512.txt'])
  })

  test('v0.97/invalid/bagit-with-invalid-whitespace: its bagit.txt makes a valid bag invalid', async () => {
    const name = 'v0.97/invalid/bagit-with-invalid-whitespace'
    expect(faultsOf(await examine(pick(suite, name)))).toContain('declaration bagit.txt')
    const { 'tagmanifest-sha256.txt': _, ...valid } = pick(suite, 'v0.97/valid/basic-bag-sha256')
    const spoilt = await examine({ ...valid, 'bagit.txt': pick(suite, name)['bagit.txt'] ?? '' })
    expect(faultsOf(spoilt)).toEqual(['declaration bagit.txt'])
    expect(statesOf(spoilt)).toBe('broken, holds')
  })

  test('v0.97/invalid/out-of-scope-file-paths-using-dot-notation', async () => {
    const examined = await examine(pick(suite, 'v0.97/invalid/out-of-scope-file-paths-using-dot-notation'))
    expect(faultsOf(examined)).toContain('path-escapes manifest-md5.txt')
    expect(examined.structure.state).toBe('broken')
  })

  test.each(Object.keys(suite).filter((name) => name.startsWith('v0.97/valid')))(
    '%s with a byte changed',
    async (name) => {
      const files = pick(suite, name)
      for (const path of Object.keys(files)) {
        const content = files[path] ?? ''
        const changed = content.slice(0, -1) + (content.endsWith('x') ? 'y' : 'x')
        const examined = await examine({ ...files, [path]: changed })
        // No list of it is read.
        if (name.includes('sha224')) expect(statesOf(examined)).not.toBe('holds, holds')
        else expect(statesOf(examined), path).toContain('broken')
      }
    },
  )
})

describe('test data of a library', () => {
  test.each([
    ['bags/v1_0/bag', 'holds, holds', []],
    ['corruptPayloadFile', 'holds, broken', ['changed data/dir1/test3.txt']],
    // Escapes that RFC 8493 does not know are names as they stand.
    ['bags/v0_96/bag-with-encoded-names', 'holds, doubtful', []],
  ])('%s: %s', async (name, states, faults) => {
    const examined = await examine(pick(library, name))
    expect(statesOf(examined)).toBe(states)
    expect(faultsOf(examined)).toEqual(faults)
  })

  test.each(Object.entries(cases.lines.manifest))('%s leads out of the bag', async (_, line) => {
    const files = pick(suite, 'v0.95/valid/basic-bag-md5')
    const manifest = `${files['manifest-md5.txt']}${line}`
    expect(faultsOf(await examine({ ...files, 'manifest-md5.txt': manifest }))).toEqual([
      'path-escapes manifest-md5.txt',
    ])
  })

  test.each(Object.entries(cases.lines.fetch))('%s leads out of the bag', async (_, line) => {
    const files = pick(suite, 'v0.95/valid/basic-bag-md5')
    expect(faultsOf(await examine({ ...files, 'fetch.txt': line }))).toEqual(['path-escapes fetch.txt'])
  })
})

test('what was written anew is what the original lists have digests of', () => {
  const all = { ...suite, ...library }
  let proved = 0
  for (const [name, files] of Object.entries(all))
    for (const [list, text] of Object.entries(files)) {
      const algorithm = /^tagmanifest-(\w+)\.txt$/.exec(list)?.[1]
      for (const line of algorithm === undefined ? [] : text.trimEnd().split('\n')) {
        const [digest, path = ''] = line.split(/\s+/)
        const content = files[path]
        if (content === undefined) continue
        proved++
        expect(
          createHash(algorithm as string)
            .update(content)
            .digest('hex'),
          `${name} ${path}`,
        ).toBe(digest)
      }
    }
  expect(proved).toBe(23)
})
