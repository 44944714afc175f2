import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { createWriteStream, mkdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ZipFile } from 'yazl'
import { digestPacket } from '../../src/intake/digest.ts'
import type { Copier } from '../../src/intake/evidence.ts'
import { openPacket } from '../../src/intake/open.ts'
import type { Storage } from '../../src/intake/storage.ts'
import { fileSystem } from '../../src/io/files.ts'
import { craftZip } from './craft-zip.ts'
import { makeFile, makeFolder, scratch } from './scratch.ts'
import { drive, scan, zips } from './zips-of-others.ts'

const shop = {
  'reports/pre scan.txt': 'Before repair: C1A67 in front radar\n',
  'reports/post scan.txt': 'After repair: no codes\n',
  'drive.csv': 'time,speed\n0,0\n1,4\n2,9\n',
  'packet.yaml': 'packet: 1\nzone: America/Denver\n',
}

const sha256 = (data: string | Uint8Array) => createHash('sha256').update(data).digest('hex')

/** Written by another implementation of the format. */
async function zipWithYazl(name: string, files: Record<string, string>, compress: boolean): Promise<string> {
  const zip = new ZipFile()
  for (const [path, data] of Object.entries(files)) {
    if (path.endsWith('/')) zip.addEmptyDirectory(path)
    else zip.addBuffer(Buffer.from(data), path, { compress, mtime: new Date(0) })
  }
  zip.end()
  const path = join(makeFolder({}), name)
  await pipeline(zip.outputStream, createWriteStream(path))
  return path
}

const inside = (folder: string, files: Record<string, string>) =>
  Object.fromEntries(Object.entries(files).map(([path, data]) => [`${folder}/${path}`, data]))

