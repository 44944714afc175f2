import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import type { Check } from '../../src/checks/check.ts'
import { formatFaults, parseRulebook } from '../../src/rulebook/parse.ts'
import type { Rulebook } from '../../src/rulebook/rulebook.ts'

const lampLit: Check = {
  id: 'lamp-lit',
  group: 'safety',
  claim: 'The lamp was lit.',
  messages: {
    lit: { state: 'met', text: 'It was lit.' },
    dark: { state: 'unmet', text: 'It was dark.' },
    unknown: { state: 'undecided', text: 'Nothing says.' },
  },
  parameters: { leastLumens: 'Least light, in lumens.' },
  remedy: 'Light it.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: { shop: 'a risk' },
  collect: [],
  run: () => [{ state: 'met', message: 'lit', data: {}, evidence: [] }],
}
const checks = [lampLit, { ...lampLit, id: 'lamp-seen', parameters: {} }]

const whole = `rulebook: 1
name: lamps
version: 1.2.3
effective: 2026-01-01
cautions: [Mind the lamp.]
checks:
  lamp-lit:
    basis: a book
    parameters: { leastLumens: 5 }
    severity: { dark: fail, unknown: not-checked }
  lamp-seen:
    basis: another book
    severity: { dark: warn, unknown: warn }
`
const bytes = (text: string) => new TextEncoder().encode(text)
const parse = (text: string, bases: readonly Rulebook[] = []) => parseRulebook(bytes(text), checks, bases)
const faultsOf = (text: string, bases: readonly Rulebook[] = []) => formatFaults(parse(text, bases).faults ?? [])

function readWhole(): Rulebook {
  const { rulebook } = parse(whole)
  if (rulebook === null) throw new Error(faultsOf(whole))
  return rulebook
}

test('a whole rulebook', () => {
  const from = { rulebook: 'lamps', version: '1.2.3', effective: '2026-01-01' }
  expect(readWhole()).toEqual({
    name: 'lamps',
    version: '1.2.3',
    effective: '2026-01-01',
    sha256: createHash('sha256').update(whole).digest('hex'),
    cautions: ['Mind the lamp.'],
    procedures: [],
    algorithms: [],
    retention: [],
    rules: {
      'lamp-lit': {
        basis: 'a book',
        parameters: { leastLumens: 5 },
        severity: { dark: 'fail', unknown: 'not-checked' },
        off: null,
        from,
      },
      'lamp-seen': {
        basis: 'another book',
        parameters: {},
        severity: { dark: 'warn', unknown: 'warn' },
        off: null,
        from,
      },
    },
  })
})

test('a rulebook that extends another states only what it changes', () => {
  const text = `rulebook: 1
name: strict
version: 1.0.0
effective: 2026-02-01
extends: lamps
checks:
  lamp-lit:
    severity: { unknown: warn }
  lamp-seen:
    off: { because: nobody looks at it }
`
  const base = readWhole()
  const { rulebook } = parse(text, [base])
  expect(rulebook?.rules['lamp-lit']).toEqual({
    basis: 'a book',
    parameters: { leastLumens: 5 },
    severity: { dark: 'fail', unknown: 'warn' },
    off: null,
    from: { rulebook: 'strict', version: '1.0.0', effective: '2026-02-01' },
  })
  expect(rulebook?.rules['lamp-seen']?.off).toBe('nobody looks at it')
  expect(rulebook?.extends).toEqual({ name: 'lamps', version: '1.2.3', sha256: base.sha256 })
  expect(rulebook?.cautions).toEqual(['Mind the lamp.'])
  expect(rulebook?.sha256).toBe(createHash('sha256').update(text).digest('hex'))
})

test('the algorithms of an extending rulebook replace those of the same name', () => {
  const sha256 = { name: 'sha-256', basis: 'below' } as const
  const rsa = { name: 'rsa-pkcs1', leastBits: 2048, basis: 'below' } as const
  const text = `rulebook: 1
name: strict
version: 1.0.0
effective: 2026-02-01
extends: lamps
algorithms:
  - { name: rsa-pkcs1, leastBits: 3072, until: 2030-12-31, basis: own }
`
  const { rulebook } = parse(text, [{ ...readWhole(), algorithms: [rsa, sha256] }])
  expect(rulebook?.algorithms).toEqual([
    sha256,
    { name: 'rsa-pkcs1', leastBits: 3072, until: '2030-12-31', basis: 'own' },
  ])
  expect(faultsOf(text.replace('2030-12-31', '2030-02-30'), [readWhole()])).toBe(
    'line 7, column 48: until is no day of the calendar: 2030-02-30',
  )
  expect(faultsOf(text.replace('rsa-pkcs1', 'rsa-pkcs'), [readWhole()])).toContain('did you mean "rsa-pkcs1"?')
})

