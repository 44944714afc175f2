import { describe, expect, it } from 'vitest'
import { eventsDoNotOverlap as check } from '../../../src/checks/order/events-do-not-overlap.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { generalParameters } from '../general.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { at, type Entry, makeScene } from './scene.ts'

const parameters = generalParameters(check.id)
const messagesOf = (packet: Packet) => messages(check, packet, parameters)
const fixed: Entry = {
  kind: 'calibration',
  start: at(60),
  end: at(90),
  label: 'front camera, static',
  calibration: { sensor: 'front-camera', method: 'static' },
}
const learned: Entry = { kind: 'calibration', start: at(120), end: at(135), label: 'front radar, dynamic' }

/** The scene, with what a logger tells of its drive. */
function withLog(entries: readonly Entry[], from: number, to: number, standingMinutes: number): Packet {
  const packet = makeScene([...entries, { kind: 'drive', start: at(from), end: at(to), label: 'drive' }])
  const durationSeconds = (to - from) * 60
  const drive: NonNullable<DocumentFacts['drive']> = {
    started: null,
    ended: null,
    durationSeconds,
    distanceMetres: 12_000,
    points: durationSeconds,
    movingSeconds: durationSeconds - standingMinutes * 60,
    meanSpeedKmh: 50,
    maxSpeedKmh: 90,
    start: null,
    end: null,
  }
  const documents = packet.documents.map((document) =>
    document.kind === 'drive-log' ? { ...document, drive } : document,
  )
  return { ...packet, documents }
}

describe('events-do-not-overlap', () => {
  it('is met where static calibration, drive and alignment lie apart', () => {
    const rack: Entry = { kind: 'alignment', start: at(20), label: 'wheel alignment' }
    expect(runCheck(check, withLog([fixed, learned, rack], 110, 150, 3), parameters)[0]).toMatchObject({
      message: 'apart',
      data: { pairs: 4 },
    })
  })

  it('is unmet where the vehicle drives while it stands before targets, and proves it', () => {
    const [outcome] = runCheck(check, withLog([fixed], 50, 100, 5), parameters)
    expect(outcome).toMatchObject({
      message: 'standing-and-driving',
      data: { first: 'front camera, static', leastSeconds: 1800, standingSeconds: 300 },
    })
    expect(outcome?.statements?.length).toBeGreaterThan(0)
  })

  it('lets a logger run on in the bay: what it stands may be the calibration', () => {
    expect(messagesOf(withLog([fixed], 50, 100, 32))).toEqual(['apart'])
  })

  it('is unmet where records of a static and a dynamic calibration overlap, by little or by much', () => {
    expect(messagesOf(makeScene([fixed, { ...learned, start: at(80), end: at(95) }]))).toEqual(['together'])
    expect(messagesOf(makeScene([fixed, { ...learned, start: at(87), end: at(99) }]))).toEqual(['together-briefly'])
  })

  it('lets two sensors learn on one drive, and two instruments work side by side', () => {
    const camera: Entry = { ...learned, calibration: { sensor: 'front-camera' } }
    expect(messagesOf(makeScene([learned, camera]))).toEqual(['nothing-exclusive'])
    const other: Entry = {
      ...fixed,
      start: at(70),
      end: at(100),
      calibration: { sensor: 'rear-camera', method: 'static' },
    }
    expect(messagesOf(makeScene([fixed, other]))).toEqual(['nothing-exclusive'])
  })

  it('is unmet where one instrument runs two static calibrations at once, one a little later than the other', () => {
    const on = (packet: Packet, ...serials: string[]): Packet => ({
      ...packet,
      documents: packet.documents.map((document, index) => ({
        ...document,
        instrument: { serial: serials[index] ?? '' },
      })),
    })
    const other: Entry = {
      ...fixed,
      start: at(70),
      end: at(100),
      calibration: { sensor: 'rear-camera', method: 'static' },
    }
    const within: Entry = { ...other, end: at(85) }
    expect(messagesOf(on(makeScene([fixed, other]), 'QX 7-1', 'qx71'))).toEqual(['one-instrument-twice'])
    expect(messagesOf(on(makeScene([fixed, other]), 'QX 7-1', 'QX 7-2'))).toEqual(['nothing-exclusive'])
    expect(messagesOf(on(makeScene([fixed, within]), 'QX 7-1', 'QX 7-1'))).toEqual(['apart'])
  })

  it('is unmet where the alignment ended in the midst of the drive, not where its report was closed a little late', () => {
    const rack = (minute: number): Entry => ({ kind: 'alignment', start: at(minute), label: 'wheel alignment' })
    expect(messagesOf(withLog([rack(125)], 110, 150, 3))).toEqual(['together'])
    expect(messagesOf(withLog([rack(113)], 110, 150, 3))).toEqual(['apart'])
    expect(messagesOf(withLog([{ kind: 'alignment', dated: at(125) }], 110, 150, 3))).toEqual(['nothing-exclusive'])
  })

  it('is undecided where the times do not tell', () => {
    const open = { start: ['2026-10-20T15:30:00Z', '2026-10-20T16:30:00Z'] } as const
    expect(messagesOf(makeScene([fixed, { ...learned, start: at(95), end: at(160), bounds: open }]))).toEqual(['apart'])
    const wide = { start: ['2026-10-20T14:00:00Z', '2026-10-20T16:30:00Z'] } as const
    expect(messagesOf(makeScene([fixed, { ...learned, start: at(80), bounds: wide }]))).toEqual(['too-coarse'])
  })

  it('is undecided where nothing excludes anything', () => {
    expect(messagesOf(makeScene([]))).toEqual(['nothing-exclusive'])
    expect(messagesOf(makeScene([fixed, { kind: 'post-scan', start: at(70) }]))).toEqual(['nothing-exclusive'])
  })
})
