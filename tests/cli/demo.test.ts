import { join } from 'node:path'
import { expect, test } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

test('the demonstration shows what it says, and ends well though one job fails', { timeout: 300_000 }, async () => {
  const { status, stdout, stderr } = await runProgram([], { program: join(root, 'cli', 'demo.ts') })
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  const [, clean = '', flawed = ''] = stdout.split('$ witnessmark check ')
  expect(clean).toMatch(/^examples\/packets\/bumper-and-radar --as-of 2026-11-25\n\nPASS packet bumper-and-radar\n/)
  expect(flawed).toMatch(/^examples\/packets\/windshield-camera --as-of 2026-11-25\n\nFAIL packet windshield-camera\n/)
  // What is said to be amiss is found.
  expect(flawed).toMatch(/Check {6}vin-agrees\n/)
  expect(flawed).toMatch(/Check {6}billed-is-evidenced\n/)
  const [whole = '', spoilt = ''] = stdout.split('$ witnessmark verify ').slice(1)
  expect(whole).toMatch(/^sealed --trust trusted\.pem\n\nPASS seal of sealed\n/)
  expect(whole).toContain('PASS Time stamp')
  expect(spoilt).toMatch(/^sealed --trust trusted\.pem\n\nFAIL seal of sealed\n/)
  expect(spoilt).toContain('data/packet.yaml is not the file that manifest-sha256.txt lists')
})

test('the demonstration does without OpenSSL', { timeout: 300_000 }, async () => {
  const { status, stdout } = await runProgram([], { program: join(root, 'cli', 'demo.ts'), environment: { PATH: '' } })
  expect(status).toBe(0)
  expect(stdout).toContain('nobody stamps the time')
  expect(stdout).toContain('FAIL seal of sealed')
})
