import { join } from 'node:path'
import { expect, test } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

test('the demonstration shows both jobs, and ends well though one of them fails', { timeout: 300_000 }, async () => {
  const { status, stdout, stderr } = await runProgram([], { program: join(root, 'cli', 'demo.ts') })
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  const [, clean = '', flawed = ''] = stdout.split('$ witnessmark check ')
  expect(clean).toMatch(/^examples\/packets\/bumper-and-radar --as-of 2026-11-25\n\nPASS packet bumper-and-radar\n/)
  expect(flawed).toMatch(/^examples\/packets\/windshield-camera --as-of 2026-11-25\n\nFAIL packet windshield-camera\n/)
  // What is said to be amiss is found.
  expect(flawed).toMatch(/Check {6}vin-agrees\n/)
  expect(flawed).toMatch(/Check {6}billed-is-evidenced\n/)
})
