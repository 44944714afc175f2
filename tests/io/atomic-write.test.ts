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
import { afterEach, beforeEach, expect, it } from 'vitest'
import { writeAtomically, writeNewAtomically } from '../../src/io/atomic-write.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

it('writes a new file, text or bytes, and leaves nothing beside it', async () => {
  await writeAtomically(join(folder, 'report.txt'), 'verdict: pass ✓\n')
  await writeAtomically(join(folder, 'report.bin'), new Uint8Array([1, 2, 3]))
  expect(readFileSync(join(folder, 'report.txt'), 'utf8')).toBe('verdict: pass ✓\n')
  expect([...readFileSync(join(folder, 'report.bin'))]).toEqual([1, 2, 3])
  expect(readdirSync(folder)).toEqual(['report.bin', 'report.txt'])
})

it('replaces a file by another one, so that a reader of the old one is not disturbed', async () => {
  const path = join(folder, 'report.txt')
  writeFileSync(path, 'old and longer than the new one')
  const before = statSync(path).ino
  await writeAtomically(path, 'new')
  expect(readFileSync(path, 'utf8')).toBe('new')
  expect(statSync(path).ino).not.toBe(before)
})

it('fails without a trace where it cannot write', async () => {
  mkdirSync(join(folder, 'taken', 'inner'), { recursive: true })
  await expect(writeAtomically(join(folder, 'taken'), 'x')).rejects.toMatchObject({ syscall: 'rename' })
  await expect(writeAtomically(join(folder, 'missing', 'a.txt'), 'x')).rejects.toMatchObject({ code: 'ENOENT' })
  expect(readdirSync(folder)).toEqual(['taken'])
})

it('lets the last of many writers win, whole', async () => {
  const path = join(folder, 'report.txt')
  const texts = Array.from({ length: 20 }, (_, n) => `${n}`.repeat(10_000))
  await Promise.all(texts.map((text) => writeAtomically(path, text)))
  expect(texts).toContain(readFileSync(path, 'utf8'))
  expect(readdirSync(folder)).toEqual(['report.txt'])
})

it.skipIf(process.platform === 'win32')('writes a new secret for its owner alone', async () => {
  await writeNewAtomically(join(folder, 'secret'), 'x', 0o600)
  expect(statSync(join(folder, 'secret')).mode & 0o777).toBe(0o600)
})

it('writes a new file only where nothing stands', async () => {
  const path = join(folder, 'packet.yaml')
  await writeNewAtomically(path, 'packet: 1\n')
  expect(readFileSync(path, 'utf8')).toBe('packet: 1\n')
  await expect(writeNewAtomically(path, 'other')).rejects.toMatchObject({ code: 'EEXIST' })
  expect(readFileSync(path, 'utf8')).toBe('packet: 1\n')
  symlinkSync(join(folder, 'nowhere'), join(folder, 'dangling'))
  await expect(writeNewAtomically(join(folder, 'dangling'), 'x')).rejects.toMatchObject({ code: 'EEXIST' })
  expect(readdirSync(folder).sort()).toEqual(['dangling', 'packet.yaml'])
})

it('lets one of many writers of a new file win, whole', async () => {
  const path = join(folder, 'packet.yaml')
  const texts = Array.from({ length: 10 }, (_, n) => `${n}`.repeat(10_000))
  const endings = await Promise.allSettled(texts.map((text) => writeNewAtomically(path, text)))
  expect(endings.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
  expect(texts[endings.findIndex(({ status }) => status === 'fulfilled')]).toBe(readFileSync(path, 'utf8'))
  expect(readdirSync(folder)).toEqual(['packet.yaml'])
})
