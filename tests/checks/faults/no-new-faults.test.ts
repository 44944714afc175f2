import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { noNewFaults as check } from '../../../src/checks/faults/no-new-faults.ts'
import type { CodeReading } from '../../../src/facts/document.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, makeModule, packetOfScans, postScans } from './scans.ts'

const gateway = makeModule('Gateway')
const scans = (before: Partial<CodeReading>[], after: Partial<CodeReading>[]) =>
  packetOfScans([
    ['pre-scan', { codes: before.map(makeCode), modules: [gateway] }],
    ['post-scan', { codes: after.map(makeCode), modules: [gateway] }],
  ])

describe('no-new-faults', () => {
  it('is met where the post-scan shows nothing that the pre-scan did not', () => {
    expect(messagesOf(check, scans([{}], []))).toEqual(['none'])
    expect(messagesOf(check, scans([{}], [{ status: 'stored' }]))).toEqual(['none'])
  })

  it('is unmet by a new active code, and points at both scans', () => {
    const [outcome] = runCheck(check, scans([], [{ code: 'U0155', failureType: '87' }]))
    expect(outcome).toMatchObject({ message: 'new-active', data: { code: 'U0155-87' } })
    expect(outcome?.evidence.map((place) => place.file)).toEqual(['post-2.pdf', 'pre-1.pdf'])
  })

  it('is unmet, in weaker words, by a new code of any other status', () => {
    for (const status of ['stored', 'confirmed', 'pending', 'unknown'] as const)
      expect(messagesOf(check, scans([], [{ status }]))).toEqual(['new-stored'])
  })

  it('compares code, failure type and module', () => {
    expect(messagesOf(check, scans([{ failureType: '54' }], [{ failureType: '78' }]))).toEqual(['new-active'])
    expect(messagesOf(check, scans([{ failureType: '54' }], [{ failureType: null }]))).toEqual(['none'])
    const elsewhere = [{ module: 'Brake', code: 'U0155' }]
    expect(messagesOf(check, scans([...elsewhere, {}], [{ code: 'U0155' }]))).toEqual(['new-active'])
  })

  it('forgives other words for a module', () => {
    expect(messagesOf(check, scans([{}], [{ module: 'Radar sensor, front' }]))).toEqual(['none'])
    expect(messagesOf(check, scans([{}], [{ module: 'ACC' }]))).toEqual(['none'])
    const { module: _, ...bare } = makeCode()
    const packet = packetOfScans([
      ['pre-scan', { codes: [bare] }],
      ['post-scan', { codes: [makeCode()] }],
    ])
    expect(messagesOf(check, packet)).toEqual(['none'])
  })

  it('is undecided about a module that was silent before', () => {
    const packet = packetOfScans([
      ['pre-scan', { codes: [], modules: [makeModule('Front radar', { state: 'no-response' })] }],
      ['post-scan', { codes: [makeCode()] }],
    ])
    expect(messagesOf(check, packet)).toEqual(['module-silent-before'])
  })

  it('is undecided without a pre-scan or a post-scan, or with one that was not read', () => {
    expect(messagesOf(check, postScans({ codes: [] }))).toEqual(['no-pre-scan'])
    expect(messagesOf(check, packetOfScans([['pre-scan', { codes: [] }]]))).toEqual(['no-post-scan'])
    const unread = packetOfScans([
      ['pre-scan', {}],
      ['post-scan', { codes: [makeCode()] }],
    ])
    expect(messagesOf(check, unread)).toEqual(['pre-scan-not-read'])
    const miscounted = packetOfScans([
      ['pre-scan', { codes: [], modules: [gateway], statedCodeCount: 1 }],
      ['post-scan', { codes: [makeCode()] }],
    ])
    expect(messagesOf(check, miscounted)).toEqual(['pre-scan-not-read'])
    const after = packetOfScans([
      ['pre-scan', { codes: [] }],
      ['post-scan', {}],
    ])
    expect(messagesOf(check, after)).toEqual(['not-read'])
  })

  it('never calls a code new that stands in both scans', () => {
    const code = fc.record({
      code: fc.constantFrom('C1A67', 'U0155', 'B16A1'),
      module: fc.constantFrom('Front radar', 'Brake', 'Front camera'),
      failureType: fc.constantFrom('54', '87', null),
      status: fc.constantFrom('active', 'stored', 'pending'),
    })
    fc.assert(
      fc.property(fc.array(code, { maxLength: 6 }), (codes) => {
        expect(messagesOf(check, scans(codes, codes.toReversed()))).toEqual(['none'])
      }),
    )
  })
})
