import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { progressConsistent as check } from '../../../src/checks/completion/progress-consistent.ts'
import type { CalibrationAttempt, CalibrationOutcome } from '../../../src/facts/document.ts'
import { makeDate } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { packetOf, type RecordParts } from './records.ts'

const parameters = { resetPercent: 5, stallShare: 0.5 }
const messagesOf = (...records: RecordParts[]) => messages(check, packetOf(records), parameters)

/** Readings of one run, one a minute from 14:00 on unless minutes are given. */
function readings(...percents: (number | readonly [minute: number, percent: number])[]): CalibrationAttempt[] {
  return percents.map((entry, index) => {
    const [minute, progressPercent] = typeof entry === 'number' ? [index, entry] : entry
    const at = makeDate(`2026-10-20T14:${String(minute).padStart(2, '0')}:00-06:00`)
    return { outcome: 'unknown', progressPercent, at }
  })
}

describe('progress-consistent', () => {
  it('is met by progress that rises to the outcome', () => {
    expect(messagesOf({ progressPercent: 100 })).toEqual(['consistent'])
    expect(messagesOf({ attempts: readings(10, 30, 55, 100) })).toEqual(['consistent'])
    expect(messagesOf({ outcome: 'failed', progressPercent: 60 })).toEqual(['consistent'])
  })

  it('is unmet by "completed" beside less than 100 %', () => {
    const [outcome] = runCheck(check, packetOf([{ progressPercent: 87 }]), parameters)
    expect(outcome).toMatchObject({
      message: 'completed-below-full',
      data: { progressPercent: 87, outcome: 'completed' },
    })
    expect(outcome?.evidence[0]?.text).toBe('87 %')
  })

  it('is unmet by progress that falls, and tells a fall to zero apart', () => {
    expect(runCheck(check, packetOf([{ attempts: readings(10, 60, 40, 100) }]), parameters)[0]).toMatchObject({
      message: 'falls',
      data: { from: 60, to: 40 },
    })
    expect(messagesOf({ attempts: readings(10, 60, 0, 50, 100) })).toEqual(['resets'])
    expect(messagesOf({ outcome: 'unknown', attempts: readings(10, 60), progressPercent: 50 })).toEqual(['falls'])
  })

  it('lets a run after one that ended begin again', () => {
    const ended = (outcome: CalibrationOutcome, progressPercent: number) => ({ outcome, progressPercent })
    expect(messagesOf({ attempts: [ended('failed', 80), ended('completed', 100)] })).toEqual(['consistent'])
    expect(messagesOf({ outcome: 'failed', attempts: [ended('aborted', 80), ended('failed', 30)] })).toEqual([
      'consistent',
    ])
  })

  it('is unmet by a stall of more than half of the run', () => {
    const stalled = readings([0, 10], [2, 40], [10, 40], [12, 100])
    expect(runCheck(check, packetOf([{ attempts: stalled }]), parameters)[0]).toMatchObject({
      message: 'stalls',
      data: { percent: 40, stallSeconds: 480, runSeconds: 720 },
    })
    expect(messagesOf({ attempts: readings([0, 10], [5, 40], [10, 40], [12, 100]) })).toEqual(['consistent'])
    expect(messagesOf({ attempts: readings([0, 10], [2, 100], [12, 100]) })).toEqual(['consistent'])
  })

  describe('on percentages that the record lists', () => {
    const listed = (...percents: Parameters<typeof readings>) =>
      readings(...percents).map(({ at, progressPercent: percent = 0 }) => ({ percent, ...(at ? { at } : {}) }))
    const rising = [0, 30, 62, 100]

    it('is met by a rise, whichever end comes first', () => {
      expect(messagesOf({ readings: listed(...rising), progressPercent: 100 })).toEqual(['consistent'])
      expect(messagesOf({ readings: listed(...rising).toReversed() })).toEqual(['consistent'])
      const undated = rising.map((percent) => ({ percent }))
      expect(messagesOf({ readings: undated.toReversed(), progressPercent: 100 })).toEqual(['consistent'])
    })

    it('is unmet by a fall, a reset and a stall, and points at the readings', () => {
      const record = { readings: listed(0, 20, 78, 41, 80, 100), progressPercent: 100 }
      expect(runCheck(check, packetOf([record]), parameters)[0]).toMatchObject({
        message: 'falls',
        data: { from: 78, to: 41, readings: [0, 20, 78, 41, 80, 100] },
      })
      expect(messagesOf({ readings: listed(0, 60, 3, 50, 100) })).toEqual(['resets'])
      expect(messagesOf({ readings: listed([0, 0], [1, 30], [9, 30], [10, 100]) })).toEqual(['stalls'])
      expect(messagesOf({ readings: listed(0, 60, 90), progressPercent: 80, outcome: 'failed' })).toEqual(['falls'])
    })

    it('lets it begin again as often as the record tells of attempts', () => {
      const twice = { readings: listed(0, 60, 0, 50, 100) }
      expect(messagesOf({ ...twice, attemptCount: 2 })).toEqual(['consistent'])
      const attempts: CalibrationAttempt[] = [{ outcome: 'failed', progressPercent: 60 }, { outcome: 'completed' }]
      expect(messagesOf({ ...twice, attempts })).toEqual(['consistent'])
      expect(messagesOf({ readings: listed(0, 60, 0, 50, 0, 100), attemptCount: 2 })).toEqual(['resets'])
    })

    it('counts no stall over midnight, where times of day run backwards', () => {
      const readings = [
        { percent: 30, at: makeDate('2026-10-20T23:59:00-06:00') },
        { percent: 30, at: makeDate('2026-10-20T23:59:30-06:00') },
        { percent: 100, at: makeDate('2026-10-20T00:01:00-06:00') },
        { percent: 100, at: makeDate('2026-10-20T00:02:00-06:00') },
      ]
      expect(messagesOf({ readings })).toEqual(['consistent'])
    })
  })

  it('is undecided where no progress is shown', () => {
    expect(messagesOf({})).toEqual(['no-progress'])
    expect(messagesOf()).toEqual(['no-progress'])
  })

  it('finds a fall in any run that is not sorted, and none in one that is', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 6, max: 99 }), { minLength: 2, maxLength: 12 }), (percents) => {
        const attempts = readings(...percents).map(({ at: _, ...attempt }) => attempt)
        const sorted = percents.every((percent, index) => index === 0 || percent >= (percents[index - 1] ?? 0))
        expect(messagesOf({ outcome: 'unknown', attempts })).toEqual([sorted ? 'consistent' : 'falls'])
      }),
    )
  })
})
