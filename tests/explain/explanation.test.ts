import { describe, expect, test } from 'vitest'
import type { Check, Outcome } from '../../src/checks/check.ts'
import { checks } from '../../src/checks/index.ts'
import { numberParameter } from '../../src/checks/parameters.ts'
import { findProcedure } from '../../src/checks/procedures.ts'
import { explainCheck } from '../../src/explain/explanation.ts'
import type { Rulebook } from '../../src/rulebook/rulebook.ts'
import { general } from '../checks/general.ts'
import { makeDate, makeDocument, makePacket, makePlace } from '../checks/packet-builder.ts'
import { listErrors, validateExplanation } from '../findings/schemas.ts'

/** An invented check: every stated voltage is high enough, by the rule or, where it says so, by the procedure. */
const voltsHigh: Check = {
  id: 'volts-high',
  group: 'preconditions',
  claim: 'Every stated voltage is high enough.',
  messages: {
    high: { state: 'met', text: '{file} states {volts} V.' },
    low: { state: 'unmet', text: '{file} states {volts} V.' },
    none: { state: 'undecided', text: 'No voltage is stated.' },
  },
  parameters: { leastVolts: 'Least voltage.' },
  remedy: 'Measure again.',
  suppliers: ['shop'],
  settledWith: 'vehicle',
  exposes: { shop: 'a weak battery' },
  collect: [],
  run(packet, parameters, procedures) {
    const byRule = numberParameter(parameters, 'leastVolts')
    const byProcedure = findProcedure(procedures, packet, 'front-radar', 'static').values.supplyVolts?.[0] ?? 0
    const outcomes = packet.documents.flatMap(({ file, batteryVolts: volts }): Outcome[] => {
      if (volts === undefined) return []
      const isHigh = volts >= byRule && volts >= byProcedure
      const data = { file, volts }
      const working = [{ text: '{volts} V against {byRule} V.', data: { volts, byRule } }]
      const evidence = [{ file, text: `${volts} V` }]
      return isHigh
        ? [{ state: 'met', message: 'high', data, evidence, working }]
        : [{ state: 'unmet', message: 'low', data, evidence, working }]
    })
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'none', data: {}, evidence: [] }]
  },
}

const rulebook: Rulebook = {
  name: 'volts',
  version: '1.0.0',
  effective: '2026-01-01',
  sha256: 'ab'.repeat(32),
  cautions: [],
  algorithms: [],
  retention: [],
  procedures: [{ basis: 'practice', sensors: ['front-radar'], values: { supplyVolts: [11, 12.2] } }],
  rules: {
    'volts-high': {
      basis: 'Common practice, no source.',
      severity: { low: 'fail', none: 'not-checked' },
      parameters: { leastVolts: 12 },
      off: null,
      from: { rulebook: 'volts', version: '1.0.0', effective: '2026-01-01' },
    },
  },
}

const packetOf = (volts: Record<string, number>) =>
  makePacket(Object.entries(volts).map(([file, batteryVolts]) => makeDocument('pre-scan', file, { batteryVolts })))

describe('explainCheck', () => {
  const explanation = explainCheck(packetOf({ 'a.pdf': 12.6, 'b.pdf': 11.4 }), voltsHigh, rulebook)

  test('gives the findings, worst first, with their steps', () => {
    expect(explanation.verdict).toBe('fail')
    expect(explanation.findings.map(({ verdict, working }) => [verdict, working])).toEqual([
      ['fail', ['11.4 V against 12 V.']],
      ['pass', ['12.6 V against 12 V.']],
    ])
  })

  test('finds the value of the rule at which the verdict turns', () => {
    expect(explanation.turningPoints).toEqual([{ name: 'leastVolts', value: 12, at: 11.4, verdict: 'pass' }])
  })

  test('finds the value of a procedure at which it turns, upwards', () => {
    const { turningPoints } = explainCheck(packetOf({ 'a.pdf': 12.5 }), voltsHigh, rulebook)
    expect(turningPoints.map(({ name, verdict }) => [name, verdict])).toEqual([
      ['leastVolts', 'fail'],
      ['front-radar, any method: supplyVolts, least', 'fail'],
    ])
    for (const { at } of turningPoints) {
      expect(at).toBeGreaterThan(12.5)
      expect(at).toBeLessThan(12.6)
    }
  })

  test('finds the files that the verdict hangs on', () => {
    expect(explanation.files).toEqual([{ file: 'b.pdf', verdict: 'pass', reason: 'a.pdf states 12.6 V.' }])
    const alone = explainCheck(packetOf({ 'b.pdf': 11.4 }), voltsHigh, rulebook)
    expect(alone.files).toEqual([{ file: 'b.pdf', verdict: 'not-checked', reason: 'No voltage is stated.' }])
  })

  test('lists what the check could have said, with its worth', () => {
    expect(explanation.messages.map(({ id, verdict, said }) => [id, verdict, said])).toEqual([
      ['high', 'pass', true],
      ['low', 'fail', true],
      ['none', 'not-checked', false],
    ])
  })

  test('says of a check that is left out why, and tries nothing', () => {
    const rule = { ...(rulebook.rules['volts-high'] as Rulebook['rules'][string]), off: 'nobody measures here' }
    const left = explainCheck(packetOf({ 'b.pdf': 11.4 }), voltsHigh, { ...rulebook, rules: { 'volts-high': rule } })
    expect(left.findings.map(({ message }) => message)).toEqual(['check-left-out'])
    expect([left.turningPoints, left.files]).toEqual([[], []])
  })

  test('throws for a check that the rulebook does not know', () => {
    expect(() => explainCheck(packetOf({}), voltsHigh, { ...rulebook, rules: {} })).toThrow(RangeError)
  })
})

test('every check can be explained, as the schema states it, over an ordinary packet', () => {
  const date = makeDate('2026-10-20T14:05-06:00')
  const packet = makePacket([
    makeDocument('pre-scan', 'pre.pdf', { date: makeDate('2026-10-19T09:00-06:00'), modules: [], codes: [] }),
    makeDocument('calibration', 'cal.pdf', {
      date,
      calibrations: [{ sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed' }],
      evidence: { 'calibrations.0': [makePlace('Front radar')] },
    }),
    makeDocument('post-scan', 'post.pdf', { date: makeDate('2026-10-20T15:00-06:00'), modules: [], codes: [] }),
  ])
  for (const check of checks) {
    const explanation = explainCheck(packet, check, general)
    expect(listErrors(validateExplanation, explanation), check.id).toEqual([])
    expect(explanation.findings.length, check.id).toBeGreaterThan(0)
    // The check itself must not break over a file that is left out.
    expect(
      explanation.files.filter(({ reason }) => reason.startsWith('The check itself failed')),
      check.id,
    ).toEqual([])
  }
})
