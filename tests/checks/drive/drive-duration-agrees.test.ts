import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { driveDurationAgrees as check } from '../../../src/checks/drive/drive-duration-agrees.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { type LogParts, packetOfDrives, type RunParts } from './drives.ts'

const parameters = { failShare: 0.2, failSeconds: 120, warnShare: 0.1, warnSeconds: 60 }
const messagesOf = (run: RunParts, ...logs: LogParts[]) => messages(check, packetOfDrives([run], logs), parameters)
const clock = (minutes: number) => `${14 + Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}:00`
const window = (from: number, to: number) => ({ started: clock(from), ended: clock(to) })

describe('drive-duration-agrees', () => {
  it('is met where stated duration and times agree', () => {
    const [outcome] = runCheck(check, packetOfDrives([{ durationSeconds: 842, ...window(5, 19) }]), parameters)
    expect(outcome).toMatchObject({
      message: 'agree',
      data: { first: 'the stated duration', firstSeconds: 842, second: 'start and end', secondSeconds: 840 },
    })
    expect(outcome?.evidence.map((place) => place.text)).toEqual(['Duration 842 s', '14:05:00', '14:19:00'])
  })

  it('is unmet where they differ by more than both bounds', () => {
    const [outcome] = runCheck(check, packetOfDrives([{ durationSeconds: 842, ...window(5, 10) }]), parameters)
    expect(outcome).toMatchObject({ message: 'disagree', data: { differenceSeconds: 542 } })
    expect(outcome?.data.differencePercent).toBeCloseTo(64.4, 1)
    expect(messagesOf({ durationSeconds: 402, ...window(5, 25) })).toEqual(['disagree'])
  })

  it('is unmet, in weaker words, where they differ a little', () => {
    expect(messagesOf({ durationSeconds: 1001, ...window(0, 19) })).toEqual(['differ'])
    expect(messagesOf({ durationSeconds: 501, ...window(0, 7) })).toEqual(['differ'])
  })

  it('needs both the share and the seconds to be exceeded', () => {
    expect(messagesOf({ durationSeconds: 301, ...window(0, 6) })).toEqual(['agree'])
    expect(messagesOf({ durationSeconds: 3301, ...window(0, 60) })).toEqual(['agree'])
  })

  it('lets several attempts, and a duration that leaves out stops, be shorter than start to end, not longer', () => {
    const attempts = [{ outcome: 'failed' as const }, { outcome: 'completed' as const }]
    expect(messagesOf({ durationSeconds: 602, ...window(0, 40), attempts })).toEqual(['long-enough'])
    expect(messagesOf({ durationSeconds: 602, ...window(0, 5), attempts })).toEqual(['disagree'])
    const wording = 'Drive time 10:02 (excluding stops)'
    expect(messagesOf({ durationSeconds: 602, ...window(0, 20), wording })).toEqual(['long-enough'])
    expect(messagesOf({ durationSeconds: 602, ...window(0, 5), wording })).toEqual(['disagree'])
    expect(messagesOf({ durationSeconds: 602, ...window(0, 20), wording: 'Drive time 10:02' })).toEqual(['disagree'])
  })

  it('takes a log that covers the calibration for the way there and back', () => {
    const log = { ...window(0, 45), durationSeconds: 2700 }
    expect(messagesOf({ ...window(10, 22) }, log)).toEqual(['long-enough'])
    expect(messagesOf({ durationSeconds: 722, ...window(10, 22) }, log)).toEqual(['long-enough'])
  })

  it('is unmet by a log that is too short, or one of another length that does not cover the calibration', () => {
    expect(messagesOf({ ...window(10, 30) }, { ...window(12, 20), durationSeconds: 480 })).toEqual(['disagree'])
    expect(messagesOf({ ...window(10, 22) }, { ...window(15, 60), durationSeconds: 2700 })).toEqual(['disagree'])
    expect(messagesOf({ ...window(10, 22) }, { ...window(11, 23), durationSeconds: 720 })).toEqual(['agree'])
  })

  it('holds a log without times only to being long enough', () => {
    expect(messagesOf({ ...window(10, 22) }, { durationSeconds: 2700 })).toEqual(['long-enough'])
    expect(messagesOf({ ...window(10, 22) }, { durationSeconds: 300 })).toEqual(['disagree'])
  })

  it('compares a duration without stops with the log’s time in motion', () => {
    const run = { durationSeconds: 602, wording: 'net 10:02' }
    expect(messagesOf(run, { durationSeconds: 1200, movingSeconds: 600 })).toEqual(['agree'])
    expect(messagesOf(run, { durationSeconds: 1200, movingSeconds: 300 })).toEqual(['disagree'])
    expect(messagesOf({ durationSeconds: 602 }, { durationSeconds: 1200, movingSeconds: 300 })).toEqual(['long-enough'])
  })

  it('gives each of two calibrations the log of its own drive', () => {
    const runs = [window(10, 22), { ...window(120, 150), sensor: 'front-camera' as const }]
    const logs = [
      { ...window(5, 30), durationSeconds: 1500 },
      { ...window(118, 155), durationSeconds: 2220 },
    ]
    expect(messages(check, packetOfDrives(runs, logs), parameters)).toEqual(['long-enough', 'long-enough'])
    expect(messages(check, packetOfDrives(runs, logs.slice(0, 1)), parameters)).toEqual(['long-enough', 'one-source'])
  })

  it('compares a log with the stated duration too, which start and end in whole minutes hide', () => {
    const run = { started: '14:00', ended: '14:08', durationSeconds: 590 }
    expect(messagesOf(run, { started: '14:00:10', ended: '14:07:50', durationSeconds: 460 })).not.toEqual(['agree'])
    expect(messagesOf({ ...run, durationSeconds: 475 }, { ...window(0, 8), durationSeconds: 480 })).toEqual(['agree'])
  })

  it('does not lend a calibration the log of another that it shares no time with, though that started late', () => {
    const runs = [window(10, 22), { ...window(120, 150), sensor: 'front-camera' as const }]
    const logs = [
      { started: '14:10:10', ended: '14:14:00', durationSeconds: 230 },
      { started: '16:00:10', ended: '16:29:50', durationSeconds: 1780 },
    ]
    expect(messages(check, packetOfDrives(runs, logs), parameters)).toEqual(['disagree', 'agree'])
  })

  it('is undecided with one source, and does not apply without a dynamic calibration', () => {
    expect(messagesOf({ durationSeconds: 842 })).toEqual(['one-source'])
    expect(messagesOf({}, { durationSeconds: 842 })).toEqual(['one-source'])
    expect(messagesOf({ durationSeconds: 842, method: 'static', ...window(0, 1) })).toEqual(['no-dynamic'])
    expect(messagesOf({ durationSeconds: 842, outcome: 'not-performed' })).toEqual(['no-dynamic'])
  })

  it('does not change when all times are shifted alike', () => {
    fc.assert(
      fc.property(fc.nat(60), fc.nat(60), fc.nat(60), fc.nat(60), fc.nat(120), (start, length, from, span, shift) => {
        const scene = (by: number) =>
          messagesOf(window(start + by, start + length + by), {
            ...window(from + by, from + span + by),
            durationSeconds: span * 60,
          })
        expect(scene(shift)).toEqual(scene(0))
      }),
    )
  })
})
