import { spawnSync } from 'node:child_process'
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { readSecret } from '../../src/io/secret-file.ts'

const folder = mkdtempSync(join(tmpdir(), 'secret-'))
afterAll(() => rmSync(folder, { recursive: true }))

function put(name: string, content: string, mode: number): string {
  const path = join(folder, name)
  writeFileSync(path, content)
  chmodSync(path, mode)
  return path
}

test('a file of the owner alone is read', async () => {
  for (const mode of [0o600, 0o400]) {
    const { bytes, isShared } = await readSecret(put('own', 'quillwort\n', mode))
    expect([Buffer.from(bytes).toString(), isShared]).toEqual(['quillwort\n', false])
    rmSync(join(folder, 'own'))
  }
})

test.skipIf(process.platform === 'win32').each([0o640, 0o604, 0o660, 0o601, 0o610, 0o666])(
  'a file of mode %o is told apart',
  async (mode) => {
    expect((await readSecret(put('shared', 'x', mode))).isShared).toBe(true)
  },
)

test('what is too long, missing or a folder is refused by its system error', async () => {
  expect((await readSecret(put('full', 'x'.repeat(4096), 0o600))).bytes).toHaveLength(4096)
  await expect(readSecret(put('long', 'x'.repeat(4097), 0o600))).rejects.toMatchObject({ code: 'EFBIG' })
  await expect(readSecret(join(folder, 'nowhere'))).rejects.toMatchObject({ code: 'ENOENT' })
  await expect(readSecret(folder)).rejects.toMatchObject({ code: 'EISDIR' })
})

test.skipIf(process.platform === 'win32')('descriptors are read as they were handed over', () => {
  const module = join(import.meta.dirname, '../../src/io/secret-file.ts')
  const read = (path: string) =>
    `const { readSecret } = await import(${JSON.stringify(module)}); const { bytes, isShared } = await readSecret('${path}');
     process.stdout.write(JSON.stringify([Buffer.from(bytes).toString(), isShared]))`
  const inShell = (script: string, path: string) =>
    spawnSync('sh', ['-c', script, 'sh', process.execPath, read(path)], { cwd: folder, encoding: 'utf8' }).stdout
  put('wide', 'from a wide file', 0o644)
  put('narrow', 'from a narrow file', 0o600)
  const run = '"$1" --input-type=module -e "$2"'
  expect(inShell(`printf 'from a pipe' | ${run}`, '/dev/stdin')).toBe('["from a pipe",false]')
  expect(inShell(`printf 'from a pipe' | ${run} 3<&0`, '/dev/fd/3')).toBe('["from a pipe",false]')
  expect(inShell(`${run} 3<narrow`, '/dev/fd/3')).toBe('["from a narrow file",false]')
  expect(inShell(`${run} 3<wide`, '/dev/fd/3')).toBe('["from a wide file",true]')
})
