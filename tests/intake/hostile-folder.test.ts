import { execFileSync } from 'node:child_process'
import { chmodSync, linkSync, mkdirSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { IntakeError, IntakeErrorCode } from '../../src/intake/errors.ts'
import type { FileProblemCode } from '../../src/intake/evidence.ts'
import type { IntakeLimits } from '../../src/intake/limits.ts'
import { openPacket } from '../../src/intake/open.ts'
import type { Storage } from '../../src/intake/storage.ts'
import { fileSystem } from '../../src/io/files.ts'
import { makeFile, makeFolder, scratch } from './scratch.ts'

const isRoot = process.getuid?.() === 0

/** What root may read anyway, a storage that refuses stands in for. */
const deny = (name: string, code: string): Storage => {
  const refuse = (path: string) => {
    if (path.endsWith(name)) throw Object.assign(new Error(`${code}: ${path}`), { code })
  }
  return {
    look: fileSystem.look,
    list: async (path, ...rest) => {
      refuse(path)
      return fileSystem.list(path, ...rest)
    },
    open: async (path, identity) => {
      refuse(path)
      return fileSystem.open(path, identity)
    },
  }
}

interface Faulty {
  name: string
  make: (folder: string) => unknown
  code: FileProblemCode
  path: string
  storage?: Storage
  limits?: Partial<IntakeLimits>
}

const put = (name: string) => (folder: string) => writeFileSync(join(folder, name), 'x')

const faulty: Faulty[] = [
  { name: 'a link to a file outside', make: (f) => symlinkSync('/etc/passwd', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a link to a folder outside', make: (f) => symlinkSync('/etc', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a link to a file inside', make: (f) => symlinkSync('good.txt', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a link that leads nowhere', make: (f) => symlinkSync('nowhere', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a link to itself', make: (f) => symlinkSync('l', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a link to its own folder', make: (f) => symlinkSync('.', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a link to a device', make: (f) => symlinkSync('/dev/zero', join(f, 'l')), code: 'link', path: 'l' },
  { name: 'a pipe', make: (f) => execFileSync('mkfifo', [join(f, 'pipe')]), code: 'not-a-file', path: 'pipe' },
  {
    name: 'a socket',
    make: (f) => new Promise<void>((done) => void createServer().unref().listen(join(f, 's'), done)),
    code: 'not-a-file',
    path: 's',
  },
  {
    name: 'a file that may not be read',
    make: (f) => {
      put('locked.txt')(f)
      chmodSync(join(f, 'locked.txt'), 0)
    },
    storage: isRoot ? deny('locked.txt', 'EACCES') : fileSystem,
    code: 'unreadable',
    path: 'locked.txt',
  },
  {
    name: 'a folder that may not be listed',
    make: (f) => mkdirSync(join(f, 'locked'), { mode: 0 }),
    storage: isRoot ? deny('locked', 'EACCES') : fileSystem,
    code: 'unreadable',
    path: 'locked',
  },
  {
    name: 'a file on a failing disk',
    make: put('bad.txt'),
    storage: deny('bad.txt', 'EIO'),
    code: 'unreadable',
    path: 'bad.txt',
  },
  {
    name: 'a file that became a link',
    make: put('was.txt'),
    storage: deny('was.txt', 'ELOOP'),
    code: 'link',
    path: 'was.txt',
  },
  { name: 'a backslash in a name', make: put('a\\b.txt'), code: 'unsafe-name', path: 'a\\b.txt' },
  { name: 'a climbing name in backslashes', make: put('..\\b.txt'), code: 'unsafe-name', path: '..\\b.txt' },
  { name: 'a drive letter in a name', make: put('C:report.txt'), code: 'unsafe-name', path: 'C:report.txt' },
  { name: 'a line feed in a name', make: put('a\nb.txt'), code: 'unsafe-name', path: 'a\\u{a}b.txt' },
  { name: 'an isolate in a name', make: put('a\u2067b.txt'), code: 'unsafe-name', path: 'a\\u{2067}b.txt' },
  {
    name: 'a misleading name of a folder, with all that is in it',
    make: (f) => {
      mkdirSync(join(f, 'a\u202eb'))
      put('a\u202eb/c.txt')(f)
    },
    code: 'unsafe-name',
    path: 'a\\u{202e}b',
  },
  {
    name: 'a name that is not UTF-8',
    make: (f) => writeFileSync(Buffer.concat([Buffer.from(`${f}/b`), Buffer.from([0xff, 0xfe])]), 'x'),
    code: 'unsafe-name',
    path: 'b\\xff\\xfe',
  },
  {
    name: 'a folder too deep',
    make: (f) => mkdirSync(join(f, 'd/'.repeat(40)), { recursive: true }),
    code: 'too-deep',
    path: 'd/'.repeat(18).slice(0, -1),
  },
  {
    name: 'a name over a lowered limit',
    make: put('report-of-the-day.txt'),
    limits: { nameBytes: 20 },
    code: 'name-too-long',
    path: 'report-of-the-day.txt',
  },
  {
    name: 'a huge file without content (sparse)',
    make: (f) => {
      put('huge.bin')(f)
      truncateSync(join(f, 'huge.bin'), 2 ** 40)
    },
    code: 'too-large',
    path: 'huge.bin',
  },
]

describe('a folder with one faulty entry', () => {
  it.each(faulty)('$name: $code', { timeout: 5000 }, async ({ make, code, path, storage, limits }) => {
    const folder = makeFolder({ 'good.txt': 'All modules answered.\n' })
    await make(folder)
    const before = process.memoryUsage().rss
    const packet = await openPacket(storage ?? fileSystem, folder, limits)
    expect(process.memoryUsage().rss - before).toBeLessThan(128 * 1024 * 1024)
    expect(packet.files.map((file) => file.path)).toEqual(['good.txt'])
    expect(packet.problems).toEqual([
      { path, code, message: expect.any(String), mend: expect.stringMatching(/^[A-Z].*\.$/) },
    ])
    expect(packet.problems[0]?.message).not.toMatch(/\p{Cc}|[\u2067\u202e]/u)
  })
})

interface Refused {
  name: string
  make: () => string
  code: IntakeErrorCode
  storage?: Storage
  limits?: Partial<IntakeLimits>
}

const refused: Refused[] = [
  { name: 'nothing there', make: () => join(scratch, 'nowhere'), code: 'not-found' },
  { name: 'a file taken for a folder', make: () => join(makeFile('a.txt', 'x'), 'b'), code: 'not-found' },
  { name: 'a device', make: () => '/dev/zero', code: 'not-a-packet' },
  {
    name: 'a pipe',
    make: () => {
      const path = join(makeFolder({}), 'pipe')
      execFileSync('mkfifo', [path])
      return path
    },
    code: 'not-a-packet',
  },
  {
    name: 'a link to itself',
    make: () => {
      const path = join(makeFolder({}), 'loop')
      symlinkSync('loop', path)
      return path
    },
    code: 'unreadable',
  },
  { name: 'a NUL in the path', make: () => 'a\0b', code: 'unreadable' },
  { name: 'an empty folder', make: () => makeFolder({}), code: 'empty' },
  { name: 'a folder with a declaration alone', make: () => makeFolder({ 'packet.yaml': 'packet: 1' }), code: 'empty' },
  { name: 'a folder with junk alone', make: () => makeFolder({ '.DS_Store': 'x', 'a/Thumbs.db': 'x' }), code: 'empty' },
  {
    name: 'too many files in one folder',
    make: () => makeFolder(Object.fromEntries(Array.from({ length: 11 }, (_, n) => [`${n}`, 'x']))),
    limits: { entries: 10 },
    code: 'too-many-entries',
  },
  {
    name: 'too many folders',
    make: () => makeFolder(Object.fromEntries(Array.from({ length: 6 }, (_, n) => [`${n}/a`, 'x']))),
    limits: { entries: 10 },
    code: 'too-many-entries',
  },
  {
    name: 'too much altogether (sparse)',
    make: () => {
      const folder = makeFolder({ a: '', b: '', c: '', d: '', e: '' })
      for (const name of ['a', 'b', 'c', 'd', 'e']) truncateSync(join(folder, name), 2 ** 28)
      return folder
    },
    code: 'packet-too-large',
  },
  {
    name: 'names that differ in case',
    make: () => makeFolder({ 'Scan.pdf': 'x', 'scan.PDF': 'y' }),
    code: 'case-clash',
  },
  {
    name: 'names that differ in Unicode form',
    make: () => makeFolder({ 'Pr\u00fcf.txt': 'x', 'Pru\u0308f.txt': 'y' }),
    code: 'duplicate-path',
  },
  {
    name: 'a declaration that is a link',
    make: () => {
      const folder = makeFolder({ 'a.txt': 'x' })
      symlinkSync('a.txt', join(folder, 'packet.yaml'))
      return folder
    },
    code: 'declaration-unusable',
  },
  {
    name: 'a folder that may not be listed',
    make: () => makeFolder({ 'root/a.txt': 'x' }),
    storage: deny('', 'EACCES'),
    code: 'unreadable',
  },
  {
    name: 'a single file that may not be read',
    make: () => makeFile('s.txt', 'x'),
    storage: deny('s.txt', 'EACCES'),
    code: 'unreadable',
  },
]

describe('a packet that is refused', () => {
  it.each(refused)('$name: $code', { timeout: 5000 }, async ({ make, code, storage, limits }) => {
    const path = make()
    const error: IntakeError = await openPacket(storage ?? fileSystem, path, limits).then(
      () => expect.unreachable('the packet was opened'),
      (caught) => caught,
    )
    expect(error).toMatchObject({ name: 'IntakeError', code, mend: expect.stringMatching(/^[A-Z].*\.$/) })
    expect(error.where).not.toBe('')
  })
})

it('takes a hard link for the file it is', async () => {
  const folder = makeFolder({ 'a.txt': 'x' })
  linkSync(join(folder, 'a.txt'), join(folder, 'b.txt'))
  expect((await openPacket(fileSystem, folder)).files.map((file) => file.path)).toEqual(['a.txt', 'b.txt'])
})
