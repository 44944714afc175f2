/** 11.5 and 12.2 V are the general rulebook's bounds; 13 to 14 V under support: common practice, no source. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { batterySupported as check } from '../../../src/checks/preconditions/battery-supported.ts'
import { generalParameters } from '../general.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { aList, makeCondition, makeRecord, packetOfRecords, procedures } from './records.ts'

const parameters = generalParameters('battery-supported')
const messages = (...documents: Parameters<typeof packetOfRecords>[0]) =>
  messagesOf(check, packetOfRecords(documents), parameters, procedures)
const on = makeCondition('battery-support', { stated: 'ok', text: 'charger connected' })
const off = makeCondition('battery-support', { stated: 'out', text: 'not connected' })

describe('battery-supported', () => {
  it.each([
    [11.4, 'low'],
    [11.5, 'weak'],
    [12.1, 'weak'],
    [12.2, 'not-recorded'],
    [12.9, 'not-recorded'],
    [13, 'supported'],
    [14.2, 'supported'],
    [22.8, 'low'],
    [26.4, 'supported'],
  ])('%d V without a word of support: %s', (batteryVolts, message) => {
    for (const kind of ['pre-scan', 'calibration'] as const)
      expect(messages(makeRecord([], { batteryVolts }, kind))).toEqual([message])
  })

  it('a support unit that is recorded is enough, but not for a low voltage', () => {
    expect(messages(makeRecord([on]))).toEqual(['supported'])
    expect(messages(makeRecord([on], { batteryVolts: 12.6 }))).toEqual(['supported'])
    expect(messages(makeRecord([on], { batteryVolts: 11 }))).toEqual(['low'])
  })

  it('a support unit that was not connected is only missed where nothing else charged', () => {
    expect(messages(makeRecord([off], { batteryVolts: 12.5 }))).toEqual(['unsupported'])
    expect(messages(makeRecord([off]))).toEqual(['unsupported'])
    expect(messages(makeRecord([off], { batteryVolts: 14.1 }))).toEqual(['supported'])
  })

  it('takes the lowest of several voltages, with its place and the source of the bound', () => {
    const dip = makeCondition('supply-volts', { value: 11.3, unit: 'V', text: '11.3 V at the end' })
    const [outcome] = runCheck(
      check,
      packetOfRecords([makeRecord([dip], { batteryVolts: 12.8 })]),
      parameters,
      procedures,
    )
    expect(outcome).toMatchObject({ message: 'low', data: { volts: 11.3, least: 11.5 } })
    expect(outcome?.evidence).toMatchObject([{ text: '11.3 V at the end' }])
    expect(outcome?.sources?.[0]).toContain('Common practice')
  })

  it('is unmet where a list of conditions leaves the supply out, undecided where nothing is listed', () => {
    expect(messages(makeRecord(aList))).toEqual(['left-out'])
    expect(messages(makeRecord(aList.slice(1)))).toEqual(['not-recorded'])
    expect(messages(makeRecord([]))).toEqual(['not-recorded'])
    expect(messages()).toEqual(['no-record'])
  })

  it('one met outcome speaks of all records', () => {
    expect(messages(makeRecord([on], {}, 'pre-scan'), makeRecord([on]), makeRecord([on], {}, 'post-scan'))).toEqual([
      'supported',
    ])
  })

  it('never calls a higher voltage worse', () => {
    const worth = ['low', 'weak', 'not-recorded', 'supported']
    const rank = (batteryVolts: number) => worth.indexOf(messages(makeRecord([], { batteryVolts }))[0] ?? '')
    const volts = fc.integer({ min: 900, max: 1800 }).map((hundredths) => hundredths / 100)
    fc.assert(
      fc.property(volts, volts, (a, b) => {
        expect(rank(Math.max(a, b))).toBeGreaterThanOrEqual(rank(Math.min(a, b)))
      }),
    )
  })
})
