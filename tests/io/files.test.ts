import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { fileSystem } from '../../src/io/files.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-'))
  writeFileSync(join(folder, 'a.txt'), 'abc')
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const identityOf = async (path: string) => (await fileSystem.look(path)).identity

describe('the file system', () => {
  it('reads from any position, and nothing past the end', async () => {
    const path = join(folder, 'a.txt')
    const file = await fileSystem.open(path, await identityOf(path))
    const target = new Uint8Array(2)
    expect(file.bytes).toBe(3)
    expect(await file.read(target, 1)).toBe(2)
    expect(new TextDecoder().decode(target)).toBe('bc')
    expect(await file.read(target, 2)).toBe(1)
    expect(await file.read(target, 3)).toBe(0)
    await file.close()
  })

  it('opens no link, also when one takes the place of a file', async () => {
    const path = join(folder, 'a.txt')
    const identity = await identityOf(path)
    renameSync(path, join(folder, 'b.txt'))
    symlinkSync('b.txt', path)
    await expect(fileSystem.open(path, identity)).rejects.toMatchObject({ code: 'ELOOP' })
  })

  it('opens no other file than the one that was listed', async () => {
    const path = join(folder, 'a.txt')
    const identity = await identityOf(path)
    renameSync(path, join(folder, 'b.txt'))
    writeFileSync(path, 'abc')
    await expect(fileSystem.open(path, identity)).rejects.toMatchObject({ code: 'ESTALE' })
  })

  it('does not wait for a pipe that no one writes to', async () => {
    const path = join(folder, 'pipe')
    execFileSync('mkfifo', [path])
    await expect(fileSystem.open(path, await identityOf(path))).rejects.toMatchObject({ code: 'ESTALE' })
  })

  it('lists no folder that was put in the place of another, itself or by a link', async () => {
    const inner = join(folder, 'inner')
    mkdirSync(inner)
    const identity = await identityOf(inner)
    expect(await fileSystem.list(inner, identity, 5)).toEqual([])
    renameSync(inner, join(folder, 'moved'))
    mkdirSync(inner)
    await expect(fileSystem.list(inner, identity, 5)).rejects.toMatchObject({ code: 'ESTALE' })
    rmSync(inner, { recursive: true })
    symlinkSync('moved', inner)
    await expect(fileSystem.list(inner, identity, 5)).rejects.toMatchObject({ code: 'ESTALE' })
  })

  it('stops listing one entry after the most that are wanted', async () => {
    for (let n = 0; n < 20; n += 1) writeFileSync(join(folder, `${n}`), '')
    expect(await fileSystem.list(folder, await identityOf(folder), 7)).toHaveLength(8)
  })

  it('tells what each entry is without following it', async () => {
    symlinkSync('/etc', join(folder, 'l'))
    mkdirSync(join(folder, 'd'))
    const listed = await fileSystem.list(folder, await identityOf(folder), 10)
    const kinds = Object.fromEntries(
      listed.map(({ name, kind, bytes }) => [new TextDecoder().decode(name), [kind, bytes]]),
    )
    expect(kinds).toEqual({ 'a.txt': ['file', 3], d: ['folder', 0], l: ['link', 0] })
  })
})
