/** `witnessmark draft`, run as users run it. */
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { parseDeclaration } from '../../src/packet/declaration.ts'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-draft-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))
const example = join(root, 'examples', 'packets', 'quick-drive')

describe('draft', { timeout: 120_000 }, () => {
  test('puts a packet.yaml beside the files once, and the check goes on as before', async () => {
    const packet = join(scratch, 'job 7')
    cpSync(example, packet, { recursive: true })
    rmSync(join(packet, 'packet.yaml'))
    const day = ['--as-of', '2026-11-25', '--json']
    const verdictsOf = async () => {
      const { stdout } = await runProgram(['check', packet, ...day])
      const { findings } = JSON.parse(stdout) as { findings: { check: string; verdict: string; reason: string }[] }
      return findings.map(({ check, verdict, reason }) => ({ check, verdict, reason }))
    }
    const before = await verdictsOf()
    const output = join(packet, 'packet.yaml')
    expect(await runProgram(['draft', packet, '--output', output])).toEqual({ status: 0, stdout: '', stderr: '' })
    const text = readFileSync(output, 'utf8')
    expect(parseDeclaration(text).faults).toEqual([])
    expect(text).toContain('# Question: ')
    expect(await verdictsOf()).toEqual(before)

    const again = await runProgram(['draft', packet, '--output', output])
    expect(again).toMatchObject({ status: 2, stdout: '' })
    expect(again.stderr).toContain('exists, and a draft replaces nothing')
    expect(again.stderr).toContain('to mend it: Name a file that does not exist')
    expect(readFileSync(output, 'utf8')).toBe(text)
    // Printed instead, it is the same: what is drafted declares nothing that a second draft would keep.
    expect((await runProgram(['draft', packet])).stdout).toBe(text)
  })

  test('becomes no other file of the packet', async () => {
    const inside = join(example, 'notes.yaml')
    const ending = await runProgram(['draft', example, '--output', inside])
    expect(ending).toMatchObject({ status: 2, stdout: '' })
    expect(ending.stderr).toContain('lies inside the packet')
    expect(existsSync(inside)).toBe(false)
    expect(readdirSync(example).some((name) => name.endsWith('.tmp'))).toBe(false)
  })

  test('the same bytes whatever the zone and language of the machine', async () => {
    const here = await runProgram(['draft', example])
    expect(here).toMatchObject({ status: 0, stderr: '' })
    const environment = { TZ: 'Pacific/Kiritimati', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' }
    expect(await runProgram(['draft', example], { environment })).toEqual(here)
  })
})
