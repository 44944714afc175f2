import { describe, expect, test } from 'vitest'
import { checks } from '../../src/checks/index.ts'
import { desks, readShippedRulebook } from '../../src/io/shipped.ts'
import { formatFaults, parseRulebook } from '../../src/rulebook/parse.ts'
import { general } from '../checks/general.ts'

const weights = ['pass', 'not-checked', 'warn', 'fail']

describe.each(desks.filter((desk) => desk !== 'general'))('the rulebook %s', async (desk) => {
  const { rulebook, faults } = parseRulebook(await readShippedRulebook(desk), checks, [general])

  test('is in order, and says that it extends the general one', () => {
    expect(formatFaults(faults ?? [])).toBe('')
    expect(rulebook).toMatchObject({ name: desk, extends: { name: 'general', sha256: general.sha256 } })
  })

  test('gives a source of its own for every rule that it weighs otherwise', () => {
    for (const [id, rule] of Object.entries(rulebook?.rules ?? {})) {
      const below = general.rules[id]
      if (below === undefined || rule.from.rulebook === 'general' || rule.off !== null) continue
      expect(rule.basis, id).not.toBe(below.basis)
      // It states only what it changes.
      const { severity, parameters } = rule
      expect({ severity, parameters }, id).not.toEqual({ severity: below.severity, parameters: below.parameters })
    }
  })

  test('asks no less than the general one of what it does not leave out', () => {
    for (const [id, rule] of Object.entries(rulebook?.rules ?? {})) {
      if (rule.off !== null) continue
      for (const [message, severity] of Object.entries(general.rules[id]?.severity ?? {}))
        expect(weights.indexOf(rule.severity[message] ?? ''), `${id} ${message}`).toBeGreaterThanOrEqual(
          weights.indexOf(severity),
        )
    }
  })
})

test('the desks differ from each other and from the general one', async () => {
  const texts = await Promise.all(desks.map(async (desk) => new TextDecoder().decode(await readShippedRulebook(desk))))
  const changed = texts.slice(1).map((text) => [...text.matchAll(/^ {2}([a-z-]+):$/gm)].map(([, id]) => id).join())
  expect(new Set(changed).size).toBe(3)
  for (const list of changed) expect(list.split(',').length).toBeGreaterThan(4)
})
