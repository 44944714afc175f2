import { describe, expect, it } from 'vitest'
import { driveInsideCalibration as check } from '../../../src/checks/order/drive-inside-calibration.ts'
import { generalParameters } from '../general.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const parameters = generalParameters(check.id)
const messagesOf = (...entries: Entry[]) => messages(check, makeScene(entries), parameters)
const learned: Entry = { kind: 'calibration', start: at(60), end: at(72), label: 'front radar, dynamic' }
const driven = (from: number, to: number): Entry => ({ kind: 'drive', start: at(from), end: at(to), label: 'drive' })

describe('drive-inside-calibration', () => {
  it('is met by a log of the way there and back, by one of the calibration alone, and by one a little shorter', () => {
    for (const log of [driven(45, 90), driven(60, 72), driven(61, 71)])
      expect(messagesOf(learned, log)).toEqual(['together'])
  })

  it('is unmet by a log that lies wholly elsewhere, and shows how far', () => {
    const [outcome] = runCheck(check, makeScene([learned, driven(80, 110)]), parameters)
    expect(outcome).toMatchObject({ message: 'outside', state: 'unmet', data: { apartSeconds: 8 * 60 } })
    expect(outcome?.evidence.map(({ file }) => file)).toEqual(['00-calibration.pdf', '01-drive.pdf'])
  })

  it('points to the clocks where a log elsewhere lasts about as long', () => {
    expect(messagesOf(learned, driven(85, 98))).toEqual(['outside-alike'])
  })

  it('points to a zone where whole hours would bring the two together', () => {
    const [outcome] = runCheck(check, makeScene([learned, driven(110, 150)]), parameters)
    expect(outcome).toMatchObject({ message: 'outside-by-hours', data: { hours: -1 } })
    expect(messagesOf(learned, driven(60 + 14 * 60, 72 + 14 * 60))).toEqual(['outside-by-hours'])
    expect(messagesOf(learned, driven(95, 115))).toEqual(['outside'])
    const otherDay: Entry = { ...driven(60, 80), start: '2026-10-25T09:00:00-06:00', end: '2026-10-25T09:20:00-06:00' }
    expect(messagesOf(learned, otherDay)).toEqual(['outside'])
  })

  it('is unmet where the log shows less than half of the calibration', () => {
    expect(messagesOf(learned, driven(68, 80))).toEqual(['partly'])
    expect(messagesOf(learned, driven(66, 80))).toEqual(['together'])
  })

  it('is satisfied by one of several logs, and by two that show it together', () => {
    expect(messagesOf(learned, driven(200, 230), driven(58, 74))).toEqual(['together'])
    expect(messagesOf(learned, driven(60, 65), driven(65, 70))).not.toEqual(['partly'])
  })

  it('judges each calibration by its own drive', () => {
    const camera: Entry = {
      kind: 'calibration',
      start: at(100),
      end: at(115),
      label: 'front camera, dynamic',
      calibration: { sensor: 'front-camera' },
    }
    expect(messagesOf(learned, camera, driven(58, 74))).toEqual(['together', 'outside-alike'])
    // The other calibration's log is nearer, and of the same length as this one.
    const otherDay: Entry = { ...driven(0, 0), start: '2026-10-25T09:00:00-06:00', end: '2026-10-25T09:09:00-06:00' }
    const outcomes = runCheck(check, makeScene([learned, camera, driven(58, 73), otherDay]), parameters)
    expect(outcomes).toMatchObject([{ message: 'together' }, { message: 'outside', data: { log: '03-drive.pdf' } }])
  })

  it('is undecided where the zone is unknown', () => {
    const open = {
      start: ['2026-10-20T02:00:00Z', '2026-10-21T02:00:00Z'],
      end: ['2026-10-20T02:12:00Z', '2026-10-21T02:12:00Z'],
    } as const
    expect(messagesOf({ ...learned, bounds: open }, driven(58, 74))).toEqual(['too-coarse'])
  })

  it('does not apply to a static, a failed or an untimed calibration, or without a log', () => {
    const fixed: Entry = { ...learned, calibration: { method: 'static' } }
    expect(messagesOf(fixed, driven(58, 74))).toEqual(['no-dynamic'])
    expect(messagesOf({ ...learned, calibration: { outcome: 'failed' } }, driven(300, 320))).toEqual(['no-dynamic'])
    expect(messagesOf({ kind: 'calibration' }, driven(58, 74))).toEqual(['no-dynamic'])
    expect(messagesOf(learned)).toEqual(['no-log'])
    expect(messagesOf(learned, { kind: 'drive' })).toEqual(['no-log'])
  })
})
