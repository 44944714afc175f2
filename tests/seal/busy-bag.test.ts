/** Bags that only keep a verifier busy: whatever grows faster than what it is read from is a way to stop it. */
import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { parseCertificate } from '../../src/seal/certificates/certificate.ts'
import { findPath } from '../../src/seal/certificates/path.ts'
import { openDesk } from './desk.ts'
import { type Hostile, openHostile } from './hostile.ts'
import { policy, readPem } from './scene.ts'

let hostile: Hostile
beforeAll(async () => {
  hostile = await openHostile()
})
afterAll(() => hostile.close())

describe('what only keeps a verifier busy', () => {
  const long = 8 * 1024 * 1024
  const sha = '0'.repeat(64)
  test.each<[string, (bag: string) => Promise<unknown>]>([
    ['a tag without a colon', (bag) => writeFile(join(bag, 'bag-info.txt'), `x${' '.repeat(long)}`)],
    ['a tag that goes on', (bag) => writeFile(join(bag, 'bag-info.txt'), `A: b\n${' c\n'.repeat(long / 8)}`)],
    [
      'a declaration of line breaks',
      async (bag) =>
        writeFile(
          join(bag, 'bagit.txt'),
          `${await readFile(join(bag, 'bagit.txt'), 'utf8')}${'\r\n'.repeat(100_000)}x`,
        ),
    ],
    ['a declaration of spaces', (bag) => writeFile(join(bag, 'bagit.txt'), `BagIt-Version:${' '.repeat(long)}\n`)],
    ['a manifest of spaces', (bag) => writeFile(join(bag, 'manifest-sha256.txt'), `${sha}${' '.repeat(long)}`)],
    ['a manifest of one line', (bag) => writeFile(join(bag, 'manifest-sha256.txt'), sha.repeat(long / 64))],
    [
      'a manifest of many lines',
      (bag) =>
        writeFile(
          join(bag, 'manifest-sha256.txt'),
          Array.from({ length: 100_000 }, (_, at) => `${sha}  data/${at}\n`).join(''),
        ),
    ],
    [
      'a fetch.txt of many lines',
      (bag) => writeFile(join(bag, 'fetch.txt'), 'https://example.org/x - data/x\n'.repeat(200_000)),
    ],
    ['a fetch.txt of spaces', (bag) => writeFile(join(bag, 'fetch.txt'), `a${' '.repeat(long)}`)],
    ['names that are no JSON', (bag) => writeFile(join(bag, 'original-names.json'), '['.repeat(1024 * 1024))],
    ['names that nest', (bag) => writeFile(join(bag, 'original-names.json'), '{"a":'.repeat(200_000))],
    ['a seal that nests', (bag) => writeFile(join(bag, 'seal.p7s'), Buffer.alloc(100_000, Buffer.from([0x30, 0x80])))],
    ['a seal of many values', (bag) => writeFile(join(bag, 'seal.p7s'), manyValues(3 * 1024 * 1024))],
    ['a stamp of many values', (bag) => writeFile(join(bag, 'seal.tsr'), manyValues(3 * 1024 * 1024))],
    [
      'many files',
      async (bag) => {
        for (let at = 0; at < 5000; at++) await writeFile(join(bag, 'data', `${at}`), '')
      },
    ],
  ])('%s fails in time', { timeout: 60_000 }, async (_, change) => {
    expect((await hostile.judge(await hostile.attack(change))).verdict).toBe('fail')
  })

  /** SEQUENCE of NULLs. */
  function manyValues(bytes: number): Buffer {
    const head = Buffer.from([0x30, 0x84, 0, 0, 0, 0])
    head.writeUInt32BE(bytes, 2)
    return Buffer.concat([head, Buffer.alloc(bytes, Buffer.from([0x05, 0x00]))])
  }

  test('tag files that leave no room for the seal do not make it a bag without', { timeout: 60_000 }, async () => {
    const bag = await hostile.attack(async (own) => {
      for (const name of ['a', 'b', 'c', 'd']) await writeFile(join(own, name), Buffer.alloc(64 * 1024 * 1024))
    })
    const judged = await hostile.judge(bag)
    expect(judged.verdict).toBe('fail')
    expect(judged.parts).not.toContain('signature absent not-sealed')
  })
})

test('a maze of authorities of one name and key, each above all the others, has an end', { timeout: 60_000 }, () => {
  const desk = openDesk()
  const curve = ['-algorithm', 'EC', '-pkeyopt', 'ec_paramgen_curve:P-256']
  desk.openssl('genpkey', ...curve, '-out', 'maze.key')
  const certificates = Array.from({ length: 16 }, (_, index) => {
    const file = `${index}.pem`
    const made = ['-new', '-key', 'maze.key', '-subj', '/CN=Maze', '-set_serial', String(index + 1), '-days', '30']
    desk.openssl('req', '-x509', ...made, '-out', file)
    return parseCertificate(readPem(desk.get(file))[0] as Uint8Array)
  })
  const [leaf, ...carried] = certificates
  if (leaf === undefined) throw new Error('no certificate')
  const started = performance.now()
  const trust = hostile.scene.trust
  const at = new Date(Date.now() + 60_000)
  const found = findPath({ leaf, carried, trust, at, purpose: 'document', policy })
  expect(found.state).toBe('doubtful')
  expect(performance.now() - started).toBeLessThan(5_000)
})