test('procedures of an extending rulebook come after those of its base', () => {
  const text = `rulebook: 1
name: maker
version: 1.0.0
effective: 2026-02-01
extends: lamps
procedures:
  - basis: Invented manual, page 12.
    for: { make: Tessaly, years: [2022, 2024] }
    sensors: [front-radar]
    methods: [dynamic]
    values: { usualSeconds: [600, 1200], speedKmh: [50, 90] }
`
  const base = { ...readWhole(), procedures: [{ basis: 'practice', values: { steadySeconds: 60 } }] }
  const { rulebook, faults } = parse(text, [base])
  expect(faults).toBeNull()
  expect(rulebook?.procedures.map(({ basis }) => basis)).toEqual(['practice', 'Invented manual, page 12.'])
  expect(rulebook?.rules['lamp-lit']).toEqual(base.rules['lamp-lit'])
})

const maker = `rulebook: 1
name: maker
version: 1.0.0
effective: 2026-02-01
extends: lamps
procedures:
  - basis: Invented manual.
    sensors: [front-radar]
    values: { usualSeconds: [600, 1200] }
`

test.each([
  [
    'a value that is none',
    maker.replace('usualSeconds', 'usualSecond'),
    'line 9, column 15: procedures.0.values has no key "usualSecond"; did you mean "usualSeconds"?',
  ],
  ['a sensor that is none', maker.replace('front-radar', 'font-radar'), 'did you mean "front-radar"?'],
  [
    'a pair the wrong way round',
    maker.replace('[600, 1200]', '[1200, 600]'),
    'line 9, column 29: usualSeconds must give the lesser value first, not [1200,600]',
  ],
  [
    'a pair of one',
    maker.replace('[600, 1200]', '[600]'),
    'procedures.0.values.usualSeconds must hold 2 values, not [600]',
  ],
  ['no basis', maker.replace('basis: Invented manual.', 'methods: [static]'), 'procedures.0 lacks the key "basis"'],
])('a procedure with %s is refused', (_, text, fault) => {
  const { rulebook, faults } = parse(text, [readWhole()])
  expect(rulebook).toBeNull()
  expect(formatFaults(faults ?? [])).toContain(fault)
})

const faulty: [what: string, text: string, fault: string][] = [
  [
    'an unknown check',
    whole.replace('lamp-seen:', 'lamp-sen:'),
    'line 11, column 3: no check "lamp-sen"; did you mean "lamp-seen"?',
  ],
  [
    'an unknown message',
    whole.replace('{ dark: warn, unknown', '{ drak: warn, unknown'),
    'line 13, column 17: lamp-seen has no message "drak"; did you mean "dark"?',
  ],
  [
    'a lacking severity',
    whole.replace('{ dark: warn, unknown: warn }', '{ dark: warn }'),
    'line 13, column 15: lamp-seen lacks a severity for "unknown"',
  ],
  [
    'an unknown parameter',
    whole.replace('leastLumens', 'leastLumen'),
    'line 9, column 19: lamp-lit has no parameter "leastLumen"; did you mean "leastLumens"?',
  ],
  [
    'a lacking parameter',
    whole.replace('    parameters: { leastLumens: 5 }\n', ''),
    'line 8, column 5: lamp-lit lacks the parameter "leastLumens": Least light, in lumens.',
  ],
  [
    'an unknown severity',
    whole.replace('dark: fail', 'dark: fial'),
    'line 10, column 23: checks.lamp-lit.severity.dark must be one of fail, warn, pass, not-checked, not "fial"; did you mean "fail"?',
  ],
  [
    'an undecided message made a pass',
    whole.replace('unknown: not-checked', 'unknown: pass'),
    'line 10, column 38: "unknown" leaves the claim undecided: it can be warn or not-checked, not pass',
  ],
  [
    'a severity for a met message',
    whole.replace('{ dark: fail,', '{ lit: warn, dark: fail,'),
    'line 10, column 17: the claim is met by "lit", which is always a pass',
  ],
  [
    'a lacking basis',
    whole.replace('    basis: a book\n', ''),
    'line 7, column 3: lamp-lit lacks a basis: the source of the rule',
  ],
  ['a lacking name', whole.replace('name: lamps\n', ''), 'line 1, column 1: the rulebook lacks the key "name"'],
  [
    'an unknown key',
    whole.replace('effective:', 'efective:'),
    'line 4, column 1: the rulebook has no key "efective"; did you mean "effective"?',
  ],
  [
    'a day that is none',
    whole.replace('2026-01-01', '2026-02-30'),
    'line 4, column 12: effective is no day of the calendar: 2026-02-30',
  ],
  ['another format', whole.replace('rulebook: 1', 'rulebook: 2'), 'line 1, column 11: rulebook must be 1, not 2'],
  [
    'a check without a rule',
    whole.slice(0, whole.indexOf('  lamp-seen')),
    'line 7, column 3: checks lacks a rule for "lamp-seen"',
  ],
  [
    'off without a reason',
    whole.replace('basis: another book', 'basis: another book\n    off: true'),
    'line 13, column 10: checks.lamp-seen.off must be of type object, not true',
  ],
]

