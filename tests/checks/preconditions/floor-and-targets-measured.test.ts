/** 5 mm at 2 m are 0.143 degree, which are 125 mm at 50 m (arithmetic). */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { floorAndTargetsMeasured as check } from '../../../src/checks/preconditions/floor-and-targets-measured.ts'
import { generalParameters } from '../general.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { aList, makeCalibration, makeCondition, makeRecord, packetOfRecords, procedures } from './records.ts'

const parameters = generalParameters('floor-and-targets-measured')
const messages = (documents: Parameters<typeof packetOfRecords>[0], words: string[] = []) =>
  messagesOf(check, packetOfRecords(documents, words), parameters, procedures)
const floor = makeCondition('floor', { value: 4, unit: 'mm', most: 10 })
const distance = makeCondition('target-distance', { value: 1502, unit: 'mm', least: 1495, most: 1505 })

it('the geometry that makes a floor matter', () => {
  const tilt = Math.atan(0.005 / 2)
  expect((tilt * 180) / Math.PI).toBeCloseTo(0.143, 3)
  expect(Math.tan(tilt) * 50).toBeCloseTo(0.125, 6)
})

describe('floor-and-targets-measured', () => {
  it('is met by both, whatever records state them', () => {
    expect(messages([makeRecord([floor, distance])])).toEqual(['measured'])
    expect(messages([makeRecord([distance]), makeRecord([floor], {}, 'statement')])).toEqual(['measured'])
    const words = [makeCondition('floor', { stated: 'ok' }), makeCondition('target-position', { stated: 'ok' })]
    expect(messages([makeRecord(words)])).toEqual(['measured'])
  })

  it('is unmet by a figure outside its limits, with the comparison, and by words', () => {
    const far = makeCondition('target-distance', { ...distance, value: 1506, text: 'Target distance 1506 mm' })
    const [outcome] = runCheck(check, packetOfRecords([makeRecord([floor, far])]), parameters, procedures)
    expect(outcome).toMatchObject({
      message: 'out',
      data: { what: 'target distance', limits: 'at least 1495 and at most 1505 mm' },
    })
    expect(outcome?.evidence).toMatchObject([{ text: 'Target distance 1506 mm' }])
    expect(messages([makeRecord([{ ...floor, value: 12 }, distance])])).toEqual(['out'])
    expect(messages([makeRecord([makeCondition('floor', { stated: 'out' }), distance])])).toEqual(['stated-out'])
  })

  it('is unmet where a list of conditions leaves the floor or the targets out', () => {
    expect(messages([makeRecord([...aList, distance])])).toEqual(['left-out'])
    expect(messages([makeRecord([...aList, floor])])).toEqual(['left-out'])
  })

  it('is undecided where one or both are not told', () => {
    expect(messages([makeRecord([distance])])).toEqual(['floor-not-recorded'])
    expect(messages([makeRecord([floor])])).toEqual(['targets-not-recorded'])
    expect(messages([makeRecord([])])).toEqual(['not-recorded'])
    expect(messages([makeRecord(aList)], ['floor looked at', 'target at 1500'])).toEqual(['mentioned'])
    const damaged = makeRecord([], { problems: [{ code: 'damaged', message: 'x' }] }, 'statement')
    expect(messages([makeRecord(aList), damaged])).toEqual(['maybe-unread'])
  })

  it('asks nothing of a drive', () => {
    const radar = [makeCalibration({ sensor: 'front-radar', method: 'dynamic' })]
    expect(messages([makeRecord(aList, { calibrations: radar })])).toEqual(['not-asked'])
  })

  it('is unmet exactly outside the limits', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1480, max: 1520 }), (value) => {
        const inside = value >= 1495 && value <= 1505
        expect(messages([makeRecord([floor, { ...distance, value }])])).toEqual([inside ? 'measured' : 'out'])
      }),
    )
  })
})
