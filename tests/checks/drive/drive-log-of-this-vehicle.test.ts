import { describe, expect, it } from 'vitest'
import { driveLogOfThisVehicle as check } from '../../../src/checks/drive/drive-log-of-this-vehicle.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, vin } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { cruising, departure, packetOfTrack, simulateDrive, townAndCountry, trackOf } from './tracks.ts'

const parameters = generalParameters('drive-log-of-this-vehicle')
const drive = simulateDrive([[60, 50]], { seed: 1 })
const papers = (rest: Partial<DocumentFacts> = {}) => [
  makeDocument('pre-scan', 'a pre.pdf', rest),
  makeDocument('calibration', 'b cal.pdf', rest),
]
const named = (log: Partial<DocumentFacts>, others = papers(), declaration: Partial<Declaration> | null = null) =>
  messagesOf(check, packetOfTrack(drive, others, { log, declaration }), parameters)

describe('the vehicle that a log names', () => {
  it('is this one, by its VIN or a part of it', () => {
    expect(named({ vin })).toEqual(['same-vin'])
    expect(named({ vin: vin.slice(-8) })).toEqual(['same-vin'])
    expect(
      named({
        vin: '2ZZTE5T15PB888888',
        vins: [
          { value: '2ZZTE5T15PB888888', evidence: [] },
          { value: vin, evidence: [] },
        ],
      }),
    ).toEqual(['same-vin'])
  })

  it('is another, or this one miswritten', () => {
    const packet = packetOfTrack(drive, papers(), { log: { vin: '2ZZTE5T15PB888888' } })
    const [outcome] = runCheck(check, packet, parameters)
    expect(outcome).toMatchObject({ state: 'unmet', message: 'other-vin', data: { expected: vin } })
    expect(outcome?.evidence.map((place) => place.file)).toContain('a pre.pdf')
    expect(named({ vin: '888888' })).toEqual(['other-vin'])
    expect(named({ vin: vin.replace('421', '412') })).toEqual(['miswritten-vin'])
    expect(named({ vin: vin.replace('5T1', 'ST1') })).toEqual(['miswritten-vin'])
  })

  it('is told by its plate where it names no VIN; spaces and slips do not count', () => {
    const others = papers({ plate: 'KWB-2284' })
    expect(named({ plate: 'kwb 2284' }, others)).toEqual(['same-plate'])
    expect(named({ plate: 'TRX 9107' }, others)).toEqual(['other-plate'])
    expect(named({ plate: 'KWB 2248' }, others)).toEqual(['vehicle-unclear'])
    expect(named({ plate: 'TRX 9107' }, papers(), { vehicle: { plate: 'TRX-9107' } })).toEqual(['same-plate'])
    expect(named({ vin, plate: 'TRX 9107' }, others)).toEqual(['same-vin'])
  })

  it('is not known where the log names none, or nothing else does, or the others disagree', () => {
    expect(named({})).toEqual(['not-named'])
    expect(named({ vin }, papers({ vin: undefined }))).toEqual(['vehicle-unclear'])
    const [one] = papers()
    const other = makeDocument('calibration', 'b cal.pdf', { vin: '2ZZTE5T15PB888888' })
    expect(named({ vin }, [...(one ? [one] : []), other])).toEqual(['vehicle-unclear'])
    expect(messagesOf(check, makePacket(papers()), parameters)).toEqual(['no-log'])
  })
})

describe('wheel and satellite speed', () => {
  const speeds = (track: Parameters<typeof packetOfTrack>[0]) =>
    runCheck(check, packetOfTrack(track, papers(), { log: { vin } }), parameters)[1]

  it.each([0, 12, 50])('agree though one comes %i s late', (wheelLag) => {
    const outcome = speeds(simulateDrive(townAndCountry, { seed: 2, wheelLag }))
    expect(outcome).toMatchObject({ state: 'met', message: 'speeds-agree' })
    expect(Math.abs(Number(outcome?.data.lagSeconds) - wheelLag)).toBeLessThanOrEqual(1)
  })

  it('of two drives do not', () => {
    const one = simulateDrive(townAndCountry, { seed: 3 })
    const stops = Array.from(
      { length: 9 },
      () =>
        [
          [40, 60],
          [50, 0],
        ] as const,
    ).flat()
    const other = simulateDrive(stops, { seed: 4 })
    const points = one.points.map((point, at) => ({ ...point, wheelSpeed: other.points[at]?.speed ?? 0 }))
    expect(speeds(trackOf(points))?.message).toBe('speeds-disagree')
  })

  it('tell nothing at a steady speed, or for a short time', () => {
    expect(speeds(simulateDrive(cruising, { seed: 5, wheelLag: 0 }))?.message).toBe('speeds-too-even')
    expect(
      speeds(
        simulateDrive(
          [
            [60, 50],
            [30, 0],
          ],
          { seed: 5, wheelLag: 0 },
        ),
      )?.message,
    ).toBe('speeds-too-even')
  })

  /** Two speeds that share their slow change and differ by a fast one of so many m/s. */
  const partly = (apart: number, shared = 5) =>
    speeds(
      trackOf(
        Array.from({ length: 600 }, (_, at) => ({
          time: departure + at,
          speed: 15 + shared * Math.sin(at / 20),
          wheelSpeed: 15 + shared * Math.sin(at / 20) + apart * Math.sin(at / 3.1),
        })),
      ),
    )

  it('are unclear in between', () => {
    expect(partly(1.4, 2.5)?.message).toBe('speeds-unclear')
  })

  it('are apart where they share a part and are clearly apart for long', () => {
    expect(partly(4)).toMatchObject({ message: 'speeds-apart', data: { apartPercent: expect.any(Number) } })
    expect(Number(partly(4)?.data.apartPercent)).toBeGreaterThan(15)
  })

  it('agree in whatever unit the one is read, though it is the wrong one', () => {
    const points = simulateDrive(townAndCountry, { seed: 5, wheelLag: 0 }).points.map((point) =>
      point.wheelSpeed === undefined ? point : { ...point, wheelSpeed: point.wheelSpeed * 3.6 },
    )
    expect(speeds(trackOf(points))?.message).toBe('speeds-agree')
  })
})
