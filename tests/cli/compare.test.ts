/** `witnessmark compare` on real files, and its page. */
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Comparison } from '../../src/compare/comparison.ts'
import { listErrors, validateComparison } from '../findings/schemas.ts'
import { readPage } from '../report/html-page.ts'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const first = 'examples/packets/windshield-camera'
const day = ['--as-of', '2026-11-25']
let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-compare-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

describe('compare', { timeout: 300_000 }, () => {
  test('a PDF that another program saved anew (qpdf): no word and no fact of it changed', async () => {
    const again = join(folder, 'again')
    cpSync(join(root, first), again, { recursive: true })
    const name = 'scan after.pdf'
    const { status } = spawnSync('qpdf', [
      '--linearize',
      '--object-streams=generate',
      join(root, first, name),
      join(again, name),
    ])
    expect(status).toBe(0)
    const ending = await runProgram(['compare', first, again, ...day, '--json'])
    expect(ending).toMatchObject({ status: 0, stderr: '' })
    const comparison = JSON.parse(ending.stdout) as Comparison
    expect(listErrors(validateComparison, comparison)).toEqual([])
    expect(comparison.files).toMatchObject([{ change: 'changed', words: { state: 'same' }, after: { file: name } }])
    expect(comparison.facts).toEqual([])
    expect(comparison.counts).toMatchObject({ settled: 0, worsened: 0, 'not-raised': 0 })
  })

  test('writes a page that is well formed, runs nothing and loads nothing', async () => {
    const path = join(folder, 'changes.html')
    const ending = await runProgram(['compare', first, `${first}-again`, ...day, '--output', path])
    expect(ending).toEqual({ status: 0, stdout: '', stderr: '' })
    const page = readFileSync(path, 'utf8')
    const elements = readPage(page)
    expect(elements.filter(({ name }) => ['script', 'link', 'img', 'iframe'].includes(name))).toEqual([])
    expect(page).not.toMatch(/url\(|@import|https?:/)
    expect(elements.filter(({ name }) => name === 'h2')[0]?.text).toBe('Changed facts that findings rest on (2)')
    expect(elements.filter(({ name }) => name === 'del').map(({ text }) => text)).toContain('7XRCB8HLXNSS18264')
    const ids = elements.flatMap(({ attributes }) => attributes.id ?? [])
    expect(new Set(ids).size).toBe(ids.length)
  })

  test('never writes into either packet', async () => {
    const ending = await runProgram(['compare', first, `${first}-again`, '--output', `${first}-again/changes.html`])
    expect(ending.status).toBe(2)
    expect(ending.stderr).toContain('lies inside the packet')
  })
})
