import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clockPlausible as check } from '../../../src/checks/documents/clock-plausible.ts'
import { generalParameters } from '../general.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('clock-plausible')
const record = (file: string, day: string | undefined) =>
  makeDocument('calibration', file, { date: day === undefined ? undefined : makeDate(day) })
const packetWith = (...days: (string | undefined)[]) =>
  makePacket(days.map((day, index) => record(`${index}.pdf`, day)))
const say = (...days: (string | undefined)[]) => messagesOf(check, packetWith(...days), parameters)
const addDays = (day: string, days: number) =>
  new Date(Date.parse(`${day}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10)

describe('clock-plausible', () => {
  it.each([
    [['2026-10-20', '2026-10-21'], ['plausible']],
    [['2026-10-20', '1970-01-01'], ['unset']],
    [['2026-10-20', '1980-01-06T00:04'], ['unset']],
    [['2026-10-20', '2000-03-14'], ['unset']],
    [['2026-10-20', '2099-01-01'], ['unset']],
    [['1970-01-01'], ['unset']],
    // Old, but neither the begin of a clock nor a rollover off: another check's matter.
    [['2026-10-20', '2018-05-04'], ['plausible']],
    // Nothing else tells the time but the day of review.
    [
      ['2000-03-14', '2000-03-15'],
      ['unset', 'unset'],
    ],
    [[undefined], ['no-date']],
  ])('%j: %j', (days, messages) => {
    expect(say(...days)).toEqual(messages)
  })

  it('knows the rollover of GPS week 1023 of 1999, and of 2019', () => {
    // The count began on 1980-01-06 and rolled over on 1999-08-22 and 2019-04-07, 1024 weeks apart (IS-GPS-200).
    expect(addDays('1999-08-22', 7168)).toBe('2019-04-07')
    expect(addDays('1980-01-06', 7168)).toBe('1999-08-22')
    expect(say('2019-04-07', '2019-04-08', '1999-08-22')).toEqual(['rolled-over'])
  })

  it.each([1, 2])('finds a date that is %i times 1024 weeks early, and says how it counted', (turns) => {
    const packet = packetWith('2026-10-20', '2026-10-21', addDays('2026-10-21', -7168 * turns))
    const [outcome] = runCheck(check, packet, parameters)
    expect(outcome).toMatchObject({ message: 'rolled-over', data: { file: '2.pdf', expected: '2026-10-19' } })
    expect(outcome?.working?.[1]?.data).toMatchObject({ turns: -turns, product: -7168 * turns })
  })

  it('finds a date that is 1024 weeks late, or as far off as the other dates spread', () => {
    expect(say('2026-10-20', '2026-10-21', addDays('2026-10-21', 7168))).toEqual(['rolled-over'])
    expect(say('2026-10-20', '2026-10-21', addDays('2026-10-21', -7168 - 50))).toEqual(['rolled-over'])
    expect(say('2026-10-20', '2026-10-21', addDays('2026-10-21', -7168 - 90))).toEqual(['plausible'])
  })

  it('looks at calibrations, tracks and pictures, and tells each file once', () => {
    const started = makeDate('1970-01-01T00:10')
    const calibrations = [
      { sensor: 'lidar', position: null, method: 'static', outcome: 'completed', started, ended: started } as const,
    ]
    const documents = [
      record('good.pdf', '2026-10-20'),
      makeDocument('calibration', 'a.pdf', { calibrations }),
      makeDocument('photo', 'b.jpg', { photo: { taken: makeDate('2000-01-01T00:00'), location: null } }),
    ]
    const outcomes = runCheck(check, makePacket(documents), parameters)
    expect(outcomes.map(({ message, data }) => [message, data.file, data.epoch])).toEqual([
      ['unset', 'a.pdf', '1970-01-01'],
      ['unset', 'b.jpg', '2000-01-01'],
    ])
  })

  it('never doubts a packet whose dates lie together', () => {
    const day = fc.integer({ min: 0, max: 5000 })
    fc.assert(
      fc.property(day, fc.array(fc.nat(30), { minLength: 1, maxLength: 5 }), (first, offsets) => {
        const packet = offsets.map((offset) => addDays(addDays('2012-01-01', first), offset))
        expect(say(...packet)).toEqual(['plausible'])
      }),
    )
  })
})
