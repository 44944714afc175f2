import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { calibrationFollowsRepair as check } from '../../../src/checks/order/calibration-follows-repair.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const parameters = { calls: { windshield: ['front-camera'], 'front bumper': ['front-radar', 'ultrasonic'] } }
const messagesOf = (...entries: Entry[]) => messages(check, makeScene(entries), parameters)
const repair: Entry = { kind: 'repair', end: at(120), label: 'Front bumper cover replaced' }
const radar: Entry = { kind: 'calibration', start: at(200), end: at(212) }

describe('calibration-follows-repair', () => {
  it('is met where the repair ended first', () => {
    expect(messagesOf(repair, radar)).toEqual(['in-order'])
  })

  it('is unmet where the repair ended after the calibration began', () => {
    for (const end of [at(205), at(300)]) {
      const [outcome] = runCheck(check, makeScene([{ ...repair, end }, radar]), parameters)
      expect(outcome?.message).toBe('out-of-order')
      expect(outcome?.evidence.map((place) => place.file)).toEqual(['packet.yaml', '01-calibration.pdf'])
    }
  })

  it('is mended by the calibration repeated after the repair', () => {
    expect(messagesOf({ ...radar, start: at(30), end: at(40) }, repair, radar)).toEqual(['in-order'])
  })

  it('passes over a repair that calls for other sensors', () => {
    expect(messagesOf({ ...repair, end: at(300), label: 'Windshield renewed' }, radar)).toEqual(['none-called-for'])
    expect(messagesOf(repair, { ...repair, end: at(300), label: 'Windshield renewed' }, radar)).toEqual(['in-order'])
  })

  it('says so where the words of a later repair do not tell what it calls for', () => {
    expect(messagesOf({ ...repair, end: at(300), label: 'Job finished' }, radar)).toEqual(['unclear-repair-after'])
    expect(messagesOf({ ...repair, label: 'Job finished' }, radar)).toEqual(['in-order'])
  })

  it('is uncertain where the clocks leave it open, undecided where the day does', () => {
    const near = { start: ['2026-10-20T15:55:00Z', '2026-10-20T16:05:00Z'] } as const
    expect(messagesOf(repair, { ...radar, start: at(121), bounds: near })).toEqual(['uncertain'])
    expect(messagesOf({ ...repair, end: '2026-10-20' }, radar)).toEqual(['too-coarse'])
    expect(messagesOf({ kind: 'repair', label: 'Front bumper cover replaced' }, radar)).toEqual(['no-time'])
  })

  it('takes the date of a record that states no times for the time of its calibration, if it is hours later', () => {
    const dated = (date: string) => messagesOf(repair, { kind: 'calibration', dated: date })
    expect(dated(at(400))).toEqual(['in-order-by-record'])
    expect(dated(at(140))).toEqual(['too-coarse'])
    expect(dated(at(30))).toEqual(['out-of-order'])
  })

  it('is undecided without repair or calibration', () => {
    expect(messagesOf(radar)).toEqual(['no-repair'])
    expect(messagesOf(repair)).toEqual(['no-calibration'])
  })

  it('depends on differences of time alone', () => {
    fc.assert(
      fc.property(fc.nat(200), fc.nat(200), fc.nat(300), (ended, started, shift) => {
        const run = (by: number) =>
          messagesOf(
            { ...repair, end: at(ended + by) },
            { ...radar, start: at(started + by), end: at(started + 12 + by) },
          )
        expect(run(0)).toEqual([ended <= started ? 'in-order' : 'out-of-order'])
        expect(run(shift)).toEqual(run(0))
      }),
    )
  })
})
