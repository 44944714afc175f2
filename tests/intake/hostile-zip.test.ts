import { readdirSync, readFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { deflateRawSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import type { IntakeErrorCode } from '../../src/intake/errors.ts'
import { IntakeError } from '../../src/intake/errors.ts'
import type { FileProblemCode } from '../../src/intake/evidence.ts'
import type { IntakeLimits } from '../../src/intake/limits.ts'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { type CraftedEntry, craftZip, endRecord } from './craft-zip.ts'
import { makeFile } from './scratch.ts'

const MiB = 1024 * 1024
const good: CraftedEntry = { name: 'report.txt', data: 'All modules answered.\n' }
const text = Buffer.from('All modules answered.\n')

/** Limits in time and memory that every hostile input must respect, far below what it would like to take. */
const mostMilliseconds = 3000
const mostMemory = 192 * MiB

async function watched<T>(work: () => Promise<T>): Promise<T> {
  const before = process.memoryUsage()
  const start = performance.now()
  try {
    return await work()
  } finally {
    const after = process.memoryUsage()
    expect(performance.now() - start).toBeLessThan(mostMilliseconds)
    expect(after.rss - before.rss).toBeLessThan(mostMemory)
  }
}

interface Refused {
  name: string
  zip: () => Uint8Array
  code: IntakeErrorCode
  says: RegExp
  limits?: Partial<IntakeLimits>
}

const named =
  (name: string | Uint8Array, more: Partial<CraftedEntry> = {}) =>
  () =>
    craftZip({ entries: [good, { name, data: 'x', ...more }] })

const bomb = (() => {
  const kernel = deflateRawSync(Buffer.alloc(20 * MiB), { level: 9 })
  return { packed: kernel, bytes: 20 * MiB }
})()

const refused: Refused[] = [
  { name: 'a name that climbs out', zip: named('../outside.txt'), code: 'unsafe-path', says: /leads out/ },
  { name: 'a name that climbs out later', zip: named('a/../../b.txt'), code: 'unsafe-path', says: /leads out/ },
  { name: 'a folder that climbs out', zip: named('../', { data: '' }), code: 'unsafe-path', says: /leads out/ },
  { name: 'an absolute name', zip: named('/etc/cron.d/x'), code: 'unsafe-path', says: /absolute/ },
  { name: 'a drive letter', zip: named('C:/Windows/x.txt'), code: 'unsafe-path', says: /drive letter/ },
  { name: 'a drive letter without a slash', zip: named('c:x.txt'), code: 'unsafe-path', says: /drive letter/ },
  { name: 'backslashes', zip: named('scans\\pre.txt'), code: 'unsafe-path', says: /backslash/ },
  { name: 'backslashes that climb out', zip: named('..\\..\\x.txt'), code: 'unsafe-path', says: /leads out/ },
  { name: 'another machine, by backslashes', zip: named('\\\\host\\share\\x'), code: 'unsafe-path', says: /machine/ },
  { name: 'another machine, by slashes', zip: named('//host/share/x'), code: 'unsafe-path', says: /machine/ },
  { name: 'a NUL in a name', zip: named('report.txt\0.exe'), code: 'unsafe-path', says: /NUL/ },
  { name: 'an empty name', zip: named(''), code: 'unsafe-path', says: /no name/ },
  { name: 'an empty step', zip: named('a//b.txt'), code: 'unsafe-path', says: /empty step/ },
  { name: 'a dot step', zip: named('a/./b.txt'), code: 'unsafe-path', says: /empty step/ },
  {
    name: 'a climbing name in the Unicode path field',
    zip: () => {
      const field = Buffer.concat([Buffer.from([0x75, 0x70, 0, 0, 1, 0, 0, 0, 0]), Buffer.from('../x')])
      field.writeUInt16LE(field.length - 4, 2)
      field.writeUInt32LE(crc('plain.txt'), 5)
      return craftZip({ entries: [{ name: 'plain.txt', data: 'x', flags: 0, extra: field }] })
    },
    code: 'unsafe-path',
    says: /leads out/,
  },
  { name: 'the same name twice', zip: named('report.txt'), code: 'duplicate-path', says: /two files/ },
  { name: 'the same name behind a dot', zip: named('./report.txt'), code: 'duplicate-path', says: /two files/ },
  { name: 'names that differ in case', zip: named('REPORT.TXT'), code: 'case-clash', says: /upper and lower case/ },
  {
    name: 'names that differ in Unicode form',
    zip: () => craftZip({ entries: [{ name: 'Pr\u00fcfung.txt' }, { name: 'Pru\u0308fung.txt' }] }),
    code: 'duplicate-path',
    says: /two files/,
  },
  {
    name: 'names that differ in case and form',
    zip: () => craftZip({ entries: [{ name: 'PR\u00dcFUNG.txt' }, { name: 'pru\u0308fung.txt' }] }),
    code: 'case-clash',
    says: /case/,
  },
  {
    name: 'a link and a file that would pass through it',
    zip: () =>
      craftZip({
        entries: [
          { name: 'a', data: '/etc', mode: 0o120777 },
          { name: 'a/passwd', data: 'x' },
        ],
      }),
    code: 'duplicate-path',
    says: /lies in it/,
  },
  { name: 'a file used as a folder', zip: named('report.txt/inner.txt'), code: 'duplicate-path', says: /lies in it/ },
  {
    name: 'more entries than allowed',
    zip: () => craftZip({ entries: Array.from({ length: 2001 }, (_, index) => ({ name: `${index}.txt` })) }),
    code: 'too-many-entries',
    says: /more than 2000/,
  },
  {
    name: 'an end record that hides entries',
    zip: () => craftZip({ entries: [good, { name: 'hidden.txt', data: 'x' }], end: { entries: 1 } }),
    code: 'zip-structure',
    says: /disagree/,
  },
  {
    name: 'an end record that promises entries',
    zip: () => craftZip({ entries: [good], end: { entries: 40 } }),
    code: 'zip-structure',
    says: /not a sound zip/,
  },
  {
    name: 'more content than allowed, all stated',
    zip: () => craftZip({ entries: [1, 2, 3].map((n) => ({ name: `${n}.txt`, data: 'x'.repeat(400) })) }),
    limits: { totalBytes: 1100 },
    code: 'packet-too-large',
    says: /more than the 1100/,
  },
  {
    name: 'a zip that itself is larger than allowed',
    zip: () => craftZip({ entries: [{ name: '1.txt', data: 'x'.repeat(900) }] }),
    limits: { totalBytes: 800 },
    code: 'packet-too-large',
    says: /more than the 800/,
  },
  {
    name: 'many files that share one packed kernel, overlapping',
    zip: () => {
      const kernel: CraftedEntry = { name: '0.bin', method: 8, ...bomb, crc: 0 }
      const others = Array.from({ length: 100 }, (_, n) => ({
        ...kernel,
        name: `${n + 1}.bin`,
        offset: 0,
        hidden: true,
      }))
      return craftZip({ entries: [kernel, ...others] })
    },
    code: 'zip-headers-differ',
    says: /different names/,
  },
  {
    name: 'many small files that together unpack to a thousand times the zip',
    zip: () => {
      const packed = deflateRawSync(Buffer.alloc(7 * MiB), { level: 9 })
      return craftZip({
        entries: Array.from({ length: 12 }, (_, n) => ({
          name: `${n}.csv`,
          method: 8,
          packed,
          bytes: 7 * MiB,
          crc: 0,
        })),
      })
    },
    code: 'zip-bomb',
    says: /more than 200 times/,
  },
  {
    name: 'two entries on the same bytes',
    zip: () => craftZip({ entries: [good, { ...good, offset: 0, hidden: true }] }),
    code: 'zip-overlap',
    says: /shares bytes/,
  },
  {
    name: 'a file that reaches into the next one (quoted headers)',
    zip: () => {
      const inner = craftZip({ entries: [{ name: 'inner.txt', data: 'x' }] })
      const header = inner.subarray(0, 30 + 'inner.txt'.length + 1)
      const outer: CraftedEntry = { name: 'outer.txt', data: header }
      return craftZip({
        entries: [outer, { name: 'inner.txt', data: 'x', offset: 30 + 'outer.txt'.length, hidden: true }],
      })
    },
    code: 'zip-overlap',
    says: /shares bytes/,
  },
  {
    name: 'content that reaches into the directory',
    zip: () => craftZip({ entries: [{ ...good, packedBytes: 60, bytes: 60 }] }),
    code: 'zip-overlap',
    says: /directory shares bytes/,
  },
  {
    name: 'content that reaches past the end',
    zip: () => craftZip({ entries: [{ ...good, packedBytes: 1 << 30, bytes: 1 << 30 }] }),
    code: 'zip-structure',
    says: /not a sound zip/,
  },
  {
    name: 'an entry that starts nowhere',
    zip: () => craftZip({ entries: [{ ...good, offset: 0x7fffffff }] }),
    code: 'zip-structure',
    says: /not a sound zip/,
  },
  {
    name: 'a local header with another name',
    zip: named('post-scan.txt', { local: { name: 'pre-scan.txt' } }),
    code: 'zip-headers-differ',
    says: /different names/,
  },
  {
    name: 'a local header with another compression',
    zip: named('b.txt', { local: { method: 8 } }),
    code: 'zip-headers-differ',
    says: /different compression/,
  },
  {
    name: 'a local header with another size',
    zip: named('b.txt', { local: { bytes: 9 } }),
    code: 'zip-headers-differ',
    says: /different sizes/,
  },
  {
    name: 'a local header with another checksum',
    zip: named('b.txt', { local: { crc: 9 } }),
    code: 'zip-headers-differ',
    says: /different checksums/,
  },
  {
    name: 'a local header that says it is encrypted',
    zip: named('b.txt', { local: { flags: 0x801 } }),
    code: 'zip-headers-differ',
    says: /different flags/,
  },
  {
    name: 'a small stated size over a large content',
    zip: () => craftZip({ entries: [{ name: 'a.csv', method: 8, packed: bomb.packed, bytes: 100, crc: 1 }] }),
    code: 'zip-size-lie',
    says: /more than the 100 bytes/,
  },
  {
    name: 'a stored file with two sizes',
    zip: () => craftZip({ entries: [{ name: 'a.csv', data: text, bytes: 3 }] }),
    code: 'zip-size-lie',
    says: /more than the 3 bytes/,
  },
  {
    name: 'a second end record in the comment',
    zip: () => craftZip({ entries: [good], comment: endRecord() }),
    code: 'zip-structure',
    says: /second end record/,
  },
  {
    name: 'a second end record in a stored file, with all that follows as its comment',
    zip: () => {
      const rest = 46 + 'last.bin'.length + 22
      return craftZip({ entries: [{ name: 'last.bin', data: endRecord(0, 0, 0, rest) }] })
    },
    code: 'zip-structure',
    says: /second end record/,
  },
  {
    name: 'a second end record after the first',
    zip: () => craftZip({ entries: [good], after: endRecord() }),
    code: 'zip-structure',
    says: /directory is not where/,
  },
  {
    name: 'a second end record inside the directory',
    zip: () =>
      craftZip({ entries: [{ ...good, extra: Buffer.concat([Buffer.from([0x99, 0x99, 22, 0]), endRecord()]) }] }),
    code: 'zip-structure',
    says: /inside its directory/,
  },
  {
    name: 'two zips one after the other',
    zip: () =>
      Buffer.concat([craftZip({ entries: [good] }), craftZip({ entries: [{ name: 'other.txt', data: 'x' }] })]),
    code: 'zip-structure',
    says: /directory is not where/,
  },
  {
    name: 'two zips joined, offsets mended',
    zip: () => craftZip({ before: craftZip({ entries: [good] }), entries: [{ name: 'other.txt', data: 'x' }] }),
    code: 'zip-structure',
    says: /belong to no file/,
  },
  {
    name: 'bytes hidden before the directory',
    zip: () => craftZip({ entries: [good], beforeDirectory: Buffer.from('not listed') }),
    code: 'zip-structure',
    says: /10 bytes before its directory that belong to no file/,
  },
  {
    name: 'bytes between directory and end',
    zip: () => craftZip({ entries: [good], beforeEnd: Buffer.from('not listed') }),
    code: 'zip-structure',
    says: /directory is not where/,
  },
  {
    name: 'bytes after the end',
    zip: () => craftZip({ entries: [good], after: Buffer.from('more') }),
    code: 'zip-structure',
    says: /after its end/,
  },
  {
    name: 'one part of several',
    zip: () => craftZip({ entries: [good], end: { disk: 1 } }),
    code: 'zip-structure',
    says: /several parts/,
  },
  {
    name: 'a zip64 locator that points nowhere',
    zip: () => {
      const locator = Buffer.alloc(20)
      locator.writeUInt32LE(0x07064b50)
      locator.writeBigUInt64LE(0xffffffffffn, 8)
      return craftZip({ entries: [good], beforeEnd: locator })
    },
    code: 'zip-structure',
    says: /zip64 end record is not where/,
  },
  {
    name: 'a zip64 end record that contradicts the other',
    zip: () => {
      const plain = craftZip({ entries: [good] })
      const directoryStart = plain.readUInt32LE(plain.length - 6)
      return craftZip({ entries: [good], beforeEnd: zip64End(2, 56, directoryStart, plain.length - 22) })
    },
    code: 'zip-structure',
    says: /two end records differ/,
  },
  {
    name: 'a folder with content',
    zip: named('folder/', { data: 'content' }),
    code: 'zip-structure',
    says: /content of its own/,
  },
  {
    name: 'an extra field longer than its room',
    zip: () => craftZip({ entries: [{ ...good, extra: Buffer.from([1, 0, 200, 0, 1]) }] }),
    code: 'zip-structure',
    says: /not a sound zip/,
  },
  {
    name: 'a directory blown up with extra fields',
    zip: () => {
      const extra = Buffer.alloc(65_000)
      extra.writeUInt16LE(0x9999)
      extra.writeUInt16LE(64_996, 2)
      return craftZip({ entries: Array.from({ length: 3 }, (_, n) => ({ name: `${n}`, extra })) })
    },
    limits: { entries: 3 },
    code: 'zip-structure',
    says: /far larger/,
  },
  {
    name: 'an end cut off',
    zip: () => craftZip({ entries: [good] }).subarray(0, -30),
    code: 'zip-truncated',
    says: /no end/,
  },
  {
    name: 'only the end left out',
    zip: () => craftZip({ entries: [good] }).subarray(0, -1),
    code: 'zip-truncated',
    says: /no end/,
  },
  {
    name: 'nothing but a first signature',
    zip: () => Buffer.from('PK\x03\x04'),
    code: 'zip-truncated',
    says: /no end/,
  },
  { name: 'a name that promises a zip', zip: () => Buffer.from('no zip at all'), code: 'not-a-zip', says: /is none/ },
  { name: 'an empty file named zip', zip: () => Buffer.alloc(0), code: 'not-a-zip', says: /is none/ },
  { name: 'no entries', zip: () => craftZip({ entries: [] }), code: 'empty', says: /no file to check/ },
  {
    name: 'nothing but junk',
    zip: () => craftZip({ entries: [{ name: 'a/.DS_Store' }] }),
    code: 'empty',
    says: /no file/,
  },
  {
    name: 'a locked declaration',
    zip: named('packet.yaml', { flags: 0x801 }),
    code: 'declaration-unusable',
    says: /password/,
  },
  {
    name: 'a declaration of unreasonable length',
    zip: named('packet.yaml', { data: 'x'.repeat(2000) }),
    limits: { declarationBytes: 1000 },
    code: 'declaration-unusable',
    says: /2000 bytes/,
  },
]

function crc(name: string): number {
  return craftZip({ entries: [{ name: 'a', data: name }] }).readUInt32LE(14)
}

/** APPNOTE 4.3.14 and 4.3.15: the record and its locator. */
function zip64End(entries: number, directoryBytes: number, directoryStart: number, recordStart: number): Buffer {
  const bytes = Buffer.alloc(76)
  bytes.writeUInt32LE(0x06064b50)
  bytes.writeBigUInt64LE(44n, 4)
  bytes.writeBigUInt64LE(BigInt(entries), 24)
  bytes.writeBigUInt64LE(BigInt(entries), 32)
  bytes.writeBigUInt64LE(BigInt(directoryBytes), 40)
  bytes.writeBigUInt64LE(BigInt(directoryStart), 48)
  bytes.writeUInt32LE(0x07064b50, 56)
  bytes.writeBigUInt64LE(BigInt(recordStart), 64)
  bytes.writeUInt32LE(1, 72)
  return bytes
}

describe('a zip that is refused whole', () => {
  it.each(refused)('$name: $code', async ({ zip, code, says, limits }) => {
    const path = makeFile('packet.zip', zip())
    const before = readFileSync(path)
    const error = await watched(() => openPacket(fileSystem, path, limits).catch((caught: unknown) => caught))
    expect(error).toBeInstanceOf(IntakeError)
    const { code: found, message, where, mend } = error as IntakeError
    expect({ code: found, message }).toEqual({ code, message: expect.stringMatching(says) })
    expect(where).not.toBe('')
    expect(mend).toMatch(/^[A-Z].*\.$/)
    expect(readdirSync(dirname(path))).toEqual(['packet.zip'])
    expect(readFileSync(path).equals(before)).toBe(true)
  })
})

interface Faulty {
  name: string
  entry: CraftedEntry
  code: FileProblemCode
  says: RegExp
  /** As shown, where it differs from the entry's name. */
  path?: string
  limits?: Partial<IntakeLimits>
}

const deflated = deflateRawSync(Buffer.from('speed,time\n'.repeat(500)))
const faulty: Faulty[] = [
  { name: 'a link', entry: { name: 'l', data: '/etc/passwd', mode: 0o120777 }, code: 'link', says: /not followed/ },
  { name: 'a device', entry: { name: 'dev', mode: 0o020666 }, code: 'not-a-file', says: /device/ },
  { name: 'a pipe', entry: { name: 'fifo', mode: 0o010666 }, code: 'not-a-file', says: /pipe/ },
  { name: 'a folder by mode only', entry: { name: 'd', mode: 0o040755 }, code: 'not-a-file', says: /not a file/ },
  { name: 'an encrypted file', entry: { name: 'e.pdf', data: 'x', flags: 0x801 }, code: 'encrypted', says: /password/ },
  {
    name: 'another compression',
    entry: { name: 'b.txt', data: 'x', method: 12 },
    code: 'unsupported-compression',
    says: /12/,
  },
  { name: 'a wrong checksum', entry: { name: 'c.txt', data: 'abc', crc: 1 }, code: 'damaged', says: /checksum/ },
  {
    name: 'a broken deflate stream',
    entry: { name: 'c.csv', method: 8, packed: Buffer.from('\xff\xff\xff\xff', 'latin1'), bytes: 500, crc: 1 },
    code: 'damaged',
    says: /cannot be unpacked/,
  },
  {
    name: 'a deflate stream cut short',
    entry: { name: 'c.csv', method: 8, packed: deflated.subarray(0, -6), bytes: 5500, crc: 1 },
    code: 'damaged',
    says: /cannot be unpacked/,
  },
  {
    name: 'bytes after the deflate stream',
    entry: {
      name: 'c.csv',
      method: 8,
      packed: Buffer.concat([deflated, Buffer.alloc(2000, 7)]),
      data: 'speed,time\n'.repeat(500),
    },
    code: 'damaged',
    says: /before its packed content/,
  },
  {
    name: 'a larger stated size than content',
    entry: { name: 'c.txt', data: 'abc', method: 8, bytes: 4000 },
    code: 'damaged',
    says: /unpacks to 3 bytes/,
  },
  {
    name: 'a bomb with honest headers',
    entry: { name: 'zeros.bin', method: 8, ...bomb, crc: 0 },
    code: 'suspicious-ratio',
    says: /more than 200 times/,
  },
  {
    name: 'a file over the limit',
    entry: { name: 'big.txt', data: 'x'.repeat(5000) },
    limits: { fileBytes: 4096 },
    code: 'too-large',
    says: /5000 bytes/,
  },
  {
    name: 'a line feed in a name',
    entry: { name: 'a\nb.txt', data: 'x' },
    path: 'a\\u{a}b.txt',
    code: 'unsafe-name',
    says: /hide or reorder/,
  },
  {
    name: 'an escape sequence in a name',
    entry: { name: 'a\x1b[2Jb.txt', data: 'x' },
    path: 'a\\u{1b}[2Jb.txt',
    code: 'unsafe-name',
    says: /hide or reorder/,
  },
  {
    name: 'a right-to-left override in a name',
    entry: { name: 'scan\u202efdp.exe', data: 'x' },
    path: 'scan\\u{202e}fdp.exe',
    code: 'unsafe-name',
    says: /hide or reorder/,
  },
  {
    name: 'a zero-width space in a name',
    entry: { name: 're\u200bport.txt', data: 'x' },
    path: 're\\u{200b}port.txt',
    code: 'unsafe-name',
    says: /hide or reorder/,
  },
  {
    name: 'a name that says UTF-8 and is none',
    entry: { name: Buffer.from('b\xff.txt', 'latin1'), data: 'x' },
    path: 'b\\xff.txt',
    code: 'unsafe-name',
    says: /not valid Unicode/,
  },
  {
    name: 'an over-long name',
    entry: { name: `${'n'.repeat(300)}.txt`, data: 'x' },
    path: `${'n'.repeat(200)}…`,
    code: 'name-too-long',
    says: /too long/,
  },
  {
    name: 'an over-long path',
    entry: { name: `${'folder-of-files/'.repeat(12)}x.txt`, data: 'x' },
    limits: { pathBytes: 100 },
    path: `${'folder-of-files/'.repeat(12)}x.txt`,
    code: 'name-too-long',
    says: /too long/,
  },
  {
    name: 'a path of too many folders',
    entry: { name: `${'f/'.repeat(17)}x.txt`, data: 'x' },
    code: 'too-deep',
    says: /16 folders/,
  },
]

describe('a zip with one faulty file', () => {
  it.each(faulty)('$name: $code', async ({ entry, code, says, path, limits }) => {
    const zip = craftZip({ entries: [{ name: 'a-good.txt', data: 'x' }, entry, { ...good, method: 8 }] })
    const packet = await watched(() => openPacket(fileSystem, makeFile('packet.zip', zip), limits))
    expect(packet.files.map((file) => file.path)).toEqual(['a-good.txt', 'report.txt'])
    expect(packet.problems).toEqual([
      {
        path: path ?? entry.name,
        code,
        message: expect.stringMatching(says),
        mend: expect.stringMatching(/^[A-Z].*\.$/),
      },
    ])
    expect(packet.problems[0]?.message).not.toMatch(/\p{Cc}|\u202e|\u200b/u)
  })

  it('says so also when nothing else is in it', async () => {
    const zip = craftZip({ entries: [{ name: 'only.txt', data: 'x', flags: 0x801 }] })
    const packet = await openPacket(fileSystem, makeFile('packet.zip', zip))
    expect(packet.files).toEqual([])
    expect(packet.problems).toMatchObject([{ path: 'only.txt', code: 'encrypted' }])
  })
})

describe('a zip in a zip', () => {
  it('is one file, not opened, however deep the nesting', async () => {
    let inner: Uint8Array = craftZip({ entries: [good] })
    for (let depth = 0; depth < 50; depth += 1) inner = craftZip({ entries: [{ name: 'inner.zip', data: inner }] })
    const packet = await watched(() => openPacket(fileSystem, makeFile('outer.zip', inner)))
    expect(packet.files).toMatchObject([{ path: 'inner.zip', media: 'application/zip' }])
  })
})
