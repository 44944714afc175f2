import { describe, expect, it } from 'vitest'
import { modulesRespond as check } from '../../../src/checks/faults/modules-respond.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeModule, postScans } from './scans.ts'

const radar = makeModule('Front radar', { system: 'driver-assistance' })

describe('modules-respond', () => {
  it('is met where all listed modules answered, with or without faults', () => {
    const modules = [radar, makeModule('Brake', { state: 'fault' }), makeModule('Tow bar', { state: 'not-fitted' })]
    expect(runCheck(check, postScans({ modules }))[0]).toMatchObject({ message: 'none', data: { modules: 3 } })
  })

  it('is unmet by a silent module, and tells driver assistance apart', () => {
    const silent = makeModule('Front radar', { system: 'driver-assistance', state: 'no-response' })
    const [outcome] = runCheck(check, postScans({ modules: [makeModule('Brake'), silent] }))
    expect(outcome).toMatchObject({
      message: 'assistance-silent',
      data: { module: 'Front radar' },
      evidence: [{ file: 'post-1.pdf', text: 'Front radar' }],
    })
    const other = makeModule('Radio', { state: 'no-response', system: 'other' })
    expect(
      messagesOf(check, postScans({ modules: [radar, other, makeModule('Tuner', { state: 'no-response' })] })),
    ).toEqual(['module-silent', 'module-silent'])
  })

  it('counts the latest post-scan', () => {
    const silent = makeModule('Front radar', { system: 'driver-assistance', state: 'no-response' })
    expect(messagesOf(check, postScans({ modules: [silent], at: 5 }, { modules: [radar], at: 30 }))).toEqual(['none'])
  })

  it('is undecided without a post-scan, or with one that lists no modules', () => {
    expect(messagesOf(check, postScans())).toEqual(['no-post-scan'])
    expect(messagesOf(check, postScans({ codes: [] }))).toEqual(['not-read'])
    const problems = [{ code: 'truncated', message: 'the file ends early' }]
    expect(messagesOf(check, postScans({ modules: [radar], problems }))).toEqual(['not-read'])
  })
})
