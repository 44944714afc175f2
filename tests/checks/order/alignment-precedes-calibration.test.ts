import { describe, expect, it } from 'vitest'
import { alignmentPrecedesCalibration as check } from '../../../src/checks/order/alignment-precedes-calibration.ts'
import { general } from '../general.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const { procedures } = general
const messagesOf = (...entries: Entry[]) => messages(check, makeScene(entries), {}, procedures)
const alignment: Entry = { kind: 'alignment', start: at(60), label: 'wheel alignment' }
const radar: Entry = { kind: 'calibration', start: at(90), end: at(100) }

describe('alignment-precedes-calibration', () => {
  it('is met by an alignment before every calibration that depends on it', () => {
    expect(messagesOf(alignment, radar)).toEqual(['in-order'])
  })

  it('is unmet by an alignment after the calibration, and points at the time that it was finished', () => {
    const [outcome] = runCheck(check, makeScene([{ ...alignment, start: at(120) }, radar]), {}, procedures)
    expect(outcome?.message).toBe('out-of-order')
    expect(outcome?.evidence.map((place) => place.text)).toEqual([`Finished ${at(120)}`, `Start ${at(90)}`])
  })

  it('is unmet if one of several calibrations came before, whichever it is', () => {
    const camera: Entry = {
      kind: 'calibration',
      start: at(30),
      end: at(50),
      label: 'front camera',
      calibration: { sensor: 'front-camera', method: 'static' },
    }
    const [outcome] = runCheck(check, makeScene([alignment, radar, camera]), {}, procedures)
    expect(outcome).toMatchObject({ message: 'out-of-order', data: { after: 'front camera' } })
  })

  it('is mended by the same calibration repeated after the alignment', () => {
    expect(messagesOf({ ...radar, start: at(30), end: at(40) }, alignment, radar)).toEqual(['in-order'])
  })

  it('lets the steering angle be set to zero on either side of the alignment', () => {
    const zero = { sensor: 'steering-angle', method: 'initialisation' } as const
    expect(messagesOf({ ...radar, start: at(10), end: at(12), calibration: zero }, alignment)).toEqual([
      'no-calibration',
    ])
  })

  it('asks nothing of a vehicle whose procedure does not rely on the alignment, and names the source where it does', () => {
    const other = {
      basis: "The vehicle maker's procedure.",
      for: { make: 'Ombrel' },
      values: { alignmentFirst: false },
    }
    const packet = makeScene([{ ...alignment, start: at(120) }, radar])
    const ombrel = { ...packet, vehicle: { ...packet.vehicle, make: 'Ombrel' } }
    expect(messages(check, ombrel, {}, [...procedures, other])).toEqual(['no-calibration'])
    const [outcome] = runCheck(check, packet, {}, [...procedures, other])
    expect(outcome?.message).toBe('out-of-order')
    expect(outcome?.sources?.join()).toContain('thrust line')
    expect(messages(check, packet)).toEqual(['no-calibration'])
  })

  it('is uncertain where the clocks leave it open, undecided where the day does', () => {
    const near = { start: ['2026-10-20T14:55:00Z', '2026-10-20T15:05:00Z'] } as const
    expect(messagesOf(alignment, { ...radar, start: at(61), bounds: near })).toEqual(['uncertain'])
    expect(messagesOf({ ...alignment, start: '2026-10-20' }, radar)).toEqual(['too-coarse'])
    expect(messagesOf({ kind: 'alignment' }, radar)).toEqual(['no-time'])
  })

  it('takes the date of an alignment report for its alignment, if it is hours later or earlier', () => {
    const [outcome] = runCheck(check, makeScene([{ kind: 'alignment', dated: at(300) }, radar]), {}, procedures)
    expect(outcome?.message).toBe('out-of-order-by-record')
    expect(outcome?.evidence.map((place) => place.text)).toEqual([`Dated ${at(300)}`, `Start ${at(90)}`])
    expect(messagesOf({ kind: 'alignment', dated: at(110) }, radar)).toEqual(['uncertain'])
    expect(messagesOf({ kind: 'alignment', dated: at(30) }, radar)).toEqual(['in-order'])
    expect(messagesOf({ kind: 'alignment', dated: at(30) }, { kind: 'calibration', dated: at(200) })).toEqual([
      'in-order-by-record',
    ])
  })

  it('is undecided without alignment', () => {
    expect(messagesOf(radar)).toEqual(['no-alignment'])
  })
})
