import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { postScanFollowsCalibration as check } from '../../../src/checks/order/post-scan-follows-calibration.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const calibration: Entry = { kind: 'calibration', start: at(240), end: at(255), label: 'front radar, dynamic' }
const scan: Entry = { kind: 'post-scan', start: at(280) }

describe('post-scan-follows-calibration', () => {
  it('is met by a scan after the last calibration', () => {
    const first: Entry = { kind: 'calibration', start: at(100), end: at(120) }
    const [outcome] = runCheck(check, makeScene([first, calibration, scan]))
    expect(outcome).toMatchObject({
      message: 'in-order',
      data: { before: 'front radar, dynamic', leastGapSeconds: 1500 },
    })
    expect(outcome?.evidence.map((place) => place.text)).toEqual([`End ${at(255)}`, at(280)])
  })

  it('is unmet by a scan before the end of any calibration, also while it runs', () => {
    for (const time of [at(200), at(250)])
      expect(messagesOf(check, makeScene([calibration, { ...scan, start: time }]))).toEqual(['out-of-order'])
  })

  it('is satisfied by the later of two scans', () => {
    const early: Entry = { kind: 'post-scan', start: at(200) }
    expect(messagesOf(check, makeScene([early, calibration, scan]))).toEqual(['in-order'])
  })

  it('is uncertain where the clocks leave it open', () => {
    const bounds = ['2026-10-20T18:13:00Z', '2026-10-20T18:23:00Z'] as const
    const near: Entry = { ...scan, start: at(258), bounds: { start: bounds, end: bounds } }
    expect(messagesOf(check, makeScene([calibration, near]))).toEqual(['uncertain'])
  })

  it('is undecided where the scan carries only the day of the calibration, uncertain where only the day before', () => {
    expect(messagesOf(check, makeScene([calibration, { ...scan, start: '2026-10-20' }]))).toEqual(['too-coarse'])
    const unzoned: Entry = { ...calibration, start: '2026-10-20T12:00', end: '2026-10-20T12:15' }
    expect(messagesOf(check, makeScene([unzoned, { ...scan, start: '2026-10-19' }]))).toEqual(['uncertain'])
  })

  it('holds a record that states no times to its date', () => {
    const dated = (minutes: number): Entry => ({ kind: 'calibration', dated: at(minutes) })
    expect(messagesOf(check, makeScene([dated(255), scan]))).toEqual(['in-order'])
    expect(messagesOf(check, makeScene([dated(400), scan]))).toEqual(['out-of-order-by-record'])
    expect(messagesOf(check, makeScene([dated(300), scan]))).toEqual(['uncertain'])
  })

  it('is undecided without post-scan, calibration or times', () => {
    expect(messagesOf(check, makeScene([calibration]))).toEqual(['no-post-scan'])
    expect(messagesOf(check, makeScene([scan]))).toEqual(['no-calibration'])
    expect(messagesOf(check, makeScene([{ kind: 'calibration' }, scan]))).toEqual(['no-time'])
  })

  it('answers alike whatever the order of the files', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(200), { minLength: 1, maxLength: 4 }), fc.nat(250), (starts, time) => {
        const entries: Entry[] = starts.map((start) => ({ kind: 'calibration', start: at(start), end: at(start + 10) }))
        const scans: Entry[] = [{ kind: 'post-scan', start: at(time) }]
        const expected = time >= Math.max(...starts) + 10 ? 'in-order' : 'out-of-order'
        expect(messagesOf(check, makeScene([...entries, ...scans]))).toEqual([expected])
        expect(messagesOf(check, makeScene([...scans, ...entries.toReversed()]))).toEqual([expected])
      }),
    )
  })
})
