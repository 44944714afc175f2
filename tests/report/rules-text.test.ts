import { describe, expect, test } from 'vitest'
import type { Check } from '../../src/checks/check.ts'
import { describeRule } from '../../src/report/rule-data.ts'
import { renderRule, renderRules } from '../../src/report/rules-text.ts'
import type { Rule, Rulebook } from '../../src/rulebook/rulebook.ts'

const check: Check = {
  id: 'lamp-lit',
  group: 'preconditions',
  claim: 'The lamp is lit.',
  messages: {
    lit: { state: 'met', text: 'It shines at {lampFile}.' },
    dark: { state: 'unmet', text: 'It is dark.' },
    dim: { state: 'unmet', text: 'It is dim.' },
    unseen: { state: 'undecided', text: 'Nobody looked.' },
    hidden: { state: 'undecided', text: 'It is covered.' },
  },
  parameters: { leastLux: 'How bright it must be, in lux.' },
  remedy: 'Light it.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: { shop: 'a risk' },
  collect: [],
  run: () => [],
}

function makeRulebook(rule: Partial<Rule>): Rulebook {
  const from = { rulebook: 'test', version: '2.1.0', effective: '2026-05-01' }
  const whole = { basis: 'A source.', severity: {}, parameters: { leastLux: 300 }, off: null, from, ...rule }
  const rules = { 'lamp-lit': whole }
  const identity = { name: 'test', version: '2.1.0', effective: '2026-05-01', sha256: '' }
  return { ...identity, cautions: [], procedures: [], algorithms: [], retention: [], rules }
}

describe('describeRule', () => {
  test('gives each message the worth that a finding with it would have', () => {
    const rulebook = makeRulebook({ severity: { dark: 'fail', hidden: 'warn' } })
    const { messages, parameters } = describeRule(check, rulebook)
    expect(Object.fromEntries(messages.map(({ id, verdict }) => [id, verdict]))).toEqual({
      lit: 'pass',
      dark: 'fail',
      dim: 'warn',
      unseen: 'not-checked',
      hidden: 'warn',
    })
    expect(parameters).toEqual([{ name: 'leastLux', meaning: 'How bright it must be, in lux.', value: 300 }])
  })
})

describe('as text', () => {
  const look = { width: 80, color: false }

  test('a rule shows its values, messages and source', () => {
    const text = renderRule(check, makeRulebook({}), look)
    expect(text).toContain('  Source       A source.\n')
    expect(text).toContain('  pass         lit\n               It shines at [lamp file].\n')
    expect(text).toContain('  leastLux      300: How bright it must be, in lux.\n')
  })

  test('a check that the rulebook leaves out is shown with the reason', () => {
    const rulebook = makeRulebook({ off: 'no lamps here' })
    expect(renderRule(check, rulebook, look)).toContain('  Left out     no lamps here\n')
    expect(renderRules([check], rulebook, look)).toContain('(left out by this rulebook)')
  })
})
