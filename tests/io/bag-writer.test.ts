/** Bags as folders and zips: whole or not at all, and taken by the programs of others. */
import { execFileSync, spawnSync } from 'node:child_process'
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeEach, describe, expect, onTestFinished, test } from 'vitest'
import { addToBagFolder, writeBagFolder } from '../../src/io/bag-writer.ts'
import { writeBagZip } from '../../src/io/zip-writer.ts'
import { digestOf } from '../seal/bag/invented.ts'

type Sink = Parameters<Parameters<typeof writeBagFolder>[1]>[0]

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bag-writer-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
})

const MiB = 1024 * 1024

/** The same array for each piece, as readers of files hand it out. */
async function* reuse(pieces: number, bytes: number) {
  const buffer = new Uint8Array(bytes)
  for (let piece = 0; piece < pieces; piece++) yield buffer.fill(piece)
}

function contentOf(pieces: number, bytes: number): Buffer {
  return Buffer.concat(Array.from({ length: pieces }, (_, piece) => Buffer.alloc(bytes, piece)))
}

const forms = [
  { form: 'folder', write: writeBagFolder, target: () => join(folder, 'bag') },
  {
    form: 'zip',
    write: <Result>(target: string, fill: (sink: Sink) => Promise<Result>) => writeBagZip(target, 'bag', fill),
    target: () => join(folder, 'bag.zip'),
  },
] as const

/** The bag as a folder, be it that another program unpacks it. */
function unpack(target: string): string {
  if (!target.endsWith('.zip')) return target
  execFileSync('unzip', ['-q', target, '-d', join(folder, 'unpacked')])
  return join(folder, 'unpacked', 'bag')
}

describe.each(forms)('a $form', ({ form, write, target }) => {
  test('holds what was put, whose digests are told', async () => {
    const large = contentOf(20, MiB)
    const written = await write(target(), async (sink) => [
      await sink.put('data/small.txt', Buffer.from('no codes\n')),
      await sink.put('data/empty', reuse(0, 1)),
      await sink.put('data/photos/left/large.bin', reuse(20, MiB)),
      await sink.put('data/middle.bin', reuse(3, 1000)),
    ])
    const bag = unpack(target())
    expect(readFileSync(join(bag, 'data/photos/left/large.bin')).equals(large)).toBe(true)
    expect(readFileSync(join(bag, 'data/middle.bin')).equals(contentOf(3, 1000))).toBe(true)
    expect(statSync(join(bag, 'data/empty')).size).toBe(0)
    expect(written).toEqual(
      written.map(({ path }) => {
        const content = readFileSync(join(bag, path))
        const digests = { sha256: digestOf('sha256', content), sha512: digestOf('sha512', content) }
        return { path, bytes: content.length, ...digests }
      }),
    )
    expect(readdirSync(folder).filter((name) => name !== 'unpacked')).toEqual([form === 'zip' ? 'bag.zip' : 'bag'])
  })

  test('replaces nothing, and says so before anything is asked for', async () => {
    const fill = () => Promise.reject(new Error('asked for'))
    writeFileSync(target(), 'mine')
    await expect(write(target(), fill)).rejects.toMatchObject({ code: 'EEXIST' })
    expect(readFileSync(target(), 'utf8')).toBe('mine')
    rmSync(target())
    symlinkSync(join(folder, 'nowhere'), target())
    await expect(write(target(), fill)).rejects.toMatchObject({ code: 'EEXIST' })
    rmSync(target())
    mkdirSync(target())
    await expect(write(target(), fill)).rejects.toMatchObject({ code: 'EEXIST' })
  })

  test('replaces nothing that came while it was written', async () => {
    const fill = async (sink: Sink) => {
      await sink.put('data/a', Buffer.from('a'))
      writeFileSync(target(), 'mine')
    }
    await expect(write(target(), fill)).rejects.toMatchObject({ code: 'EEXIST' })
    expect(readFileSync(target(), 'utf8')).toBe('mine')
    expect(readdirSync(folder)).toHaveLength(1)
  })

  async function* failing(pieces: number, bytes: number) {
    yield* reuse(pieces, bytes)
    throw new Error('the source failed')
  }

  test.each([
    ['at once', failing(0, 1)],
    ['amid a small file', failing(3, 1000)],
    ['amid a large file', failing(20, MiB)],
  ])('leaves nothing where a source fails %s', async (_, content) => {
    const fill = async (sink: Sink) => {
      await sink.put('data/first', reuse(12, MiB))
      await sink.put('data/x', content)
    }
    await expect(write(target(), fill)).rejects.toThrow('the source failed')
    expect(readdirSync(folder)).toEqual([])
  })

  test('leaves nothing where it is given up before anything was put', async () => {
    await expect(write(target(), () => Promise.reject(new Error('no')))).rejects.toThrow('no')
    expect(readdirSync(folder)).toEqual([])
  })

  test('leaves nothing where a file would leave the bag, or stands twice', async () => {
    for (const path of ['../x', '/x', 'data/../../x'])
      await expect(write(target(), (sink) => sink.put(path, Buffer.from('x')))).rejects.toThrow()
    const twice = async (sink: Sink) => {
      await sink.put('data/x', Buffer.from('x'))
      await sink.put('data/x', Buffer.from('y'))
    }
    await expect(write(target(), twice)).rejects.toThrow()
    expect(readdirSync(folder)).toEqual([])
  })
})

