/**
 * A quarter off the placard is where 49 CFR 571.138 S4.2 wants the warning lamp to have come on (from memory); a tenth is
 * common practice, no source. 1 bar is 100 kPa, 1 psi 6.894757 kPa.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { tirePressureRecorded as check } from '../../../src/checks/preconditions/tire-pressure-recorded.ts'
import type { Condition } from '../../../src/facts/document.ts'
import { readPressure } from '../../../src/facts/quantity.ts'
import { generalParameters } from '../general.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { aList, makeCalibration, makeCondition, makeRecord, packetOfRecords, procedures } from './records.ts'

const parameters = generalParameters('tire-pressure-recorded')
const run = (documents: Parameters<typeof packetOfRecords>[0], words: string[] = []) =>
  runCheck(check, packetOfRecords(documents, words), parameters, procedures)
const messages = (documents: Parameters<typeof packetOfRecords>[0], words: string[] = []) =>
  messagesOf(check, packetOfRecords(documents, words), parameters, procedures)
const tire = (value: number, rest: Partial<Condition> = {}) =>
  makeCondition('tire-pressure', { value, unit: 'kPa', ...rest })

describe('tire-pressure-recorded', () => {
  it.each([
    [240, 240, 'as-placard'],
    [264, 240, 'as-placard'],
    [216, 240, 'as-placard'],
    [265, 240, 'off'],
    [180, 240, 'off'],
    [179, 240, 'far-off'],
    [301, 240, 'far-off'],
  ])('%i kPa where the placard asks for %i: %s', (value, wanted, message) => {
    expect(messages([makeRecord([tire(value, { wanted })])])).toEqual([message])
  })

  it('names the worst tire and shows the others in its working', () => {
    const tires = [
      tire(200, { wanted: 240, wheel: 'front-left' }),
      tire(170, { wanted: 230, wheel: 'rear-right', text: 'RR 170' }),
    ]
    const [outcome, ...more] = run([makeRecord(tires)])
    expect(more).toEqual([])
    expect(outcome).toMatchObject({
      message: 'far-off',
      data: { tire: 'the rear right tire', value: 170, wanted: 230, percent: 26 },
    })
    expect(outcome?.working).toHaveLength(2)
    expect(outcome?.evidence).toMatchObject([{ text: 'RR 170' }])
  })

  it('is met by a pressure without a placard, by words, and by any record of the packet', () => {
    expect(messages([makeRecord([tire(240)])])).toEqual(['recorded'])
    expect(messages([makeRecord([makeCondition('tire-pressure')])])).toEqual(['recorded'])
    expect(messages([makeRecord([makeCondition('tire-pressure', { stated: 'ok' })])])).toEqual(['as-placard'])
    expect(messages([makeRecord([]), makeRecord([tire(240)], {}, 'alignment')])).toEqual(['recorded'])
    expect(messages([makeRecord([makeCondition('tire-pressure', { stated: 'out' })])])).toEqual(['stated-out'])
  })

  it('is unmet where a list of conditions leaves them out', () => {
    expect(messages([makeRecord(aList)])).toEqual(['left-out'])
  })

  it('is undecided where nothing is listed, not all was read, words were not understood, or nothing asks for it', () => {
    expect(messages([makeRecord([])])).toEqual(['not-recorded'])
    expect(messages([makeRecord(aList)], ['Tyres were looked at'])).toEqual(['mentioned'])
    const damaged = makeRecord([], { problems: [{ code: 'damaged', message: 'x' }] }, 'alignment')
    expect(messages([makeRecord(aList), damaged])).toEqual(['maybe-unread'])
    const steering = [makeCalibration({ sensor: 'steering-angle', method: 'initialisation' })]
    expect(messages([makeRecord([], { calibrations: steering })])).toEqual(['not-asked'])
    expect(messages([])).toEqual(['not-asked'])
  })

  it('judges the same pressures alike in kPa, bar and psi', () => {
    const units = ['kPa', 'bar', 'psi'] as const
    fc.assert(
      fc.property(fc.integer({ min: 150, max: 350 }), fc.integer({ min: 150, max: 350 }), (value, wanted) => {
        fc.pre(Math.abs(Math.abs(value - wanted) / wanted - 0.1) > 0.001)
        fc.pre(Math.abs(Math.abs(value - wanted) / wanted - 0.25) > 0.001)
        const told = units.map((unit) => {
          const one = readPressure(`1 ${unit}`) ?? Number.NaN
          return messages([makeRecord([tire(value / one, { wanted: wanted / one, unit })])])
        })
        expect(new Set(told.flat()).size).toBe(1)
      }),
    )
  })
})