test.each(faulty)('%s', (_, text, fault) => {
  expect(faultsOf(text).split('\n')).toContain(fault)
})

test('all faults at once, in the order of the file', () => {
  const text = whole
    .replace('lamp-seen:', 'lamp-sen:')
    .replace('leastLumens', 'leastLumen')
    .replace('2026-01-01', '2026-13-01')
  const lines = faultsOf(text).split('\n')
  expect(lines.map((line) => line.replace(/, column.*/, ''))).toEqual([
    'line 4',
    'line 7',
    'line 8',
    'line 9',
    'line 11',
  ])
})

test('a parameter of another type than the extended rulebook has', () => {
  const text = `rulebook: 1
name: strict
version: 1.0.0
effective: 2026-02-01
extends: lamps
checks:
  lamp-lit: { parameters: { leastLumens: five } }
`
  expect(faultsOf(text, [readWhole()])).toBe(
    'line 7, column 42: leastLumens must be a number, not "five": Least light, in lumens.',
  )
})

test('an unknown rulebook to extend is one fault, not one for every check', () => {
  const text = 'rulebook: 1\nname: strict\nversion: 1.0.0\neffective: 2026-02-01\nextends: lamp\nchecks: {}\n'
  expect(faultsOf(text, [readWhole()])).toBe('line 5, column 10: no rulebook "lamp" to extend; did you mean "lamps"?')
})

test('YAML that cannot be parsed, repeats a key or holds an alias', () => {
  expect(faultsOf('rulebook: [1')).toMatch(/^line 1, column 13: /)
  expect(faultsOf(`${whole}name: twice\n`)).toMatch(/^line 14, column 1: Map keys must be unique/)
  expect(faultsOf('rulebook: &one 1\nname: *one\n')).toMatch(/Alias resolution is disabled/)
  expect(faultsOf('')).toMatch(/must be of type object/)
})

test('names that JavaScript objects inherit are no checks', () => {
  expect(faultsOf(whole.replace('lamp-seen:', 'constructor:'))).toContain('no check "constructor"')
})

test('rules of retention of one name replace those below, and others stay', () => {
  const rule = (name: string, keepYears: number) => `  - { name: ${name}, keepYears: ${keepYears}, basis: a book }`
  const base = parse(`${whole}retention:\n${rule('ordinary', 7)}\n${rule('contested', 10)}\n`).rulebook
  if (base === null) throw new Error('the base has faults')
  const above = `rulebook: 1\nname: long\nversion: 1.0.0\neffective: 2026-01-01\nextends: lamps\nretention:\n${rule('ordinary', 9)}\n`
  const { rulebook, faults } = parse(above, [base])
  expect(faults).toBeNull()
  expect(rulebook?.retention.map(({ name, keepYears }) => [name, keepYears])).toEqual([
    ['contested', 10],
    ['ordinary', 9],
  ])
})
