import { describe, expect, it } from 'vitest'
import { noFaultsLeft as check } from '../../../src/checks/faults/no-faults-left.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { makeCode, makeModule, postScans, type ScanParts } from './scans.ts'

const parameters = {
  systems: ['driver-assistance', 'brake', 'steering', 'restraint'],
  statuses: ['active', 'confirmed'],
}
const messagesOf = (...scans: ScanParts[]) => messages(check, postScans(...scans), parameters)
const clean = { codes: [], modules: [makeModule('Front radar')] }
const problem = { code: 'no-text-layer', message: 'page 2 is a picture' }

describe('no-faults-left', () => {
  it('is met by a post-scan without codes, or with past and pending ones alone', () => {
    expect(messagesOf({ codes: [], statedCodeCount: 0 })).toEqual(['none'])
    expect(messagesOf({ statedCodeCount: 0 })).toEqual(['none'])
    expect(messagesOf({ modules: [makeModule('Front radar')] })).toEqual(['none'])
    expect(messagesOf({ codes: [makeCode({ status: 'stored' }), makeCode({ status: 'pending' })] })).toEqual(['none'])
  })

  it('is unmet by an active or confirmed code in a system that matters, and points at it', () => {
    for (const system of ['driver-assistance', 'brake', 'steering', 'restraint'] as const)
      expect(messagesOf({ codes: [makeCode({ system })] })).toEqual(['fault-left'])
    const code = makeCode({ status: 'confirmed', failureType: '54', text: 'Missing calibration' })
    const [outcome] = runCheck(check, postScans({ codes: [makeCode({ status: 'stored' }), code] }), parameters)
    expect(outcome).toMatchObject({
      message: 'fault-left',
      data: { code: 'C1A67-54', module: 'Front radar', status: 'confirmed', meaning: 'missing calibration' },
      evidence: [{ file: 'post-1.pdf', text: 'C1A67 confirmed' }],
    })
  })

  it('says so in its own words for any other module, also one that is not named', () => {
    expect(messagesOf({ codes: [makeCode({ module: 'Door', system: 'other' })] })).toEqual(['fault-left-elsewhere'])
    const { system: _, module: __, ...bare } = makeCode()
    expect(messagesOf({ codes: [bare] })).toEqual(['fault-left-elsewhere'])
    const listed = [makeModule('Front radar', { system: 'driver-assistance' })]
    expect(messagesOf({ codes: [{ ...bare, module: 'Front radar' }], modules: listed })).toEqual(['fault-left'])
  })

  it('says so where the status is not stated, and where a faulty module has no code', () => {
    expect(messagesOf({ codes: [makeCode({ status: 'unknown' })] })).toEqual(['status-not-stated'])
    const modules = [makeModule('Front radar', { state: 'fault' }), makeModule('Brake', { state: 'fault' })]
    expect(messagesOf({ codes: [makeCode({ status: 'stored' })], modules })).toEqual(['fault-without-code'])
  })

  it('counts the latest of several post-scans', () => {
    const [early, late] = [
      { codes: [makeCode()], at: 5 },
      { ...clean, at: 30 },
    ]
    expect(messagesOf(early, late)).toEqual(['none'])
    expect(messagesOf(late, early)).toEqual(['none'])
    expect(messagesOf({ ...early, at: 40 }, late)).toEqual(['fault-left'])
  })

  it('counts all post-scans whose order is not certain', () => {
    expect(messagesOf({ codes: [makeCode()] }, { ...clean, at: 30 })).toEqual(['fault-left', 'none'])
    expect(messagesOf({ codes: [makeCode()], at: 30 }, { ...clean, at: 30 })).toEqual(['fault-left', 'none'])
  })

  it('is undecided without a post-scan, or with one that was not read', () => {
    expect(messagesOf()).toEqual(['no-post-scan'])
    expect(messagesOf({})).toEqual(['not-read'])
    expect(messagesOf({ ...clean, problems: [problem] })).toEqual(['not-read'])
    expect(messagesOf({ codes: [], statedCodeCount: 2 })).toEqual(['not-read'])
  })

  it('is undecided by a scan that lists nothing, and by one that counts more codes than were read from it', () => {
    expect(messagesOf({ codes: [], modules: [] })).toEqual(['not-read'])
    const stored = makeCode({ status: 'stored' })
    expect(messagesOf({ ...clean, codes: [stored], statedCodeCount: 1 })).toEqual(['none'])
    expect(messagesOf({ ...clean, codes: [stored], statedCodeCount: 2 })).toEqual(['not-read'])
    expect(messagesOf({ ...clean, statedCodeCount: 1 })).toEqual(['not-read'])
  })

  it('still tells of what was read in a file that was not read in full', () => {
    expect(messagesOf({ codes: [makeCode()], problems: [problem] })).toEqual(['fault-left'])
  })
})
