/** Test states come from status bits 4 and 6 of ISO 14229-1; distances from PID 31 (01 2C is 300 km), from memory. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { faultsRetested as check } from '../../../src/checks/faults/faults-retested.ts'
import { decodeSinceClear, testStateFromByte } from '../../../src/facts/since-clear.ts'
import { generalParameters } from '../general.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, packetOfScans, postScans, type ScanParts } from './scans.ts'

const parameters = generalParameters('faults-retested')
const messages = (packet: Parameters<typeof messagesOf>[1]) => messagesOf(check, packet, parameters)
/** Something was there before, so something was cleared. */
const cleared = (scan: ScanParts) =>
  packetOfScans([
    ['pre-scan', { codes: [makeCode()] }],
    ['post-scan', { codes: [], ...scan }],
  ])
const coded = (byte: string) => {
  const test = testStateFromByte(byte)
  return makeCode({ status: 'stored', statusByte: byte, ...(test ? { test } : {}) })
}

describe('faults-retested', () => {
  it.each([
    ['2F', ['completed']],
    ['08', ['completed']],
    ['24', ['completed']],
    ['50', ['not-since-clear']],
    ['48', ['not-this-cycle']],
  ])('status byte %s: %s', (byte, want) => {
    expect(messages(cleared({ codes: [coded(byte)] }))).toEqual(want)
  })

  it('names the codes and points at them, one outcome a file', () => {
    const codes = [coded('50'), coded('08'), { ...coded('50'), code: 'U0155', failureType: '87' }]
    const [outcome, ...more] = runCheck(check, cleared({ codes }), parameters)
    expect(more).toEqual([])
    expect(outcome?.data.codes).toEqual(['C1A67', 'U0155-87'])
    expect(outcome?.evidence).toHaveLength(2)
  })

  it('is met or unmet by the distance or cycles since the codes were cleared', () => {
    const far = decodeSinceClear(0x31, [0x01, 0x2c])
    expect(runCheck(check, cleared({ sinceClear: { ...far, text: 'PID 31: 01 2C' } }), parameters)).toMatchObject([
      { message: 'driven-since', data: { kilometres: 300 } },
    ])
    expect(messages(cleared({ sinceClear: { metres: 0, text: '0 km' } }))).toEqual(['little-driven'])
    expect(messages(cleared({ sinceClear: { cycles: 0, text: '0 warm-ups' } }))).toEqual(['no-cycle'])
    expect(messages(cleared({ sinceClear: { cycles: 1, text: '1 warm-up' } }))).toEqual(['cycled-since'])
    expect(messages(cleared({ sinceClear: { minutes: 3, text: '3 min' } }))).toEqual(['not-stated'])
  })

  it('is unmet by words of the scan itself, whatever was driven', () => {
    const text = 'Test not completed since last clear'
    const scan = cleared({ sinceClear: { metres: 9000, untested: true, text } })
    expect(runCheck(check, scan, parameters)).toMatchObject([{ message: 'tests-not-run', data: { text } }])
  })

  it('the bound itself is enough', () => {
    const least = Number(parameters.leastKilometres)
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 5000 }), (metres) => {
        const want = metres / 1000 < least ? 'little-driven' : 'driven-since'
        expect(messages(cleared({ sinceClear: { metres, text: `${metres} m` } }))).toEqual([want])
      }),
    )
  })

  it('is undecided where nothing is told, nothing was cleared, or no scan is there', () => {
    expect(messages(cleared({}))).toEqual(['not-stated'])
    expect(messages(postScans({ codes: [], sinceClear: { metres: 0, text: '0 km' } }))).toEqual(['nothing-cleared'])
    expect(messages(postScans())).toEqual(['no-post-scan'])
    // A code that fails now was tested now.
    expect(messages(postScans({ codes: [makeCode({ test: 'not-since-clear' })] }))).toEqual(['nothing-cleared'])
  })
})
