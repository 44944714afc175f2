import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import schema from '../../schemas/rulebook.schema.json' with { type: 'json' }
import { checks } from '../../src/checks/index.ts'
import { type AlgorithmName, algorithmNames, judgeAlgorithm } from '../../src/facts/algorithms.ts'
import { general, generalBytes } from '../checks/general.ts'

test('the general rulebook weighs every check', () => {
  expect(Object.keys(general.rules).sort()).toEqual(checks.map((check) => check.id).sort())
})

test.each(checks.map((check) => [check.id, check] as const))('%s: exactly its messages and parameters', (id, check) => {
  const weighed = Object.entries(check.messages).filter(([, { state }]) => state !== 'met')
  expect(Object.keys(general.rules[id]?.severity ?? {}).sort()).toEqual(weighed.map(([message]) => message).sort())
  expect(Object.keys(general.rules[id]?.parameters ?? {}).sort()).toEqual(Object.keys(check.parameters).sort())
})

test('no undecided message is worth a pass or a fail', () => {
  const worth = checks.flatMap((check) =>
    Object.entries(check.messages)
      .filter(([, { state }]) => state === 'undecided')
      .map(([message]) => general.rules[check.id]?.severity[message]),
  )
  expect(new Set(worth)).toEqual(new Set(['warn', 'not-checked']))
})

test('every rule names its source', () => {
  for (const [id, rule] of Object.entries(general.rules)) {
    expect(rule.basis, id).toMatch(/common practice, no source|CFR|CCR|ISO|SAE|RFC|Dechter|Nothing can be recorded/i)
  }
})

test('the hash is of the bytes of the file', () => {
  expect(general.sha256).toBe(createHash('sha256').update(generalBytes).digest('hex'))
})

test('the cautions say what a reader must not conclude', () => {
  expect(general.cautions.join(' ')).toContain('A finding is not an accusation')
  expect(general.cautions.join(' ')).toContain("vehicle maker's current service information")
  expect(general.cautions.join(' ')).toContain('The driver never operates or reads the instrument')
})

test('the schema of rulebooks knows the algorithms that the program knows', () => {
  expect(schema.$defs.algorithm.properties.name.enum).toEqual([...algorithmNames])
})

// NIST SP 800-57 Part 1 Rev. 5, table 4, from memory: 112 bits of security to the end of 2030; SHA-1 and MD5 never.
test('the general rulebook relies on no weak algorithm', () => {
  const judge = (name: AlgorithmName, day: string, bits?: number) =>
    judgeAlgorithm(general.algorithms, name, day, bits).answer
  expect(judge('rsa-pkcs1', '2030-12-31', 2048)).toBe('allowed')
  expect(judge('rsa-pkcs1', '2031-01-01', 2048)).toBe('aged')
  expect(judge('rsa-pkcs1', '2031-01-01', 3072)).toBe('allowed')
  expect(judge('rsa-pkcs1', '2026-01-01', 1024)).toBe('unknown')
  expect(judge('sha-1', '2010-01-01')).toBe('unknown')
  expect(judge('md5', '2000-01-01')).toBe('unknown')
})
