/** Lists of digests among the files of a packet, as checksum programs and people make them. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, onTestFinished, test } from 'vitest'
import type { SealPart } from '../../../src/facts/seal.ts'
import { findDigestLists } from '../../../src/seal/bag/digest-list.ts'
import { examineDigestLists, listAlgorithms } from '../../../src/seal/bag/examine-lists.ts'
import { digestOf, type Files, viewOf } from './invented.ts'

const packet: Files = { 'pre scan.pdf': 'one', 'photos/aim.jpg': 'two', 'photos/left.jpg': 'three' }
const names = Object.keys(packet)
const of = (algorithm: string, name: string) => digestOf(algorithm, packet[name] as string)
const lines = (algorithm: string, write: (digest: string, name: string) => string) =>
  names.map((name) => `${write(of(algorithm, name), name)}\n`).join('')

function examine(lists: Record<string, string>, files: Files = packet) {
  const all = { ...files, ...lists }
  const found = findDigestLists(
    Object.entries(lists).map(([file, text]) => ({ file, text })),
    Object.keys(all),
  )
  return examineDigestLists(found, viewOf(all).entries)
}

function verdictOf(lists: Record<string, string>, files: Files = packet): string {
  const part: SealPart | undefined = examine(lists, files)?.parts[0]
  return part === undefined ? 'none' : `${part.state} ${part.code}`
}

const faultsOf = (lists: Record<string, string>, files: Files = packet): string[] =>
  (examine(lists, files)?.parts[0]?.faults ?? []).map(({ code, file }) => `${code} ${file}`)

const holds = 'holds agree'
const changed: Files = { ...packet, 'photos/aim.jpg': 'another' }

const shapes: Record<string, string> = {
  'manifest-sha256.txt': lines('sha256', (digest, name) => `${digest}  ${name}`),
  SHA256SUMS: lines('sha256', (digest, name) => `${digest.toUpperCase()} *./${name}`),
  'sums.sha512': lines('sha512', (digest, name) => `${digest}  ${name}`).replaceAll('\n', '\r\n'),
  'tagged.txt': lines('sha384', (digest, name) => `SHA384 (${name}) = ${digest}`),
  'openssl.txt': lines('sha256', (digest, name) => `SHA2-256(${name})= ${digest}`).replaceAll('SHA2-256', 'SHA256'),
  'table.txt': `\ufeff\nAlgorithm       Hash      Path\n---------       ----      ----\n${lines('sha256', (digest, name) => `SHA256          ${digest.toUpperCase()}       C:\\Jobs\\17\\${name.replaceAll('/', '\\')}  `)}\n`,
  'comments.txt': `# made by the shop\n${lines('sha256', (digest, name) => `${digest}  ${name}`)}`,
  'files.csv': `Name,Size,SHA-256\n${lines('sha256', (digest, name) => `"${name}",12,${digest}`)}`,
  'files;semicolon.csv': `SHA-256;Datei\n${lines('sha256', (digest, name) => `${digest};${name}`)}`,
  'files.json': JSON.stringify(names.map((name) => ({ name, bytes: 3, sha256: of('sha256', name) }))),
  'map.json': JSON.stringify(Object.fromEntries(names.map((name) => [name, of('sha256', name)])), null, 2),
  'both.json': JSON.stringify(
    names.map((name) => ({ md5: of('md5', name), sha256: `sha256:${of('sha256', name)}`, path: name })),
  ),
  'files.yaml': `files:\n${lines('sha256', (digest, name) => `  - name: ${name}\n    sha256: ${digest}`)}`,
  'files.xml': `<?xml version="1.0"?>\n<files>\n${lines('sha256', (digest, name) => `<file name="${name}">\n  <sha256>${digest}</sha256>\n</file>`)}</files>`,
  'elements.xml': `<l>${lines('sha256', (digest, name) => `<f><d a="SHA-256">${digest}</d><n>${name}</n></f>`)}</l>`,
}

describe.each(Object.entries(shapes))('%s', (file, text) => {
  test('holds', () => {
    expect(verdictOf({ [file]: text })).toBe(holds)
  })

  test('finds a changed file, and two that were swapped', () => {
    expect(faultsOf({ [file]: text }, changed)).toContain('changed photos/aim.jpg')
    expect(verdictOf({ [file]: text }, changed)).toBe('broken differ')
    const swapped = { ...packet, 'photos/aim.jpg': 'three', 'photos/left.jpg': 'two' }
    expect(faultsOf({ [file]: text }, swapped)).toEqual(
      expect.arrayContaining(['changed photos/aim.jpg', 'changed photos/left.jpg']),
    )
  })

  test('is doubtful where the packet holds more than it lists', () => {
    const more = { ...packet, 'invoice.pdf': 'more' }
    expect(verdictOf({ [file]: text }, more)).toBe('doubtful list-incomplete')
    expect(faultsOf({ [file]: text }, more)).toEqual(['extra invoice.pdf'])
  })

  test('tells that a listed file is not there', () => {
    const { 'photos/left.jpg': _, ...less } = packet
    expect(verdictOf({ [file]: text }, less as Files)).not.toBe(holds)
  })
})

describe('what programs on this machine write', () => {
  const put = () => {
    const folder = mkdtempSync(join(tmpdir(), 'lists-'))
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
    for (const name of ['a.pdf', 'odd\\name.txt', ' b.jpg']) writeFileSync(join(folder, name), name)
    return folder
  }
  test.each([
    ['sha256sum', [], 'holds agree'],
    ['sha512sum', ['--tag'], 'holds agree'],
    ['sha384sum', ['--binary'], 'holds agree'],
    ['md5sum', [], 'doubtful weak-algorithm-only'],
    ['sha1sum', ['--tag'], 'doubtful weak-algorithm-only'],
    ['openssl', ['dgst', '-sha256'], 'holds agree'],
    ['openssl', ['dgst', '-sha256', '-r'], 'holds agree'],
    ['b2sum', [], 'none'],
  ])('%s %j', (program, words, verdict) => {
    const { stdout, error } = spawnSync(program, [...words, 'a.pdf', 'b c.jpg'], {
      cwd: (() => {
        const folder = put()
        writeFileSync(join(folder, 'b c.jpg'), 'b')
        return folder
      })(),
      encoding: 'utf8',
    })
    expect(error).toBeUndefined()
    const file = program === 'b2sum' ? 'B2SUMS' : 'list.txt'
    expect(verdictOf({ [file]: stdout }, { 'a.pdf': 'a.pdf', 'b c.jpg': 'b' })).toBe(verdict)
  })

  test('sha256sum, with a name that it escapes', () => {
    const { stdout } = spawnSync('sha256sum', ['odd\\name.txt'], { cwd: put(), encoding: 'utf8' })
    expect(stdout.startsWith('\\')).toBe(true)
    const found = findDigestLists([{ file: 'l', text: stdout }], ['odd\\name.txt', 'name.txt', 'l'])
    expect(found[0]?.entries[0]?.name).toBe('odd\\name.txt')
  })
})

test('a digest alone, in a file beside the one that it is of', () => {
  const side = (digest: string) => ({ 'pre scan.pdf.sha256': `${digest}\n` })
  const [one = ''] = names
  const only = { [one]: packet[one] as string }
  expect(verdictOf(side(of('sha256', one)), only)).toBe(holds)
  expect(verdictOf(side(digestOf('sha256', 'x')), only)).toBe('broken differ')
  expect(faultsOf(side(of('sha256', one)))).toEqual(['extra photos/aim.jpg', 'extra photos/left.jpg'])
})

test('a digest beside one file alone leaves the others open, and names them', () => {
  const [first = '', ...others] = names
  const part = examine({ [`${first}.sha256`]: `${of('sha256', first)}\n` })?.parts[0]
  expect(part).toMatchObject({
    state: 'doubtful',
    code: 'list-incomplete',
    text: `The lists of digests settle 1 of ${names.length} files, and leave the others open`,
  })
  expect(part?.faults.map(({ file, code }) => `${code} ${file}`).toSorted()).toEqual(
    others.map((name) => `extra ${name}`).toSorted(),
  )
})

test('lists in a folder name files beside them, or from the root', () => {
  const text = `${of('sha256', 'photos/aim.jpg')}  aim.jpg\n${of('sha256', 'photos/left.jpg')}  photos/left.jpg\n`
  expect(faultsOf({ 'photos/SHA256SUMS': text })).toEqual(['extra pre scan.pdf'])
})

test('one strong list makes up for a weak one, file by file', () => {
  const weak = lines('md5', (digest, name) => `${digest}  ${name}`)
  expect(verdictOf({ 'a.md5': weak })).toBe('doubtful weak-algorithm-only')
  expect(verdictOf({ 'a.md5': weak, 'b.sha256': shapes['manifest-sha256.txt'] as string })).toBe(holds)
  expect(examine({ 'a.md5': weak, 'b.sha256': shapes['manifest-sha256.txt'] as string })?.digests).toEqual([
    'sha-256',
    'md5',
  ])
})

test('the digests that are wanted', () => {
  const text = `${of('md5', 'pre scan.pdf')}  pre scan.pdf\n${of('sha512', 'pre scan.pdf')}  pre scan.pdf\n`
  expect(listAlgorithms(findDigestLists([{ file: 'l', text }], names))).toEqual(['sha-512', 'md5'])
})

describe('no list', () => {
  const id = digestOf('md5', 'a report')
  test.each([
    ['a report with its own number and a name', `Report ${id}\nsee pre scan.pdf\n`],
    ['a record of a device', JSON.stringify({ photo: 'photos/aim.jpg', session: id })],
    ['digests of other files', `${id}  firmware.bin\n`],
    ['no digest', 'pre scan.pdf, photos/aim.jpg\n'],
    ['longer runs of digits', `${id}0  pre scan.pdf\n`],
  ])('%s', (_, text) => {
    expect(verdictOf({ 'report.txt': text })).toBe('none')
  })

  test('whatever a text holds, nothing is thrown, and nothing holds by chance', () => {
    const bits = fc.constantFrom(id, of('md5', 'pre scan.pdf'), 'pre scan.pdf', '  ', '\n', ',', '"', ': ', '{', 'x')
    fc.assert(
      fc.property(fc.array(bits, { maxLength: 30 }), (parts) => {
        expect(verdictOf({ 'l.txt': parts.join('') })).not.toBe(holds)
      }),
    )
  })
})
