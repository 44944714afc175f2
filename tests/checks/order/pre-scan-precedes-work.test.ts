import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { preScanPrecedesWork } from '../../../src/checks/order/pre-scan-precedes-work.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const scan: Entry = { kind: 'pre-scan', start: at(10) }
const repair: Entry = { kind: 'repair', start: at(60), end: at(180), label: 'Windshield replaced' }
const calibration: Entry = { kind: 'calibration', start: at(240), end: at(255) }

describe('pre-scan-precedes-work', () => {
  it('is met by a scan before repair, clearing and calibration', () => {
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, repair, calibration]))).toEqual(['in-order'])
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, { kind: 'clearing', start: at(11) }]))).toEqual([
      'in-order',
    ])
  })

  it('is unmet by a scan after the repair began, and points at both files', () => {
    const [outcome] = runCheck(preScanPrecedesWork, makeScene([{ ...scan, start: at(70) }, repair, calibration]))
    expect(outcome?.message).toBe('out-of-order')
    expect(outcome?.data).toMatchObject({
      before: 'pre-scan-1',
      after: 'Windshield replaced',
      afterFile: 'packet.yaml',
    })
    expect(outcome?.data.mostGapSeconds).toBe(-600)
    expect(outcome?.evidence.map((place) => place.file)).toEqual(['00-pre-scan.pdf', 'packet.yaml'])
    expect(outcome?.statements?.length).toBe(2)
  })

  it('is unmet by a scan after the clearing of codes', () => {
    const packet = makeScene([scan, { kind: 'clearing', start: at(5), label: 'clearing of codes' }])
    expect(runCheck(preScanPrecedesWork, packet)[0]).toMatchObject({
      message: 'out-of-order',
      data: { after: 'clearing of codes' },
    })
  })

  it('holds a repair that states only its end to that end', () => {
    const ended: Entry = { kind: 'repair', end: at(180), label: 'Windshield replaced' }
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, ended]))).toEqual(['in-order'])
    expect(messagesOf(preScanPrecedesWork, makeScene([{ ...scan, start: at(200) }, ended]))).toEqual(['out-of-order'])
  })

  it('is satisfied by the first of two scans, the second being the calibrator’s own', () => {
    const second: Entry = { kind: 'pre-scan', start: at(200) }
    expect(messagesOf(preScanPrecedesWork, makeScene([second, scan, repair, calibration]))).toEqual(['in-order'])
  })

  it('is uncertain where the clocks leave it open, and says what would decide it', () => {
    const near: Entry = {
      ...calibration,
      start: at(10),
      bounds: { start: ['2026-10-20T14:05:00Z', '2026-10-20T14:15:00Z'] },
    }
    const [outcome] = runCheck(preScanPrecedesWork, makeScene([scan, near]))
    expect(outcome?.message).toBe('uncertain')
    expect(outcome?.data.decides).toContain('between')
  })

  it('is uncertain where the printed times contradict the order, though zones leave it open', () => {
    const packet = makeScene([
      { ...scan, start: '2026-10-20T12:00' },
      { ...calibration, start: '2026-10-20T11:00', end: '2026-10-20T11:20' },
    ])
    expect(messagesOf(preScanPrecedesWork, packet)).toEqual(['uncertain'])
  })

  it('is undecided where a day without a time leaves it open', () => {
    const packet = makeScene([scan, { kind: 'repair', start: '2026-10-20', label: 'Windshield replaced' }])
    const [outcome] = runCheck(preScanPrecedesWork, packet)
    expect(outcome?.message).toBe('too-coarse')
    expect(outcome?.data.decides).toBe('the time of day of Windshield replaced')
  })

  it('is not kept open by its own report saying that codes were cleared that day', () => {
    const own: Entry = { kind: 'clearing', start: '2026-10-20', file: '00-pre-scan.pdf' }
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, repair, own]))).toEqual(['in-order'])
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, own]))).toEqual(['too-coarse'])
    const elsewhere: Entry = { ...own, file: 'letter.pdf' }
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, repair, elsewhere]))).toEqual(['too-coarse'])
  })

  it('is undecided without pre-scan, without work, without times', () => {
    expect(messagesOf(preScanPrecedesWork, makeScene([repair]))).toEqual(['no-pre-scan'])
    expect(messagesOf(preScanPrecedesWork, makeScene([scan]))).toEqual(['no-work'])
    expect(messagesOf(preScanPrecedesWork, makeScene([{ kind: 'pre-scan' }, repair]))).toEqual(['no-time'])
    const undone: Entry = { ...calibration, calibration: { outcome: 'not-performed' } }
    expect(messagesOf(preScanPrecedesWork, makeScene([scan, undone]))).toEqual(['no-work'])
  })

  it('does not change when all times are shifted alike', () => {
    fc.assert(
      fc.property(fc.nat(200), fc.nat(200), fc.nat(200), fc.nat(300), (a, b, c, shift) => {
        const scene = (by: number) =>
          makeScene([
            { ...scan, start: at(a + by) },
            { ...repair, start: at(b + by), end: at(b + 30 + by) },
            { ...calibration, start: at(c + by), end: at(c + 15 + by) },
          ])
        const messages = messagesOf(preScanPrecedesWork, scene(0))
        expect(messages).toEqual([a <= Math.min(b, c) ? 'in-order' : 'out-of-order'])
        expect(messagesOf(preScanPrecedesWork, scene(shift))).toEqual(messages)
      }),
    )
  })
})
