import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import { checks } from '../../src/checks/index.ts'
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
    expect(rule.basis, id).toMatch(/common practice, no source|CFR|CCR|ISO|SAE|Dechter|Nothing can be recorded/i)
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
