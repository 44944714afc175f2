import { expect, test } from 'vitest'
import type { Check, Outcome } from '../../src/checks/check.ts'
import { checks } from '../../src/checks/index.ts'
import { judge } from '../../src/findings/judge.ts'
import type { Rule, Rulebook } from '../../src/rulebook/rulebook.ts'
import { general } from '../checks/general.ts'
import { makeDocument, makeEvent, makePacket } from '../checks/packet-builder.ts'
import { fullDocument } from './full-document.ts'
import { listErrors, validateReport } from './schemas.ts'

const rule: Rule = {
  basis: 'a book',
  severity: { bad: 'fail', dull: 'warn', open: 'not-checked' },
  parameters: {},
  off: null,
  from: { rulebook: 'test', version: '1.0.0', effective: '2026-01-01' },
}

function makeCheck(id: string, run: Check['run'], rest: Partial<Check> = {}): Check {
  return {
    id,
    group: 'order',
    claim: 'All is well.',
    messages: {
      good: { state: 'met', text: '{what} is good.' },
      bad: { state: 'unmet', text: '{what} is bad.' },
      dull: { state: 'unmet', text: '{what} is dull.' },
      open: { state: 'undecided', text: '{what} is open.' },
    },
    parameters: {},
    remedy: 'Mend it.',
    suppliers: ['shop'],
    settledWith: 'papers',
    exposes: { shop: 'a risk' },
    collect: [],
    run,
    ...rest,
  }
}

function outcome(message: string, what = 'it', file = 'a.pdf'): Outcome {
  const states: Record<string, Outcome['state']> = { good: 'met', bad: 'unmet', dull: 'unmet', open: 'undecided' }
  return { state: states[message] ?? 'met', message, data: { what }, evidence: [{ file, text: what }] }
}

function judgeOutcomes(outcomes: Outcome[], change: Partial<Rule> = {}) {
  return judgeChecks([makeCheck('the-check', () => outcomes)], { 'the-check': { ...rule, ...change } })
}

function judgeChecks(list: Check[], rules: Record<string, Rule>) {
  const rulebook: Rulebook = { ...general, rules, cautions: ['Mind.'] }
  const report = judge(makePacket([makeDocument('other', 'a.pdf')]), list, rulebook)
  expect(listErrors(validateReport, report)).toEqual([])
  return report
}

test('a finding in full', () => {
  expect(judgeOutcomes([outcome('bad', 'The lamp')]).findings).toEqual([
    {
      check: 'the-check',
      group: 'order',
      claim: 'All is well.',
      verdict: 'fail',
      message: 'bad',
      data: { what: 'The lamp' },
      reason: 'The lamp is bad.',
      evidence: [{ file: 'a.pdf', text: 'The lamp' }],
      basis: 'a book',
      remedy: 'Mend it.',
      rule: { rulebook: 'test', version: '1.0.0', effective: '2026-01-01' },
      exposes: ['shop'],
      exposure: [{ party: 'shop', to: 'a risk' }],
      suppliers: ['shop'],
      settledWith: 'papers',
    },
  ])
})

test.each<[messages: string[], verdict: string]>([
  [['good'], 'pass'],
  [['good', 'open'], 'pass'],
  [['good', 'dull'], 'warn'],
  [['dull', 'bad', 'good'], 'fail'],
  [['open'], 'warn'],
])('%j makes %s', (messages, verdict) => {
  expect(judgeOutcomes(messages.map((message) => outcome(message))).verdict).toBe(verdict)
})

test('the rulebook weighs what is unmet', () => {
  const verdictOf = (message: string, severity: Rule['severity']) =>
    judgeOutcomes([outcome(message)], { severity }).findings[0]?.verdict
  expect(verdictOf('bad', { bad: 'pass' })).toBe('pass')
  expect(verdictOf('bad', { bad: 'not-checked' })).toBe('not-checked')
  expect(verdictOf('bad', {})).toBe('warn')
})

test('what is undecided is never a pass or a fail, whatever a rulebook says', () => {
  const verdictOf = (severity: Rule['severity']) => judgeOutcomes([outcome('open')], { severity }).findings[0]?.verdict
  expect(verdictOf({ open: 'pass' })).toBe('not-checked')
  expect(verdictOf({ open: 'fail' })).toBe('warn')
  expect(verdictOf({ open: 'warn' })).toBe('warn')
  expect(verdictOf({})).toBe('not-checked')
})

