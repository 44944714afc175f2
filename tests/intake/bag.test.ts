/** Bags (RFC 8493) as packets: the payload under the names that it was received by, and all that vouches for it. */
import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { writeNames } from '../../src/facts/original-names.ts'
import type { IntakePacket } from '../../src/intake/evidence.ts'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { nameFiles } from '../../src/seal/bag/names.ts'
import { makeFolder } from './scratch.ts'

const declaration = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n'
const sha256 = (content: string | Uint8Array) => createHash('sha256').update(content).digest('hex')

const packet: Record<string, string> = {
  'scan before.txt': 'no codes\n',
  'photos/Größe 1.jpg': 'a picture',
  'photos/Große 1.jpg': 'another',
  'packet.yaml': 'packet: 1\n',
}

/** The packet in a bag, its names written down. */
function inBag(files: Record<string, string>): Record<string, string> {
  const named = nameFiles(Object.keys(files))
  const payload = named.map(({ path, original }) => [path, files[original] as string] as const)
  return {
    ...Object.fromEntries(payload),
    'bagit.txt': declaration,
    'manifest-sha256.txt': payload.map(([path, content]) => `${sha256(content)}  ${path}\n`).join(''),
    'original-names.json': writeNames(named),
  }
}

const open = (path: string, limits = {}): Promise<IntakePacket> => openPacket(fileSystem, path, limits)

function zip(folder: string, ...what: string[]): string {
  execFileSync('zip', ['-q', '-r', '../packed.zip', ...what], { cwd: folder })
  const to = join(makeFolder({}), 'packed.zip')
  execFileSync('mv', [join(folder, '..', 'packed.zip'), to])
  return to
}

describe('a bag', () => {
  test('has the files, the declaration and the digest of the packet in it', async () => {
    const plain = await open(makeFolder(packet))
    const bag = await open(makeFolder(inBag(packet)))
    expect(plain.bag).toBeNull()
    expect(bag.digest).toBe(plain.digest)
    expect(bag.files.map(({ path }) => path)).toEqual(plain.files.map(({ path }) => path))
    expect(bag.declaration?.sha256).toBe(plain.declaration?.sha256)
    expect(bag.declaration?.data).toEqual(plain.declaration?.data)
    expect(plain.declaration).not.toBeNull()
    expect(Buffer.from((await bag.files[0]?.read()) ?? [])).toEqual(Buffer.from(packet['photos/Große 1.jpg'] ?? ''))
    expect(bag.ignored).toEqual([])
    expect(bag.problems).toEqual([])
  })

  test('may be a zip, or lie in the one folder of a zip', async () => {
    const files = inBag(packet)
    const folder = makeFolder({
      ...Object.fromEntries(Object.entries(files).map(([path, text]) => [`RO 17/${path}`, text])),
    })
    const { digest } = await open(makeFolder(packet))
    for (const path of [zip(join(folder, 'RO 17'), '.'), zip(folder, 'RO 17')]) {
      const opened = await open(path)
      expect(opened).toMatchObject({ form: 'zip', digest })
      expect(opened.bag?.entries.map((entry) => entry.path)).toEqual(Object.keys(files).toSorted())
    }
  })

  test('lists every file with every digest that its manifests ask for', async () => {
    const files = {
      ...inBag(packet),
      'manifest-md5.txt': '',
      'tagmanifest-sha1.txt': '',
      'renewal-1/manifest-sha512.txt': '',
      'manifest-whirl.txt': '',
      '.DS_Store': 'x',
      'data/._odd': 'x',
      'data/manifest-sha384.txt': '',
    }
    const { bag, ignored } = await open(makeFolder(files))
    expect(ignored).toEqual([])
    expect(bag?.entries.map(({ path }) => path)).toEqual(Object.keys(files).toSorted())
    for (const { path, bytes, digests } of bag?.entries ?? []) {
      const content = files[path as keyof typeof files] as string
      const of = (algorithm: string) => createHash(algorithm).update(content).digest('hex')
      expect(bytes).toBe(Buffer.byteLength(content))
      expect(digests).toEqual({ md5: of('md5'), 'sha-1': of('sha1'), 'sha-256': of('sha256'), 'sha-512': of('sha512') })
    }
    expect([...(bag?.tagFiles.keys() ?? [])].toSorted()).toEqual(
      Object.keys(files)
        .filter((path) => !path.startsWith('data/'))
        .toSorted(),
    )
  })

  test('of others has the names that its payload has', async () => {
    const { 'original-names.json': _, ...files } = inBag(packet)
    const { files: opened } = await open(makeFolder(files))
    const own = Object.keys(files).filter((path) => path.startsWith('data/') && path !== 'data/packet.yaml')
    expect(opened.map(({ path }) => `data/${path}`)).toEqual(own.toSorted())
  })

  test.each([
    ['no JSON', 'hello'],
    ['a name that leads out', writeNames([{ path: 'data/scan-before.txt', original: '../out.txt' }])],
    ['an absolute name', writeNames([{ path: 'data/scan-before.txt', original: '/etc/hosts' }])],
    ['a name that misleads', writeNames([{ path: 'data/scan-before.txt', original: 'a\u202etxt.exe' }])],
    [
      'the name that another file falls back to',
      writeNames([{ path: 'data/scan-before.txt', original: 'packet.yaml' }]),
    ],
    ['a name that differs only in case', writeNames([{ path: 'data/scan-before.txt', original: 'PACKET.yaml' }])],
  ])('passes over a list of names with %s', async (_, names) => {
    const { files } = await open(makeFolder({ ...inBag(packet), 'original-names.json': names }))
    expect(files.map(({ path }) => path)).toContain('scan-before.txt')
  })

  test('that stands among other files is not taken for the packet', async () => {
    const files = Object.fromEntries(Object.entries(inBag(packet)).map(([path, text]) => [`old/${path}`, text]))
    const opened = await open(makeFolder({ ...files, 'invoice.txt': 'INVOICE' }))
    expect(opened.bag).toBeNull()
    expect(opened.files.map(({ path }) => path)).toContain('invoice.txt')
  })

  test('in a zip has nothing beside it but what archivers leave behind', async () => {
    const files = Object.fromEntries(Object.entries(inBag(packet)).map(([path, text]) => [`bag/${path}`, text]))
    const junk = await open(zip(makeFolder({ ...files, '__MACOSX/bag/._x': 'x' }), '.'))
    expect(junk.bag).not.toBeNull()
    expect(junk.ignored.map(({ path }) => path)).toEqual(['__MACOSX/bag/._x'])
    const stray = await open(zip(makeFolder({ ...files, 'stray.txt': 'x' }), '.'))
    expect(stray.bag).toBeNull()
  })

  test('tells what could not be taken, of the payload as files of the packet', async () => {
    const folder = makeFolder(inBag(packet))
    symlinkSync('scan-before.txt', join(folder, 'data', 'link.txt'))
    symlinkSync('bagit.txt', join(folder, 'tag-link.txt'))
    writeFileSync(join(folder, 'data', 'large.bin'), Buffer.alloc(400))
    const { bag, problems } = await open(folder, { fileBytes: 300 })
    expect(bag?.problems.map(({ path, code }) => `${code} ${path}`).toSorted()).toEqual([
      'link data/link.txt',
      'link tag-link.txt',
      'too-large data/large.bin',
      'too-large manifest-sha256.txt',
    ])
    expect(problems.map(({ path, code }) => `${code} ${path}`)).toEqual(['too-large large.bin', 'link link.txt'])
  })

  test('takes no more of its tag files into memory than may be', async () => {
    const folder = makeFolder(inBag(packet))
    for (let number = 0; number < 10; number++) writeFileSync(join(folder, `tag-${number}.bin`), Buffer.alloc(1000))
    mkdirSync(join(folder, 'report'))
    writeFileSync(join(folder, 'report', 'large.bin'), Buffer.alloc(5000))
    const { bag } = await open(folder, { tagFileBytes: 1000 })
    expect([...(bag?.tagFiles.values() ?? [])].reduce((sum, { length }) => sum + length, 0)).toBeLessThanOrEqual(4000)
    expect(bag?.problems.length).toBeGreaterThan(5)
    expect(bag?.entries.map(({ path }) => path)).toContain('report/large.bin')
  })
})

