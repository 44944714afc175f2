import { describe, expect, it } from 'vitest'
import { noPendingFaults as check } from '../../../src/checks/faults/no-pending-faults.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, postScans } from './scans.ts'

describe('no-pending-faults', () => {
  it('is met where no code is pending', () => {
    expect(messagesOf(check, postScans({ codes: [], statedCodeCount: 0 }))).toEqual(['none'])
    expect(messagesOf(check, postScans({ codes: [makeCode()] }))).toEqual(['none'])
  })

  it('is unmet by each pending code', () => {
    const codes = [makeCode({ status: 'pending' }), makeCode(), makeCode({ status: 'pending', code: 'U0155' })]
    const outcomes = runCheck(check, postScans({ codes }))
    expect(outcomes.map((outcome) => [outcome.message, outcome.data.code])).toEqual([
      ['pending', 'C1A67'],
      ['pending', 'U0155'],
    ])
    expect(outcomes[1]?.evidence).toMatchObject([{ file: 'post-1.pdf', text: 'U0155 pending' }])
  })

  it('is undecided without a post-scan, or with one that does not speak of codes', () => {
    expect(messagesOf(check, postScans())).toEqual(['no-post-scan'])
    expect(messagesOf(check, postScans({}))).toEqual(['not-read'])
  })
})