describe('a sound packet', () => {
  it('gives its files sorted, hashed and sniffed, and the declaration apart', async () => {
    const packet = await openPacket(fileSystem, makeFolder(shop))
    expect(packet.form).toBe('folder')
    expect(packet.files.map(({ path, bytes, sha256, media }) => ({ path, bytes, sha256, media }))).toEqual([
      { path: 'drive.csv', bytes: 23, sha256: sha256(shop['drive.csv']), media: 'text/csv' },
      {
        path: 'reports/post scan.txt',
        bytes: 23,
        sha256: sha256(shop['reports/post scan.txt']),
        media: 'text/plain',
      },
      { path: 'reports/pre scan.txt', bytes: 36, sha256: sha256(shop['reports/pre scan.txt']), media: 'text/plain' },
    ])
    expect(packet.declaration).toMatchObject({ path: 'packet.yaml', sha256: sha256(shop['packet.yaml']) })
    expect(new TextDecoder().decode(packet.declaration?.data)).toBe(shop['packet.yaml'])
    expect(packet.problems).toEqual([])
    expect(packet.ignored).toEqual([])
  })

  it('has one digest as a folder, as a zip, and as a zipped folder with its junk', async () => {
    const folder = await openPacket(fileSystem, makeFolder(shop))
    const junk = { 'job/.DS_Store': 'x', '__MACOSX/job/._drive.csv': 'x', 'job/reports/': '' }
    const zips = [
      await zipWithYazl('stored.zip', shop, false),
      await zipWithYazl('deflated.zip', shop, true),
      await zipWithYazl('Job 7.ZIP', { ...inside('job', shop), ...junk }, true),
      makeFile('renamed.bin', craftZip({ entries: Object.entries(shop).map(([name, data]) => ({ name, data })) })),
    ]
    for (const path of zips) {
      const packet = await openPacket(fileSystem, path)
      expect(packet.form).toBe('zip')
      expect(packet.digest).toBe(folder.digest)
      expect(packet.files.map((file) => file.path)).toEqual(folder.files.map((file) => file.path))
      for (const [index, file] of packet.files.entries()) {
        expect(await file.read()).toEqual(await folder.files[index]?.read())
      }
    }
    expect((await openPacket(fileSystem, zips[2] ?? '')).name).toBe('Job 7')
  })

  it.each(Object.entries(zips))('opens what another program wrote: %s', async (_, base64) => {
    const folder = makeFolder({ 'drive.csv': drive, 'reports/scan.txt': scan })
    const packet = await openPacket(fileSystem, makeFile('other.zip', Buffer.from(base64, 'base64')))
    expect(packet.problems).toEqual([])
    expect(packet.digest).toBe((await openPacket(fileSystem, folder)).digest)
  })

  it('is a digest that shell tools give as well', async () => {
    const folder = makeFolder(shop)
    const recipe = "find . -type f -printf '%P\\0' | xargs -0 sha256sum | LC_ALL=C sort | sha256sum"
    const shell = execFileSync('sh', ['-c', recipe], { cwd: folder, encoding: 'utf8' })
    expect((await openPacket(fileSystem, folder)).digest).toBe(`sha256:${shell.slice(0, 64)}`)
  })

  it('has a digest that does not depend on the order of files', () => {
    const file = fc.record({ path: fc.string(), sha256: fc.stringMatching(/^[0-9a-f]{64}$/) })
    fc.assert(
      fc.property(fc.array(file), (files) => {
        expect(digestPacket(files.toReversed())).toBe(digestPacket(files))
      }),
    )
  })

  it('takes the one folder at the top for the root, once', async () => {
    const packet = await openPacket(fileSystem, makeFolder(inside('a/b', shop)))
    expect(packet.files.map((file) => file.path)).toContain('b/drive.csv')
    expect(packet.declaration).toBeNull()
  })

  it('keeps the top folder when something else lies beside it', async () => {
    const packet = await openPacket(fileSystem, makeFolder({ ...inside('job', shop), 'photo.txt': 'x' }))
    expect(packet.files.map((file) => file.path)).toContain('job/drive.csv')
    expect(packet.declaration).toBeNull()
    expect(packet.files.map((file) => file.path)).toContain('job/packet.yaml')
  })

  it('may be a single file, which is no declaration whatever its name', async () => {
    const packet = await openPacket(fileSystem, makeFile('packet.yaml', shop['packet.yaml']))
    expect(packet).toMatchObject({ form: 'file', name: 'packet.yaml', declaration: null })
    expect(packet.files).toMatchObject([{ path: 'packet.yaml' }])
  })

  it('may be named through a link, which the user chose', async () => {
    const folder = makeFolder(shop)
    const zip = await zipWithYazl('x.zip', shop, true)
    const digest = (await openPacket(fileSystem, folder)).digest
    for (const [name, target] of Object.entries({ 'to-folder': folder, 'to-zip': zip })) {
      symlinkSync(target, join(scratch, name))
      expect((await openPacket(fileSystem, join(scratch, name))).digest).toBe(digest)
    }
  })

  it('has the name of its folder, however it was named', async () => {
    const folder = makeFolder(shop)
    for (const path of [folder, `${folder}/`, join(folder, 'reports', '..')]) {
      expect((await openPacket(fileSystem, path)).name).toBe(basename(folder))
    }
    const standingThere = { ...fileSystem, look: () => fileSystem.look(folder) }
    expect((await openPacket(standingThere, '.')).name).toBe(basename(folder))
  })

  it('lists junk with a reason, and does not count it', async () => {
    const junk = ['.DS_Store', 'sub/Thumbs.db', 'desktop.ini', '~$estimate.docx', '._scan.txt', '__MACOSX/x/y.txt']
    const files = Object.fromEntries(junk.map((path) => [path, 'x']))
    const packet = await openPacket(fileSystem, makeFolder({ ...shop, ...files }))
    expect(packet.ignored.map((entry) => entry.path)).toEqual(junk.toSorted())
    expect(packet.ignored.every((entry) => entry.reason.length > 10)).toBe(true)
    expect(packet.digest).toBe((await openPacket(fileSystem, makeFolder(shop))).digest)
  })

  it('reads names in UTF-8 without a flag, in code page 437, and in the Unicode path field', async () => {
    const cp437 = Buffer.from([0x50, 0x72, 0x81, 0x66, 0x2e, 0x74, 0x78, 0x74])
    const packet = await openPacket(
      fileSystem,
      makeFile(
        'n.zip',
        craftZip({
          entries: [
            { name: 'Me\u0301rite.txt', flags: 0 },
            { name: cp437, flags: 0 },
          ],
        }),
      ),
    )
    expect(packet.files.map((file) => file.path)).toEqual(['M\u00e9rite.txt', 'Pr\u00fcf.txt'])
  })

  it('lets small text be packed as tightly as it likes', async () => {
    const zip = await zipWithYazl('t.zip', { 'zeros.csv': '0,0\n'.repeat(1_000_000) }, true)
    const packet = await openPacket(fileSystem, zip)
    expect(packet.problems).toEqual([])
    expect(packet.files).toMatchObject([{ bytes: 4_000_000, media: 'text/csv' }])
  })

  it('hands out arrays that may be detached', async () => {
    const [file] = (await openPacket(fileSystem, makeFolder(shop))).files
    const first = await file?.read()
    structuredClone(first, { transfer: first ? [first.buffer] : [] })
    expect(first?.length).toBe(0)
    expect(new TextDecoder().decode(await file?.read())).toBe(shop['drive.csv'])
  })
})

