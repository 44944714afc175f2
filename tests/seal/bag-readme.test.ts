import { expect, test } from 'vitest'
import { verifyingCommands, writeReadme } from '../../src/seal/bag-readme.ts'

const source = { signed: '2026-11-25T10:00:00Z', fingerprint: 'ab'.repeat(32) }

test('every command stands on a line of its own, and every other line holds to 80 columns of ASCII', () => {
  const lines = writeReadme(source).split('\n')
  const commands = verifyingCommands(source.signed)
  expect(lines.filter((line) => line.startsWith('    ')).map((line) => line.trim())).toEqual(commands)
  for (const line of lines) {
    expect(line).toMatch(/^[\x20-\x7e]*$/)
    if (!line.startsWith('    ')) expect(line.length).toBeLessThanOrEqual(80)
  }
})

test('the time of the signature is in whole seconds of POSIX', () => {
  // 2001-09-09T01:46:40Z is 1,000,000,000 s after 1970-01-01 (IEEE Std 1003.1, seconds since the epoch).
  expect(verifyingCommands('2001-09-09T01:46:40Z').join('\n')).toContain('-attime 1000000000 ')
})
