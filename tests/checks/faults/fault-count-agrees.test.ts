import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { faultCountAgrees as check } from '../../../src/checks/faults/fault-count-agrees.ts'
import type { CodeReading, ModuleReading } from '../../../src/facts/document.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, makeModule, packetOfScans, postScans } from './scans.ts'

const codes: CodeReading[] = [
  makeCode({ code: 'C1A67' }),
  makeCode({ code: 'C1A68' }),
  makeCode({ code: 'U0155', module: 'Brake', status: 'stored' }),
]
const modules: ModuleReading[] = [
  makeModule('Front radar', { state: 'fault' }),
  makeModule('Brake'),
  makeModule('Engine'),
  makeModule('Trailer', { state: 'not-fitted' }),
  makeModule('Park assist', { state: 'no-response' }),
]

describe('fault-count-agrees', () => {
  it('is met where the numbers are those listed, in one outcome', () => {
    const scan = { codes, modules, statedCodeCount: 3, statedModuleCount: 5 }
    const packet = packetOfScans([
      ['pre-scan', scan],
      ['post-scan', scan],
    ])
    expect(runCheck(check, packet)).toMatchObject([{ message: 'agree', data: { files: ['post-2.pdf', 'pre-1.pdf'] } }])
  })

  it('is unmet where more or fewer are listed', () => {
    expect(runCheck(check, postScans({ codes, statedCodeCount: 5 }))).toMatchObject([
      { message: 'codes-differ', data: { stated: 5, listed: 3 } },
    ])
    expect(messagesOf(check, postScans({ codes, statedCodeCount: 0 }))).toEqual(['codes-differ'])
    expect(messagesOf(check, postScans({ modules, statedModuleCount: 9 }))).toEqual(['modules-differ'])
  })

  it.each([2, 1])('%i may count the codes of one status or one module', (statedCodeCount) => {
    expect(messagesOf(check, postScans({ codes, statedCodeCount }))).toEqual(['counts-part'])
  })

  it.each([
    [4, 'without the one not fitted, or the one that did not answer'],
    [3, 'without both'],
    [1, 'with codes'],
  ])('%i modules %s', (statedModuleCount) => {
    expect(messagesOf(check, postScans({ modules, statedModuleCount }))).toEqual(['counts-part'])
  })

  it('a report that lists only modules with codes counts the others too', () => {
    const faulty = modules.slice(0, 1)
    expect(messagesOf(check, postScans({ modules: faulty, statedModuleCount: 40 }))).toEqual(['counts-part'])
  })

  it('is undecided about a file read in part, and where nothing is stated', () => {
    const problems = [{ code: 'unread-code', message: 'x' }]
    expect(messagesOf(check, postScans({ codes, statedCodeCount: 5, problems }))).toEqual(['read-in-part'])
    expect(messagesOf(check, postScans({ codes, statedCodeCount: null }))).toEqual(['not-stated'])
    expect(messagesOf(check, makePacket([]))).toEqual(['not-stated'])
  })

  it('is met by the true number, whatever is listed', () => {
    const list = fc.array(fc.constantFrom(...codes), { maxLength: 8 })
    fc.assert(
      fc.property(list, (some) => {
        expect(messagesOf(check, postScans({ codes: some, statedCodeCount: some.length }))).toEqual(['agree'])
        expect(messagesOf(check, postScans({ codes: some, statedCodeCount: some.length + 1 }))).not.toContain('agree')
      }),
    )
  })
})
