import { describe, expect, it } from 'vitest'
import { staticPrecedesDynamic as check } from '../../../src/checks/order/static-precedes-dynamic.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { makeReading } from '../completion/records.ts'
import { general } from '../general.ts'
import { makeDate, makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck as run } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const fixed: Entry = { kind: 'calibration', start: at(60), end: at(80), calibration: { method: 'static' } }
const driven: Entry = { kind: 'calibration', start: at(120), end: at(132) }

const runCheck = (packet: Packet) => run(check, packet, {}, general.procedures)
const messagesOf = (packet: Packet) => messages(check, packet, {}, general.procedures)

describe('static-precedes-dynamic', () => {
  it('is met where the static calibration came first', () => {
    expect(runCheck(makeScene([fixed, driven]))[0]).toMatchObject({
      message: 'in-order',
      data: { sensor: 'front-radar' },
    })
  })

  it('is unmet where the dynamic one came first', () => {
    expect(messagesOf(makeScene([fixed, { ...driven, start: at(30), end: at(45) }]))).toEqual(['out-of-order'])
  })

  it('does not ask for that order where the procedure does not', () => {
    const either = { basis: "The vehicle maker's procedure.", values: { staticFirst: false } }
    const reversed = makeScene([fixed, { ...driven, start: at(30), end: at(45) }])
    const [outcome] = run(check, reversed, {}, [...general.procedures, either])
    expect(outcome).toMatchObject({ state: 'undecided', message: 'other-order-allowed', sources: [either.basis] })
    expect(messages(check, reversed)).toEqual(['other-order-allowed'])
  })

  it('is mended by a dynamic calibration repeated after the static one', () => {
    const early: Entry = { ...driven, start: at(30), end: at(45) }
    expect(messagesOf(makeScene([early, fixed, driven]))).toEqual(['in-order'])
  })

  it('tells of a sensor once, by its worst run', () => {
    const again: Entry = { ...fixed, start: at(200), end: at(220) }
    expect(messagesOf(makeScene([fixed, driven, again]))).toEqual(['out-of-order'])
  })

  it('is uncertain where the clocks leave it open, undecided where the day does', () => {
    const near = { start: ['2026-10-20T15:15:00Z', '2026-10-20T15:25:00Z'] } as const
    expect(messagesOf(makeScene([fixed, { ...driven, start: at(82), bounds: near }]))).toEqual(['uncertain'])
    const day: Entry = { ...fixed, start: '2026-10-20', end: '2026-10-20' }
    expect(messagesOf(makeScene([day, driven]))).toEqual(['too-coarse'])
    expect(messagesOf(makeScene([{ kind: 'calibration', calibration: { method: 'static' } }, driven]))).toEqual([
      'no-time',
    ])
  })

  it('does not hold the date of a report against what the report itself tells', () => {
    const [first, second] = [
      { ...makeReading({ method: 'static' }) },
      { ...makeReading(), started: makeDate(at(120)), ended: makeDate(at(132)) },
    ]
    const date = makeDate(at(200))
    const document = makeDocument('calibration', 'both.pdf', { date, calibrations: [first, second] })
    const whole = [makeDate('2026-10-20').earliest, date.latest] as const
    const events = [
      makeEvent('calibration-1', whole, whole, { file: 'both.pdf', calibration: 0 }),
      makeEvent('calibration-2', second.started.earliest, second.ended.latest, { file: 'both.pdf', calibration: 1 }),
    ]
    expect(messagesOf(makePacket([document], { events }))).toEqual(['too-coarse'])
    const apart = [
      { ...document, calibrations: [first] },
      { ...document, file: 'road.pdf', calibrations: [second] },
    ]
    const [one, two] = events
    if (one === undefined || two === undefined) throw new Error('two events are needed')
    const moved = { ...two, file: 'road.pdf', calibration: 0 }
    expect(messagesOf(makePacket(apart, { events: [one, moved] }))).toEqual(['out-of-order-by-record'])
  })

  it('compares one sensor with itself only, side by side', () => {
    const camera: Entry = { ...driven, start: at(10), end: at(20), calibration: { sensor: 'front-camera' } }
    expect(messagesOf(makeScene([fixed, camera]))).toEqual(['not-both'])
    const left: Entry = { ...fixed, calibration: { sensor: 'corner-radar', method: 'static', position: 'left' } }
    const right: Entry = {
      ...driven,
      start: at(10),
      end: at(20),
      calibration: { sensor: 'corner-radar', position: 'right' },
    }
    expect(messagesOf(makeScene([left, right]))).toEqual(['not-both'])
    const later: Entry = { ...driven, calibration: { sensor: 'corner-radar', position: 'left' } }
    expect(messagesOf(makeScene([left, right, later]))).toEqual(['in-order'])
  })

  it('does not apply where no calibration was performed', () => {
    const undone: Entry = { ...driven, start: at(10), end: at(20), calibration: { outcome: 'not-performed' } }
    expect(messagesOf(makeScene([fixed, undone]))).toEqual(['not-both'])
    expect(messagesOf(makeScene([]))).toEqual(['not-both'])
  })
})
