/** What other programs rely on: the schemas, stable bytes, streams and statuses. */
import { execFile } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { afterAll, describe, expect, test } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const schemas = readdirSync(join(root, 'schemas'))
  .filter((name) => name.endsWith('.json'))
  .map((name) => JSON.parse(readFileSync(join(root, 'schemas', name), 'utf8')) as { $id: string })
const ajv = new Ajv2020({ allErrors: true, schemas, allowUnionTypes: true })

function faultsBy(name: string, value: unknown): unknown {
  const id = schemas.find((schema) => schema.$id.endsWith(`/${name}.schema.json`))?.$id ?? name
  const validate = ajv.getSchema(id)
  if (validate === undefined) throw new Error(`no schema ${name}`)
  return validate(value) ? null : validate.errors
}

const flawed = 'tests/packets/a/p06/files'
const clean = 'tests/packets/a/p01/files'
const day = ['--as-of', '2026-11-25']
const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-cli-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

describe('check --json', { timeout: 300_000 }, () => {
  test.each([
    [flawed, 1, 'fail'],
    [clean, 0, 'pass'],
  ])('%s ends with status %i and holds to the schema', async (packet, status, verdict) => {
    const ending = await runProgram(['check', packet, ...day, '--json'])
    expect(ending).toMatchObject({ status, stderr: '' })
    const report = JSON.parse(ending.stdout)
    expect(faultsBy('report', report)).toBeNull()
    expect(report).toMatchObject({ report: 1, reviewed: '2026-11-25', verdict })
    // The keys stand in the order that the contract lists them in.
    const order = ['report', 'packet', 'digest', 'rulebook', 'reviewed', 'verdict', 'vehicle', 'zone', 'documents']
    expect(Object.keys(report)).toEqual([...order, 'events', 'findings', 'counts', 'exposure', 'actions', 'cautions'])
  })

  test('the schema refuses what is no report', () => {
    expect(faultsBy('report', { report: 1 })).not.toBeNull()
  })
})

describe('read --json', { timeout: 300_000 }, () => {
  test.each(readdirSync(join(root, clean)).filter((name) => name !== 'packet.yaml'))('%s', async (name) => {
    const ending = await runProgram(['read', '--json', `${clean}/${name}`])
    expect(ending).toMatchObject({ status: 0, stderr: '' })
    expect(faultsBy('document', JSON.parse(ending.stdout))).toBeNull()
  })
})

describe('the same bytes', { timeout: 300_000 }, () => {
  // Zones on both sides of the date line, and locales whose letters, digits and decimal marks differ from English ones.
  const machines = [
    { TZ: 'Pacific/Kiritimati', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' },
    { TZ: 'Pacific/Pago_Pago', LANG: 'ar_EG.UTF-8', LC_ALL: 'ar_EG.UTF-8' },
    { TZ: 'America/St_Johns', LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8' },
  ]

  test.each([
    ['JSON', ['--json']],
    ['text', []],
  ])('as %s, whatever the zone and language of the machine', async (_, options) => {
    const seen = new Set<string>()
    for (const environment of machines) {
      const { stdout } = await runProgram(['check', flawed, ...day, ...options], { environment })
      seen.add(stdout)
    }
    expect(seen.size).toBe(1)
    expect([...seen][0]?.length).toBeGreaterThan(1000)
  })

  test('from another working folder', async () => {
    const here = await runProgram(['check', flawed, ...day, '--json'])
    const there = await runProgram(['check', join(root, flawed), ...day, '--json'], { cwd: scratch })
    expect(there.stdout).toBe(here.stdout)
  })

  test('in a file, with nothing on standard output', async () => {
    const path = join(scratch, 'report with spaces.json')
    const printed = await runProgram(['check', clean, ...day, '--json'])
    const written = await runProgram(['check', clean, ...day, '--json', '--output', path])
    expect(written).toEqual({ status: 0, stdout: '', stderr: '' })
    expect(readFileSync(path, 'utf8')).toBe(printed.stdout)
    expect(readdirSync(scratch)).toEqual(['report with spaces.json'])
  })
})

/** Runs a line of bash in which `$WITNESSMARK` is the program. */
function runShell(script: string): Promise<{ stdout: string; stderr: string }> {
  const environment = { ...process.env, WITNESSMARK: `${process.execPath} cli/main.ts` }
  return new Promise((resolve, reject) => {
    execFile('bash', ['-c', script], { cwd: root, env: environment }, (error, stdout, stderr) =>
      error ? reject(error) : resolve({ stdout, stderr }),
    )
  })
}

describe('standard output', { timeout: 300_000 }, () => {
  test('that nobody reads to the end is no error', async () => {
    const ending = await runShell(`$WITNESSMARK check ${clean} --json | head -c 1; echo " \${PIPESTATUS[0]}"`)
    expect(ending).toEqual({ stdout: '{ 0\n', stderr: '' })
  })

  // Writing to /dev/full fails with ENOSPC: full(4).
  test.runIf(existsSync('/dev/full'))('that is full is told, and the check did not run', async () => {
    const { stdout, stderr } = await runShell('$WITNESSMARK rules > /dev/full; echo $?')
    expect(stdout).toBe('2\n')
    expect(stderr).toMatch(/^witnessmark: standard output cannot be written \(ENOSPC\)\n {2}to mend it: /)
  })
})
