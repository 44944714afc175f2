/** The forms of a report: which one is written, and where to. */
import { execFile } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import { chooseForm, type ReportForm } from '../../cli/report-form.ts'
import type { Terminal } from '../../cli/terminal.ts'
import { UserError } from '../../cli/user-error.ts'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const terminalWhere = (isTerminal: boolean): Terminal => ({
  print: async () => {},
  tell: () => {},
  environment: {},
  output: { isTerminal, columns: 80 },
  errorsAreShown: false,
  today: () => '2026-11-25',
})
const pipe = terminalWhere(false)

describe('the form', () => {
  test.each<[ReportForm, Parameters<typeof chooseForm>[0]]>([
    ['text', {}],
    ['json', { json: true }],
    ['json', { json: true, format: 'json' }],
    ['csv', { format: 'csv' }],
    ['pdf', { output: 'a.pdf' }],
    ['pdf', { output: 'a folder/RO 12.PDF' }],
    ['html', { output: 'a.htm' }],
    ['json', { output: 'a.json' }],
    ['text', { output: 'a.pdf', format: 'text' }],
    ['json', { output: 'a.csv', json: true }],
    ['text', { output: 'a.docx' }],
    ['text', { output: 'pdf' }],
    ['pdf', { format: 'pdf' }],
  ])('is %s with %j', (form, options) => {
    expect(chooseForm(options, pipe)).toBe(form)
  })

  test.each([
    [{ format: 'htm1' }, /no form htm1/],
    [{ format: 'toString' }, /no form toString/],
    [{ json: true, format: 'csv' }, /cannot both be/],
  ])('is refused with %j', (options, message) => {
    expect(() => chooseForm(options, pipe)).toThrow(UserError)
    expect(() => chooseForm(options, pipe)).toThrow(message)
  })

  test('is not PDF on a terminal, but in a file', () => {
    expect(() => chooseForm({ format: 'pdf' }, terminalWhere(true))).toThrow(/nothing for a terminal/)
    expect(chooseForm({ format: 'pdf', output: 'a.pdf' }, terminalWhere(true))).toBe('pdf')
  })
})

describe('a written report', { timeout: 600_000 }, () => {
  const packet = 'examples/packets/quick-drive'
  const day = ['--as-of', '2026-11-25']
  const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-forms-'))
  afterAll(() => rmSync(scratch, { recursive: true, force: true }))
  beforeEach(() => {
    for (const name of readdirSync(scratch)) rmSync(join(scratch, name))
  })

  test('as PDF replaces what stood there, whole, and is the same on standard output', async () => {
    const path = join(scratch, 'report.pdf')
    writeFileSync(path, 'an old one')
    expect(await runProgram(['check', packet, ...day, '--output', path])).toEqual({ status: 1, stdout: '', stderr: '' })
    expect(readdirSync(scratch)).toEqual(['report.pdf'])
    const written = readFileSync(path)
    expect(written.subarray(0, 8).toString('latin1')).toBe('%PDF-1.7')
    expect(written.subarray(-6).toString('latin1').trimEnd()).toBe('%%EOF')
    // The pictures of the evidence are in it: JPEG begins with SOI and APP0 (JFIF, from memory).
    expect(written.includes(Buffer.from([0xff, 0xd8, 0xff, 0xe0]))).toBe(true)
    const printed = await new Promise<Buffer>((resolve) => {
      const words = ['cli/main.ts', 'check', packet, ...day, '--format', 'pdf']
      execFile(process.execPath, words, { cwd: root, encoding: 'buffer', maxBuffer: 2 ** 26 }, (_, stdout) =>
        resolve(stdout),
      )
    })
    expect(printed.equals(written)).toBe(true)
  })

  test('as HTML shows the pages that the findings rest on', async () => {
    const path = join(scratch, 'report.html')
    expect(await runProgram(['check', packet, ...day, '--output', path])).toEqual({ status: 1, stdout: '', stderr: '' })
    const page = readFileSync(path, 'utf8')
    expect(page).toMatch(/^<!DOCTYPE html>/)
    expect(page).toContain('<title>FAIL: Review of quick-drive</title>')
    expect(page.match(/<img src="data:image\/jpeg;base64,/g)?.length).toBeGreaterThan(1)
    expect(page).not.toContain('cannot be shown')
  })

  test('as CSV has a row for each finding', async () => {
    const csv = await runProgram(['check', packet, ...day, '--format', 'csv'])
    const json = await runProgram(['check', packet, ...day, '--format', 'json'])
    expect(csv.status).toBe(1)
    expect(csv.stdout.split('\r\n')).toHaveLength(JSON.parse(json.stdout).findings.length + 2)
  })
})