describe('a packet that changes after it was opened', () => {
  it('in a folder: a file rewritten, replaced, cut or gone is refused', async () => {
    const folder = makeFolder(shop)
    const [file] = (await openPacket(fileSystem, folder)).files
    const path = join(folder, 'drive.csv')
    const changes = [
      () => writeFileSync(path, shop['drive.csv'].replace('9', '8')),
      () => writeFileSync(path, 'short'),
      () => {
        rmSync(path)
        symlinkSync('/etc/hostname', path)
      },
      () => rmSync(path),
    ]
    for (const change of changes) {
      change()
      await expect(file?.read()).rejects.toMatchObject({ code: 'changed', where: 'drive.csv' })
    }
  })

  it('in a zip: rewritten content is refused', async () => {
    const path = await zipWithYazl('z.zip', shop, false)
    const [file] = (await openPacket(fileSystem, path)).files
    const other = await zipWithYazl('z.zip', { ...shop, 'drive.csv': shop['drive.csv'].replace('9', '8') }, false)
    execFileSync('cp', [other, path])
    await expect(file?.read()).rejects.toMatchObject({ code: 'changed' })
  })

  it('while it is being read: a growing file is refused', async () => {
    const growing: Storage = {
      ...fileSystem,
      open: async (path, identity) => {
        const file = await fileSystem.open(path, identity)
        return { ...file, read: async (target, position) => (position > 1e6 ? 0 : target.fill(65).length) }
      },
    }
    await expect(openPacket(growing, makeFolder(shop))).rejects.toMatchObject({ code: 'changed' })
  })
})

it('does not depend on the order in which a folder is listed', async () => {
  const folder = makeFolder({ ...shop, '.DS_Store': '', 'Thumbs.db': '' })
  mkdirSync(join(folder, 'z'))
  symlinkSync('nowhere', join(folder, 'z', 'a'))
  symlinkSync('nowhere', join(folder, 'b'))
  const backwards: Storage = {
    ...fileSystem,
    list: async (...args) => (await fileSystem.list(...args)).sort((a, b) => (a.path < b.path ? 1 : -1)),
  }
  const plain = ({ files, problems, ignored, digest }: Awaited<ReturnType<typeof openPacket>>) =>
    JSON.stringify({ files, problems, ignored, digest })
  expect(plain(await openPacket(backwards, folder))).toBe(plain(await openPacket(fileSystem, folder)))
})

describe('while it is copied', () => {
  const readAll = async (chunks: AsyncIterable<Uint8Array>) => Buffer.concat(await Array.fromAsync(chunks, Buffer.from))
  const copier = (log: string[]): Copier => ({
    begin: ({ isBag, paths, problems }) => void log.push(JSON.stringify({ isBag, paths, problems: problems.length })),
    copy: async (path, chunks) => {
      const bytes = await readAll(chunks)
      log.push(`${path}: ${bytes}`)
      return sha256(bytes)
    },
  })

  it.each(['folder', 'zip'])('a %s gives the same packet, each file once', async (form) => {
    const path = form === 'folder' ? makeFolder(shop) : await zipWithYazl('z.zip', inside('job', shop), true)
    const log: string[] = []
    const copied = await openPacket(fileSystem, path, {}, copier(log))
    expect(JSON.stringify(copied)).toBe(JSON.stringify(await openPacket(fileSystem, path)))
    const paths = Object.keys(shop)
    expect(JSON.parse(log[0] ?? '')).toEqual({ isBag: false, paths: expect.toSatisfy(sameAs(paths)), problems: 0 })
    expect(log.slice(1).sort()).toEqual(
      Object.entries(shop)
        .map(([own, text]) => `${own}: ${text}`)
        .sort(),
    )
  })

  it('says before any content that it is a bag, or holds what cannot be taken', async () => {
    const folder = makeFolder({ ...shop, 'bagit.txt': 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n' })
    const log: string[] = []
    await openPacket(fileSystem, folder, {}, copier(log))
    expect(log).toEqual(['{"isBag":true,"paths":[],"problems":0}'])
    const other = makeFolder({ 'scan.txt': 'no codes' })
    symlinkSync('nowhere', join(other, 'report.pdf'))
    const refusing = { ...copier([]), begin: () => expect.fail('refused') }
    await expect(openPacket(fileSystem, other, {}, refusing)).rejects.toThrow('refused')
  })

  it('a file that grows or shrinks meanwhile is refused', async () => {
    const growing: Storage = {
      ...fileSystem,
      open: async (path, identity) => {
        const file = await fileSystem.open(path, identity)
        return {
          ...file,
          read: async (target, position) => (position > 5 ? 0 : file.read(target.subarray(0, 5), position)),
        }
      },
    }
    await expect(openPacket(growing, makeFolder(shop), {}, copier([]))).rejects.toMatchObject({ code: 'changed' })
  })
})

const sameAs = (expected: readonly string[]) => (found: unknown) =>
  Array.isArray(found) && JSON.stringify(found.toSorted()) === JSON.stringify(expected.toSorted())