test.each<[what: string, run: Check['run'], because: string]>([
  [
    'throws',
    () => {
      throw new TypeError('no such\n thing')
    },
    'no such thing',
  ],
  ['gives nothing', () => [], 'it gave no outcome'],
  ['gives an undeclared message', () => [{ ...outcome('good'), message: 'odd' }], 'the message "odd"'],
  ['gives an inherited message', () => [{ ...outcome('good'), message: 'constructor' }], 'the message "constructor"'],
  ['calls an unmet message met', () => [{ ...outcome('bad'), state: 'met' }], 'the message "bad" as met'],
  ['lacks a value of its sentence', () => [{ ...outcome('good'), data: {} }], '{what}'],
])('a check that %s warns that it failed, and the others go on', (_, run, because) => {
  const report = judgeChecks([makeCheck('broken', run), makeCheck('sound', () => [outcome('good')])], {
    broken: rule,
    sound: rule,
  })
  expect(report.findings.map(({ check, verdict, message }) => [check, verdict, message])).toEqual([
    ['broken', 'warn', 'check-failed'],
    ['sound', 'pass', 'good'],
  ])
  expect(report.findings[0]?.reason).toContain(because)
})

test('a check without a rule is not passed over', () => {
  const [finding] = judgeChecks([makeCheck('unruled', () => [outcome('good')])], {}).findings
  expect([finding?.verdict, finding?.message]).toEqual(['warn', 'check-failed'])
})

test('a check that the rulebook leaves out says why, and does not run', () => {
  const run = () => {
    throw new Error('it ran')
  }
  const report = judgeChecks([makeCheck('left', run)], { left: { ...rule, off: 'nobody asked' } })
  expect(report.findings[0]).toMatchObject({
    verdict: 'not-checked',
    message: 'check-left-out',
    reason: 'The rulebook leaves this check out: nobody asked.',
  })
  expect(report.counts).toEqual({ pass: 0, warn: 0, fail: 0, notChecked: 1 })
  expect(report.verdict).toBe('warn')
})

test('findings stand worst first, then by group, check and evidence', () => {
  const list = [
    makeCheck('b-order', () => [outcome('good'), outcome('bad', 'it', 'z.pdf'), outcome('bad', 'it', 'b.pdf')]),
    makeCheck('a-order', () => [outcome('bad'), outcome('open')]),
    makeCheck('z-identity', () => [outcome('bad'), outcome('dull')], { group: 'identity' }),
  ]
  const report = judgeChecks(list, { 'a-order': rule, 'b-order': rule, 'z-identity': rule })
  expect(report.findings.map(({ verdict, check, evidence }) => `${verdict} ${check} ${evidence[0]?.file}`)).toEqual([
    'fail z-identity a.pdf',
    'fail a-order a.pdf',
    'fail b-order b.pdf',
    'fail b-order z.pdf',
    'warn z-identity a.pdf',
    'not-checked a-order a.pdf',
    'pass b-order a.pdf',
  ])
  expect(report.counts).toEqual({ pass: 1, warn: 1, fail: 4, notChecked: 1 })
})

test('unbounded numbers are null in the data', () => {
  const [finding] = judgeOutcomes([{ ...outcome('bad'), data: { what: 'it', gap: Number.NEGATIVE_INFINITY } }]).findings
  expect(finding?.data).toEqual({ what: 'it', gap: null })
})

test('statements about time go with the finding', () => {
  const statements = [{ id: 's1', text: 'a.pdf says noon', evidence: [{ file: 'a.pdf', text: '12:00' }] }]
  expect(judgeOutcomes([{ ...outcome('bad'), statements }]).findings[0]?.statements).toEqual(statements)
})

test('every check on a document that says everything, and on an empty packet, keeps the contract', () => {
  const events = [
    makeEvent('calibration-1', ['2026-04-05T00:05:00Z', null], null, { file: 'everything.pdf', calibration: 0 }),
  ]
  for (const packet of [makePacket([fullDocument], { events }), makePacket([], { vehicle: { vin: null } })]) {
    const report = judge(packet, checks, general)
    expect(listErrors(validateReport, report)).toEqual([])
    expect(report.findings.filter((finding) => finding.message === 'check-failed')).toEqual([])
    expect(JSON.stringify(judge(packet, checks, general))).toBe(JSON.stringify(report))
  }
})

test('an empty packet passes nothing but what holds of nothing, and is no pass', () => {
  const report = judge(makePacket([], { vehicle: { vin: null } }), checks, general)
  expect(report.verdict).toBe('fail')
  expect(report.findings.filter(({ verdict }) => verdict === 'pass').map(({ check }) => check)).toEqual([])
})