describe('names in a bag', () => {
  const hostile = fc
    .array(
      fc.oneof(
        fc.string({ unit: 'grapheme', minLength: 1, maxLength: 12 }),
        fc.constantFrom(
          'CON',
          'nul.txt',
          'a.',
          'A',
          'a',
          '..b',
          'x'.repeat(250),
          `${'y'.repeat(99)}.zzzzzzzzzzzz`,
          'é',
          'é'.normalize('NFD'),
          'COM¹.txt',
          'LPT1',
        ),
      ),
      {
        minLength: 1,
        maxLength: 3,
      },
    )
    .map((steps) => steps.map((step) => step.replaceAll('/', '') || 'e').join('/'))

  test('are safe everywhere, never clash, and say what they were', () => {
    fc.assert(
      fc.property(fc.uniqueArray(hostile, { minLength: 1, maxLength: 12 }), (originals) => {
        const named = nameFiles(originals)
        expect(named.map(({ original }) => original).toSorted()).toEqual(originals.toSorted())
        expect(nameFiles(originals.toReversed())).toEqual(named)
        const folded = named.map(({ path }) => path.toLowerCase())
        expect(new Set(folded).size).toBe(folded.length)
        const folders = new Set(
          folded.flatMap((path) => path.split('/').map((_, at, steps) => steps.slice(0, at).join('/'))),
        )
        for (const path of folded) expect(folders.has(path)).toBe(false)
        for (const { path, original } of named) {
          const steps = path.split('/')
          expect(steps.length).toBe(original.split('/').length + 1)
          for (const step of steps) {
            expect(step).toMatch(/^[A-Za-z0-9_][A-Za-z0-9._-]*$/)
            expect(step).not.toMatch(/\.$|^(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/i)
            expect(step.length).toBeLessThan(120)
          }
        }
      }),
    )
  })

  test('are kept where they do, extension and folders too', () => {
    const kept = ['a.txt', 'photos/IMG_0001.JPG', 'scan-1.pdf']
    expect(nameFiles(kept)).toEqual(kept.map((original) => ({ path: `data/${original}`, original })))
    expect(nameFiles(['Größe (1).jpg'])[0]?.path).toMatch(/\.jpg$/)
  })
})
