import { describe, expect, it } from 'vitest'
import { noCalibrationFaultsLeft as check } from '../../../src/checks/faults/no-calibration-faults-left.ts'
import type { CodeReading } from '../../../src/facts/document.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { makeCode, makeModule, postScans } from './scans.ts'

const parameters = {
  failureTypes: ['54', '55', '76', '78', '97'],
  wordings: ['not calibrated', 'misalign', 'blocked', 'wrong position'],
  statuses: ['active', 'confirmed', 'pending', 'unknown'],
}
const messagesOf = (...codes: Partial<CodeReading>[]) =>
  messages(check, postScans({ codes: codes.map(makeCode), modules: [makeModule('Gateway')] }), parameters)

describe('no-calibration-faults-left', () => {
  it('is met by codes that speak of something else', () => {
    expect(messagesOf()).toEqual(['none'])
    expect(messagesOf({ failureType: '87', text: 'Missing message' })).toEqual(['none'])
  })

  // Public listings of SAE J2012-DA agree on these: missing calibration, not configured, wrong mounting position,
  // alignment or adjustment incorrect, operation obstructed or blocked.
  it.each(['54', '55', '76', '78', '97'])('is unmet by failure type %s', (failureType) => {
    expect(messagesOf({ failureType })).toEqual(['failure-type'])
  })

  it('says what the failure type means, and points at the code', () => {
    const [outcome] = runCheck(check, postScans({ codes: [makeCode({ failureType: '78' })] }), parameters)
    expect(outcome?.data).toMatchObject({ code: 'C1A67-78', meaning: 'alignment or adjustment incorrect' })
    expect(outcome?.evidence).toMatchObject([{ file: 'post-1.pdf', text: 'C1A67 active' }])
  })

  it.each([
    'Radar NOT-calibrated',
    'Sensor misaligned (horizontal)',
    'Sensor view blocked',
    'Camera in wrong position',
  ])('is unmet by the words "%s"', (text) => {
    expect(messagesOf({ text })).toEqual(['wording'])
  })

  it('counts the statuses of the rulebook: what is stored is past', () => {
    for (const status of ['active', 'confirmed', 'pending', 'unknown'] as const)
      expect(messagesOf({ status, failureType: '54' })).toEqual(['failure-type'])
    expect(messagesOf({ status: 'stored', failureType: '54' })).toEqual(['none'])
  })

  it('is undecided without a post-scan, or with one that does not speak of codes', () => {
    expect(messages(check, postScans(), parameters)).toEqual(['no-post-scan'])
    expect(messages(check, postScans({}), parameters)).toEqual(['not-read'])
  })
})
