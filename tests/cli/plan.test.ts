/** `witnessmark plan`, run as users run it. */
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { listErrors, validatePlan } from '../findings/schemas.ts'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-plan-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))
const packet = 'examples/packets/bumper-and-radar'

describe('plan', { timeout: 120_000 }, () => {
  test('--json holds to the schema, and is the same from packet.yaml alone or in its folder', async () => {
    const alone = await runProgram(['plan', `${packet}/packet.yaml`, '--json'])
    expect(alone).toMatchObject({ status: 0, stderr: '' })
    expect(listErrors(validatePlan, JSON.parse(alone.stdout))).toEqual([])
    copyFileSync(join(root, packet, 'packet.yaml'), join(scratch, 'packet.yaml'))
    // There is nothing to check in such a folder yet, but there is a job to plan.
    const inFolder = await runProgram(['plan', scratch, '--format', 'json'])
    expect(inFolder).toEqual(alone)
  })

  test('reads an estimate', async () => {
    const { stdout, status } = await runProgram(['plan', `${packet}/estimate 26-1183.pdf`, '--json'])
    expect(status).toBe(0)
    const { calibrations } = JSON.parse(stdout) as { calibrations: { sensor: string; need: string }[] }
    expect(calibrations).toContainEqual(expect.objectContaining({ sensor: 'front-radar', need: 'listed' }))
  })

  test('writes a page for the phone, whole, outside the packet alone', async () => {
    const page = join(scratch, 'plan.html')
    const written = await runProgram(['plan', packet, '--format', 'html', '--output', page])
    expect(written).toEqual({ status: 0, stdout: '', stderr: '' })
    expect(readFileSync(page, 'utf8')).toMatch(/^<!DOCTYPE html>\n[\s\S]*<\/html>\n$/)
    const inside = await runProgram(['plan', packet, '--output', `${packet}/plan.txt`])
    expect(inside).toMatchObject({ status: 2, stdout: '' })
    expect(inside.stderr).toContain('lies inside the packet')
  })

  test('the same bytes whatever the zone and language of the machine', async () => {
    const here = await runProgram(['plan', packet])
    const environment = { TZ: 'Pacific/Kiritimati', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' }
    expect(await runProgram(['plan', packet], { environment })).toEqual(here)
  })

  test.each([
    [['plan', packet, '--format', 'pdf'], 'there is no format "pdf"'],
    [['plan', packet, '--json', '--format', 'html'], '--json and --format html are given together'],
    [['plan', 'examples/nowhere'], 'examples/nowhere does not exist'],
  ])('%j is told', async (words, message) => {
    const ending = await runProgram(words)
    expect(ending).toMatchObject({ status: 2, stdout: '' })
    expect(ending.stderr).toContain(message)
    expect(ending.stderr).toContain('to mend it: ')
  })
})
