/** The package as others get it: packed, installed into an empty folder, and run there. */
import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { runProgram } from './cli/program.ts'
import { root } from './source-file.ts'

const execute = promisify(execFile)
const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-publish-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

const installed = join(scratch, 'node_modules', 'witnessmark')
const packet = join(root, 'tests', 'packets', 'a', 'p06', 'files')
let packed: string[] = []

beforeAll(async () => {
  const { stdout } = await execute('npm', ['pack', '--json', '--pack-destination', scratch], { cwd: root })
  // What the build prints may stand before the list.
  const list: unknown = JSON.parse(stdout.slice(stdout.search(/^[[{]/m)))
  const [tarball] = (Array.isArray(list) ? list : Object.values(list as object)) as {
    filename: string
    files: { path: string }[]
  }[]
  if (tarball === undefined) throw new Error('npm pack named no file')
  packed = tarball.files.map(({ path }) => path)
  writeFileSync(join(scratch, 'package.json'), '{ "private": true, "type": "module" }')
  const options = ['--prefer-offline', '--no-audit', '--no-fund', '--ignore-scripts', '--omit=dev']
  await execute('npm', ['install', ...options, join(scratch, tarball.filename)], { cwd: scratch })
}, 600_000)

describe('the package', () => {
  test('holds what it needs and nothing of the workshop', () => {
    expect(packed).toEqual(
      expect.arrayContaining([
        'LICENSE',
        'package.json',
        'dist/cli/main.js',
        'dist/src/index.js',
        'dist/src/index.d.ts',
        'dist/src/io/index.d.ts',
        'dist/src/facts/vocabulary.yaml',
        'dist/src/rulebook/general.yaml',
        'dist/schemas/report.schema.json',
        'dist/page/index.html',
        'dist/examples/packets/quick-drive/packet.yaml',
      ]),
    )
    const root = /^(LICENSE|README\.md|package\.json|dist\/package\.json)$/
    const shipped = /^dist\/((src|cli|schemas)\/.+(\.js|\.d\.ts|\.yaml|\.json)|(page|examples\/packets)\/.+)$/
    expect(packed.filter((path) => !root.test(path) && !shipped.test(path))).toEqual([])
  })

  test('runs without the packages that only we need', () => {
    const { devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as {
      devDependencies: Record<string, string>
    }
    const { packages } = JSON.parse(readFileSync(join(scratch, 'package-lock.json'), 'utf8')) as {
      packages: Record<string, unknown>
    }
    const names = Object.keys(packages).map((path) => path.replace(/^node_modules\//, ''))
    expect(names).toContain('witnessmark')
    expect(names.filter((name) => Object.hasOwn(devDependencies, name))).toEqual([])
  })

  test.each([
    ['JSON', ['--json']],
    ['text', []],
    // These draw pages and embed fonts, which stand in packages of their own.
    ['a page', ['--format', 'html']],
    ['PDF', ['--format', 'pdf']],
  ])('gives the same bytes as its source, as %s', { timeout: 300_000 }, async (_, options) => {
    const words = ['check', packet, '--as-of', '2026-11-25', ...options]
    const ours = await runProgram(words)
    const theirs = await runProgram(words, { cwd: scratch, program: join(installed, 'dist', 'cli', 'main.js') })
    expect(theirs).toEqual(ours)
    expect(theirs.status).toBe(1)
  })

  test('puts its command where npm puts commands', { timeout: 300_000 }, async () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { version: string }
    const { stdout } = await execute(join(scratch, 'node_modules', '.bin', 'witnessmark'), ['--version'])
    expect(stdout).toBe(`witnessmark ${version}\n`)
  })

  test('serves programs, with types', { timeout: 300_000 }, async () => {
    const program = `
      import { checkPacket, checks, compileVocabulary, parseRulebook, parseVocabularyPage, type Report } from 'witnessmark'
      import { fileSystem, readShippedRulebook, readShippedVocabulary, startReading } from 'witnessmark/io'
      import schema from 'witnessmark/schemas/report.schema.json' with { type: 'json' }

      const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
      const { rulebook } = parseRulebook(await readShippedRulebook(), checks)
      if (rulebook === null) throw new Error('no rulebook')
      const reading = startReading()
      const outside = { storage: fileSystem, read: reading.read }
      const report: Report = await checkPacket(process.argv[2] ?? '', outside, { vocabulary, reviewed: '2026-11-25', rulebook })
      await reading.close()
      // @ts-expect-error a verdict is one of three words
      const wrong: Report = { ...report, verdict: 'perhaps' }
      console.log(report.verdict, schema.title, wrong.verdict)
    `
    writeFileSync(join(scratch, 'program.ts'), program)
    const options = ['--noEmit', '--strict', '--module', 'nodenext', '--target', 'es2024', '--types', 'node']
    const typeRoots = ['--typeRoots', join(root, 'node_modules', '@types')]
    const compiler = join(root, 'node_modules', '.bin', 'tsc')
    await execute(compiler, [...options, ...typeRoots, '--resolveJsonModule', 'program.ts'], { cwd: scratch }).catch(
      (error: { stdout: string }) => {
        throw new Error(error.stdout)
      },
    )
    const { stdout } = await execute(process.execPath, ['program.ts', packet], { cwd: scratch })
    expect(stdout).toBe('fail Report perhaps\n')
  })
})
