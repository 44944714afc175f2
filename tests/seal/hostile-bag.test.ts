/**
 * Sealed bags in the hands of somebody who wants a false one to pass, or `verify` to hang or to stop: folders and zips on
 * disk, opened as a user opens them. RFC 8493, section 5, and what programs that unpack zips disagree on.
 */
import { cp, link, mkdir, readFile, rename, rm, symlink, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest'
import type { CraftedEntry } from '../intake/craft-zip.ts'
import { type Hostile, openHostile } from './hostile.ts'
import { makeBag, openScene } from './scene.ts'

let hostile: Hostile
beforeAll(async () => {
  hostile = await openHostile()
})
afterAll(() => hostile.close())

test('untouched it passes, as a folder and as a zip, stored or deflated', async () => {
  expect(await hostile.judge(hostile.made.bag)).toMatchObject({ verdict: 'pass', parts: [] })
  expect(await hostile.judge(await hostile.zip((entries) => entries))).toMatchObject({ verdict: 'pass', parts: [] })
  const deflated = await hostile.zip((entries) => entries.map((entry) => ({ ...entry, method: 8 })))
  expect(await hostile.judge(deflated)).toMatchObject({ verdict: 'pass', parts: [] })
})

describe('a folder', () => {
  const payloadOf = async (bag: string) => join(bag, 'data', 'scan-before.txt')
  test.each<[string, (bag: string) => Promise<unknown>]>([
    [
      'a file of the payload behind a link',
      async (bag) => {
        const file = await payloadOf(bag)
        await rename(file, join(dirname(bag), 'moved'))
        await symlink(join(dirname(bag), 'moved'), file)
      },
    ],
    [
      'the payload behind a link',
      async (bag) => {
        await rename(join(bag, 'data'), join(dirname(bag), 'data'))
        await symlink('../data', join(bag, 'data'))
      },
    ],
    ['a link beside that leads nowhere', (bag) => symlink('/nowhere', join(bag, 'data', 'more.txt'))],
    ['a link beside that leads in a circle', (bag) => symlink('.', join(bag, 'data', 'again'))],
    ['a link beside that leads out', (bag) => symlink('/etc/hostname', join(bag, 'hostname.txt'))],
    ['a name of line breaks', (bag) => writeFile(join(bag, 'data', 'a\nb\rc.txt'), '')],
    ['a name that turns the direction of writing', (bag) => writeFile(join(bag, 'data', 'a\u202etxt.exe'), '')],
    ['a name of an escape sequence', (bag) => writeFile(join(bag, 'data', '\x1b[2J.txt'), '')],
    [
      'a name that is no Unicode',
      (bag) => writeFile(Buffer.concat([Buffer.from(`${bag}/data/`), Buffer.from([0xff])]), ''),
    ],
    ['a name like another but for its case', (bag) => writeFile(join(bag, 'data', 'SCAN-BEFORE.txt'), '')],
    ['a name like a manifest but for its case', (bag) => writeFile(join(bag, 'Manifest-SHA256.txt'), '')],
    ['a name of percent signs', (bag) => writeFile(join(bag, 'data', 'scan-before%2Etxt'), '')],
    ['a fetch.txt', (bag) => writeFile(join(bag, 'fetch.txt'), 'https://example.org/x - data/scan-before.txt\n')],
    ['a list of trusted certificates', (bag) => cp(hostile.scene.authority.root, join(bag, 'trust.pem'))],
    ['a second signature', (bag) => cp(join(bag, 'seal.p7s'), join(bag, 'seal-2.p7s'))],
    ['a second tag manifest, by MD5', (bag) => writeFile(join(bag, 'tagmanifest-md5.txt'), '')],
    ['a manifest of the payload, by MD5', (bag) => writeFile(join(bag, 'manifest-md5.txt'), '')],
    ['a bag within', (bag) => cp(hostile.other.bag, join(bag, 'data', 'bag'), { recursive: true })],
    [
      'a folder of the name of its seal',
      async (bag) => {
        await rm(join(bag, 'seal.p7s'))
        await mkdir(join(bag, 'seal.p7s'))
        await writeFile(join(bag, 'seal.p7s', 'seal.p7s'), '')
      },
    ],
    [
      'a seal that is a link',
      async (bag) => {
        await rename(join(bag, 'seal.p7s'), join(dirname(bag), 'seal.p7s'))
        await symlink('../seal.p7s', join(bag, 'seal.p7s'))
      },
    ],
    ['a seal in upper case', (bag) => rename(join(bag, 'seal.p7s'), join(bag, 'SEAL.P7S'))],
    ['an empty seal', (bag) => writeFile(join(bag, 'seal.p7s'), '')],
    ['an empty stamp', (bag) => writeFile(join(bag, 'seal.tsr'), '')],
    ['a seal of zeroes', (bag) => writeFile(join(bag, 'seal.p7s'), Buffer.alloc(1024 * 1024))],
    ['a seal that is larger than is taken', (bag) => writeFile(join(bag, 'seal.p7s'), Buffer.alloc(65 * 1024 * 1024))],
    [
      'a declaration in UTF-16',
      (bag) => writeFile(join(bag, 'bagit.txt'), 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n'),
    ],
    [
      'a declaration in UTF-7',
      (bag) => writeFile(join(bag, 'bagit.txt'), 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-7\n'),
    ],
    [
      'a declaration with a byte order mark',
      async (bag) => writeFile(join(bag, 'bagit.txt'), `\ufeff${await readFile(join(bag, 'bagit.txt'), 'utf8')}`),
    ],
    [
      'a declaration of an earlier version',
      async (bag) =>
        writeFile(join(bag, 'bagit.txt'), (await readFile(join(bag, 'bagit.txt'), 'utf8')).replace('1.0', '0.97')),
    ],
  ])('with %s fails', async (_, change) => {
    const judged = await hostile.judge(await hostile.attack(change))
    expect(judged.parts).not.toEqual([])
    expect(['fail', 'refused']).toContain(judged.verdict)
  })

  test('with a hard link in place of a file is the same bag', async () => {
    const bag = await hostile.attack(async (own) => {
      await rename(join(own, 'README.txt'), join(dirname(own), 'kept'))
      await link(join(dirname(own), 'kept'), join(own, 'README.txt'))
    })
    expect((await hostile.judge(bag)).verdict).toBe('pass')
  })

  test('whose bagit.txt is gone is no bag', async () => {
    expect(await hostile.judge(await hostile.attack((bag) => rm(join(bag, 'bagit.txt'))))).toMatchObject({
      parts: ['no-bag'],
    })
  })

  test('that lies in a bag of somebody else has not the seal of the one within', async () => {
    const outer = hostile.place()
    await mkdir(join(outer, 'data'), { recursive: true })
    await cp(hostile.made.bag, join(outer, 'data', 'bag'), { recursive: true })
    await writeFile(join(outer, 'bagit.txt'), 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n')
    expect(['warn', 'fail']).toContain((await hostile.judge(outer)).verdict)
    expect((await hostile.judge(outer)).parts).toContain('signature absent not-sealed')
  })

  test('among other files is not taken for the packet', async () => {
    const outer = hostile.place()
    await cp(hostile.made.bag, join(outer, 'bag'), { recursive: true })
    await writeFile(join(outer, 'false.pdf'), '')
    expect(await hostile.judge(outer)).toMatchObject({ parts: ['no-bag'] })
  })
})

describe('parts of another bag by the same signer', () => {
  test.each([
    [['seal.p7s']],
    [['seal.tsr']],
    [['seal.p7s', 'seal.tsr']],
    [['tagmanifest-sha256.txt']],
    [['tagmanifest-sha512.txt']],
    [['tagmanifest-sha256.txt', 'seal.p7s', 'seal.tsr']],
    [['tagmanifest-sha256.txt', 'tagmanifest-sha512.txt', 'seal.p7s', 'seal.tsr']],
    [['manifest-sha256.txt', 'tagmanifest-sha256.txt', 'seal.p7s', 'seal.tsr']],
  ])('%j in place of its own', async (paths) => {
    // The other bag has its own time in bag-info.txt and README.txt, and another file.
    const elsewhere = hostile.place()
    await cp(hostile.other.bag, elsewhere, { recursive: true })
    const bag = await hostile.attack(async (own) => {
      for (const path of paths) await cp(join(elsewhere, path), join(own, path))
      await writeFile(join(own, 'data', 'scan-before.txt'), 'VIN 1ZZTE5T11NB000421\nno codes at all\n')
    })
    expect((await hostile.judge(bag)).verdict).toBe('fail')
  })

  test.each([
    [['seal.p7s'], ['signature broken digest-mismatch', 'stamp broken imprint-differs']],
    [['seal.tsr'], ['stamp broken imprint-differs']],
    [['seal.p7s', 'seal.tsr'], ['signature broken digest-mismatch']],
  ])('%j in an untouched bag: %j', async (paths, parts) => {
    const bag = await hostile.attack(async (own) => {
      for (const path of paths) await cp(join(hostile.other.bag, path), join(own, path))
    })
    expect((await hostile.judge(bag)).parts).toEqual(expect.arrayContaining(parts))
  })
})

describe('a signer whom the attacker made', () => {
  test('passes with nobody, whatever certificates the bag carries', async () => {
    const foreign = await openScene()
    onTestFinished(() => foreign.close())
    const false_ = await makeBag(await foreign.sign({ name: 'Records desk' }), foreign.stamp)
    onTestFinished(false_.remove)
    expect(await hostile.judge(false_.bag)).toMatchObject({
      verdict: 'warn',
      parts: ['signer doubtful not-listed', 'stamp doubtful authority-not-listed'],
    })
    await cp(foreign.authority.root, join(false_.bag, 'trust.pem'))
    expect((await hostile.judge(false_.bag)).verdict).toBe('fail')
  })

  test('cannot write to the terminal, nor turn the direction of writing, by a name', async () => {
    const subject = '/O=Larkfield\u202eskrow/CN=\x1b[2J\x07 Desk'
    const signer = await hostile.scene.sign({ name: 'ghost', subject })
    const false_ = await makeBag(signer, null)
    onTestFinished(false_.remove)
    // `judge` looks at the text.
    expect((await hostile.judge(false_.bag)).verdict).toBe('warn')
  })
})

describe('a zip', () => {
  const change = (name: string, to: Partial<CraftedEntry>) => (entries: CraftedEntry[]) =>
    entries.map((entry) => (entry.name === `bag/${name}` ? { ...entry, ...to } : entry))
  const add =
    (...more: CraftedEntry[]) =>
    (entries: CraftedEntry[]) => [...entries, ...more]
  const scan = 'data/scan-before.txt'
  const falseScan = 'VIN 1ZZTE5T11NB000421\nno code!\n'

  test.each<[string, (entries: CraftedEntry[]) => CraftedEntry[], string]>([
    ['a file twice, the false one last', add({ name: `bag/${scan}`, data: falseScan }), 'duplicate-path'],
    [
      'a file twice, the false one first',
      (entries) => [{ name: `bag/${scan}`, data: falseScan }, ...entries],
      'duplicate-path',
    ],
    ['a file twice, but for case', add({ name: 'bag/DATA/scan-before.txt', data: falseScan }), 'case-clash'],
    ['a file twice, with ./ before it', add({ name: `./bag/${scan}`, data: falseScan }), 'duplicate-path'],
    ['a name that leads out', add({ name: 'bag/../../out.txt', data: '' }), 'unsafe-path'],
    ['a name that leads out within', add({ name: 'bag/data/../../x', data: '' }), 'unsafe-path'],
    ['an absolute name', add({ name: '/etc/cron.d/x', data: '' }), 'unsafe-path'],
    ['a name with a drive', add({ name: 'C:\\x.txt', data: '' }), 'unsafe-path'],
    ['a name with backslashes', add({ name: 'bag\\data\\x.txt', data: '' }), 'unsafe-path'],
    ['a name with a NUL', add({ name: `bag/${scan}\0.pdf`, data: '' }), 'unsafe-path'],
    ['an empty name', add({ name: '', data: '' }), 'unsafe-path'],
    [
      'another name in the header of the file',
      change(scan, { local: { name: 'bag/data/scan-beforf.txt' } }),
      'zip-headers-differ',
    ],
    ['another size in the header of the file', change(scan, { local: { bytes: 5 } }), 'zip-headers-differ'],
    ['another checksum in the header of the file', change(scan, { local: { crc: 5 } }), 'zip-headers-differ'],
    ['another compression in the header of the file', change(scan, { local: { method: 8 } }), 'zip-headers-differ'],
    [
      'two entries over one content',
      (entries) => entries.map((entry, index) => (index === 3 ? { ...entry, offset: 0 } : entry)),
      'zip-headers-differ',
    ],
    ['an entry that the directory alone has', add({ name: 'bag/data/x.txt', data: '', hidden: true }), 'zip-structure'],
    ['a file as a folder for another', add({ name: `bag/${scan}/x.txt`, data: '' }), 'duplicate-path'],
  ])('with %s is refused', async (_, attackZip, code) => {
    const judged = await hostile.judge(await hostile.zip(attackZip))
    expect(judged.verdict).toBe('refused')
    expect(judged.parts).toEqual([code])
  })

  test.each<[string, (entries: CraftedEntry[]) => CraftedEntry[]]>([
    ['a false file', change(scan, { data: falseScan })],
    ['a file that is a link', change(scan, { mode: 0o120777 })],
    ['a file that is a device', change(scan, { mode: 0o020666 })],
    ['a file whose checksum lies', change(scan, { crc: 1, local: { crc: 1 } })],
    ['a seal that is a link', change('seal.p7s', { mode: 0o120777 })],
    ['a seal under a password', change('seal.p7s', { flags: 1 })],
    ['a seal whose checksum lies', change('seal.p7s', { crc: 1, local: { crc: 1 } })],
    ['a name that turns the direction of writing', add({ name: 'bag/data/a\u202etxt.exe', data: '' })],
    ['a file beside the lists', add({ name: 'bag/notes.txt', data: '' })],
    ['a file of an archiver within', add({ name: 'bag/__MACOSX/._x', data: '' })],
  ])('with %s fails', async (_, attackZip) => {
    const judged = await hostile.judge(await hostile.zip(attackZip))
    expect(judged.verdict).toBe('fail')
  })

  test.each<[string, (entries: CraftedEntry[]) => CraftedEntry[]]>([
    ['under a password', change(scan, { flags: 1 })],
    ['of an unknown compression', change(scan, { method: 99 })],
  ])('with a file %s is open, and never passes', async (_, attackZip) => {
    const { verdict, faults } = await hostile.judge(await hostile.zip(attackZip))
    expect(verdict).toBe('warn')
    expect(faults).toContain(`unexamined ${scan}`)
  })

  test('with two bags in it is no bag', async () => {
    const judged = await hostile.judge(
      await hostile.zip((entries) => [...entries, ...entries.map((entry) => ({ ...entry, name: `b${entry.name}` }))]),
    )
    expect(judged).toMatchObject({ verdict: 'refused', parts: ['no-bag'] })
  })

  test('with a file beside the folder of the bag is no bag', async () => {
    expect(await hostile.judge(await hostile.zip(add({ name: 'false.pdf', data: '' })))).toMatchObject({
      parts: ['no-bag'],
    })
  })

  test('with what archivers leave beside the folder passes', async () => {
    expect((await hostile.judge(await hostile.zip(add({ name: '__MACOSX/bag/._data', data: 'x' })))).verdict).toBe(
      'pass',
    )
  })
})

test('a packet.yaml that is of no use is verified like any other file', async () => {
  const signer = await hostile.scene.sign({ name: 'Desk of any file' })
  for (const text of ['\0\xff: [', 'packet: 99\n', 'x'.repeat(3 * 1024 * 1024)]) {
    const odd = await makeBag(signer, null, [{ path: 'packet.yaml', text }])
    const judged = await hostile.judge(odd.bag)
    expect(judged).toMatchObject({ verdict: 'warn', parts: ['stamp absent none'] })
    await writeFile(join(odd.bag, 'data', 'packet.yaml'), 'packet: 1\n')
    expect((await hostile.judge(odd.bag)).faults).toContain('changed data/packet.yaml')
    await rm(join(odd.bag, 'data', 'packet.yaml'))
    await symlink('/etc/hostname', join(odd.bag, 'data', 'packet.yaml'))
    expect((await hostile.judge(odd.bag)).verdict).toBe('fail')
    await odd.remove()
  }
})