test('a zip that is given up closes the source that it did not read to its end', async () => {
  let closed = 0
  async function* source() {
    try {
      for (;;) yield new Uint8Array(MiB)
    } finally {
      closed++
    }
  }
  const fill = async (sink: Sink) => {
    const first = sink.put('data/endless', source())
    first.catch(() => {})
    await new Promise((resolve) => setTimeout(resolve, 50))
    throw new Error('enough')
  }
  await expect(writeBagZip(join(folder, 'bag.zip'), 'bag', fill)).rejects.toThrow('enough')
  await expect.poll(() => closed).toBe(1)
  await expect.poll(() => readdirSync(folder)).toEqual([])
})

test('a zip is the same for the same bag, and every entry states its size in front', async () => {
  const fill = async (sink: Sink) => {
    await sink.put('data/a.txt', reuse(3, 1000))
    await sink.put('bagit.txt', Buffer.from('BagIt-Version: 1.0\n'))
  }
  await writeBagZip(join(folder, 'one.zip'), 'bag', fill)
  await writeBagZip(join(folder, 'two.zip'), 'bag', fill)
  const zip = readFileSync(join(folder, 'one.zip'))
  expect(zip.equals(readFileSync(join(folder, 'two.zip')))).toBe(true)
  // APPNOTE.TXT 4.4.4: bit 3 of the general purpose flags, at offset 6 of a local header, tells of sizes behind the content.
  expect(zip.readUInt32LE(0)).toBe(0x04034b50)
  expect(zip.readUInt16LE(6) & 8).toBe(0)
  expect(execFileSync('unzip', ['-t', join(folder, 'one.zip')], { encoding: 'utf8' })).toContain('No errors detected')
})

test('a zip may take the place of another, and is it only when it is whole', async () => {
  const target = join(folder, 'bag.zip')
  await writeBagZip(target, 'bag', (sink) => sink.put('data/a', Buffer.from('one')))
  const before = readFileSync(target)
  const broken = writeBagZip(target, 'bag', () => Promise.reject(new Error('no')), { replace: true })
  await expect(broken).rejects.toThrow('no')
  expect(readFileSync(target).equals(before)).toBe(true)
  await writeBagZip(target, 'bag', (sink) => sink.put('data/a', Buffer.from('two')), { replace: true })
  expect(readFileSync(join(unpack(target), 'data/a'), 'utf8')).toBe('two')
})

test('files are added to a folder, and replace nothing', async () => {
  const bag = join(folder, 'bag')
  await writeBagFolder(bag, (sink) => sink.put('seal.p7s', Buffer.from('seal')))
  const content = Buffer.from('stamp')
  await addToBagFolder(bag, [
    { path: 'seal.tsr', content },
    { path: 'renewal-1/stamp.tsr', content },
    { path: 'renewal-1/manifest-sha512.txt', content },
  ])
  expect(readdirSync(bag)).toEqual(['renewal-1', 'seal.p7s', 'seal.tsr'])
  await expect(addToBagFolder(bag, [{ path: 'seal.p7s', content }])).rejects.toMatchObject({ code: 'EEXIST' })
  expect(readFileSync(join(bag, 'seal.p7s'), 'utf8')).toBe('seal')
  expect(readdirSync(bag)).toEqual(['renewal-1', 'seal.p7s', 'seal.tsr'])
})

test('the checksum tools of others take the lists of a bag, and refuse a changed one', async () => {
  const bag = join(folder, 'bag')
  const list = (digest: 'sha256' | 'sha512', files: Awaited<ReturnType<Sink['put']>>[]) =>
    Buffer.from(files.map((file) => `${file[digest]}  ${file.path}\n`).join(''))
  await writeBagFolder(bag, async (sink) => {
    const files = [await sink.put('data/a.txt', reuse(2, 10)), await sink.put('data/b/c.txt', reuse(1, 7))]
    await sink.put('manifest-sha256.txt', list('sha256', files))
    await sink.put('manifest-sha512.txt', list('sha512', files))
  })
  const check = (program: string, manifest: string) =>
    spawnSync(program, ['--check', '--strict', '--quiet', manifest], { cwd: bag, encoding: 'utf8' })
  const tools = [
    ['sha256sum', 'manifest-sha256.txt'],
    ['sha512sum', 'manifest-sha512.txt'],
  ] as const
  for (const [program, manifest] of tools) expect(check(program, manifest)).toMatchObject({ status: 0, stdout: '' })
  writeFileSync(join(bag, 'data/a.txt'), 'changed')
  for (const [program, manifest] of tools) expect(check(program, manifest).status).toBe(1)
})
