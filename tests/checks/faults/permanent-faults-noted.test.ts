/** 13 CCR 1968.2(d)(2.5): a permanent code is erased by the vehicle itself. */
import { describe, expect, it } from 'vitest'
import { permanentFaultsNoted as check } from '../../../src/checks/faults/permanent-faults-noted.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, packetOfScans, postScans } from './scans.ts'

const permanent = makeCode({ code: 'P0420', module: 'Engine', status: 'permanent' })

describe('permanent-faults-noted', () => {
  it('is met where no code is permanent', () => {
    expect(messagesOf(check, postScans({ codes: [makeCode()] }))).toEqual(['none'])
    const before = packetOfScans([
      ['pre-scan', { codes: [permanent] }],
      ['post-scan', { codes: [], statedCodeCount: 0 }],
    ])
    expect(messagesOf(check, before)).toEqual(['none'])
  })

  it('is unmet by a permanent code', () => {
    const [outcome] = runCheck(check, postScans({ codes: [permanent] }))
    expect(outcome).toMatchObject({ message: 'permanent', data: { code: 'P0420', module: 'Engine' } })
  })

  it('is undecided without a post-scan, or with one that does not speak of codes', () => {
    expect(messagesOf(check, postScans())).toEqual(['no-post-scan'])
    expect(messagesOf(check, postScans({}))).toEqual(['not-read'])
  })
})
