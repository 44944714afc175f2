import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { driveSpeedInBand as check } from '../../../src/checks/drive/drive-speed-in-band.ts'
import type { ProcedureEntry } from '../../../src/checks/procedures.ts'
import type { CalibrationReading } from '../../../src/facts/document.ts'
import type { Track } from '../../../src/facts/reading.ts'
import { general, generalParameters } from '../general.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { departure, dynamicRecord, type Logger, packetOfTrack, type Stretch, simulateDrive, trackOf } from './tracks.ts'

// The general rulebook's procedures; common practice, no source: a front radar wants 64 to 120 km/h and a minute unbroken.
const { procedures } = general
const parameters = generalParameters('drive-speed-in-band')

interface Scene {
  span?: readonly [string, string]
  calibration?: Partial<CalibrationReading>
  own?: readonly ProcedureEntry[]
}

function outcomeOf(track: Track, { span, calibration = {}, own = procedures }: Scene = {}) {
  const { document, events } = dynamicRecord(calibration, span ?? null)
  return runCheck(check, packetOfTrack(track, [document], { events }), parameters, own)[0]
}

const messageOf = (stretches: readonly Stretch[], scene?: Scene, logger: Partial<Logger> = {}) =>
  outcomeOf(simulateDrive(stretches, { seed: 1, ...logger }), scene)?.message

const wayThere: Stretch = [600, 40]
const learning: Stretch = [600, 80]
const wayBack: Stretch = [600, 40]

describe('drive-speed-in-band', () => {
  it('is met by a drive in the band, with the figures and the source of the band', () => {
    const outcome = outcomeOf(simulateDrive([learning], { seed: 1 }), { calibration: { durationSeconds: 590 } })
    expect(outcome).toMatchObject({
      state: 'met',
      message: 'in-band',
      data: { least: 64, most: 120, steadySeconds: 60 },
    })
    expect(Number(outcome?.data.percent)).toBeGreaterThan(99)
    expect(outcome?.sources?.join()).toContain('at a steady 40 mph or more')
    expect(outcome?.working?.length).toBe(3)
  })

  it('takes speeds from positions where none are logged, and in whole km/h', () => {
    expect(messageOf([learning], {}, { speeds: false })).toBe('in-band')
    expect(messageOf([learning], {}, { positions: false, speedDecimals: 0 })).toBe('in-band')
    expect(messageOf([[600, 40]], {}, { speeds: false })).toBe('mostly-outside')
    expect(messageOf([[600, 40]], {}, { positions: false, speedDecimals: 0 })).toBe('mostly-outside')
    expect(messageOf([learning], {}, { rate: 5 })).toBe('in-band')
    expect(messageOf([learning], {}, { rate: 0.2 })).toBe('in-band')
  })

  it('asks it of the part that the timeline places, not of the way there and back', () => {
    const there = [wayThere, learning, wayBack]
    expect(messageOf(there, { span: ['15:10:20', '15:19:50'] })).toBe('in-band')
    expect(messageOf(there, { span: ['15:00:10', '15:09:40'] })).toBe('mostly-outside')
    expect(messageOf(there, { span: ['15:06:30', '15:14:00'] })).toBe('partly-outside')
  })

  it('else of the best part of the calibration’s length', () => {
    const there = [wayThere, learning, wayBack]
    expect(messageOf(there, { calibration: { durationSeconds: 560 } })).toBe('in-band')
    expect(messageOf(there, { calibration: { durationSeconds: 1250 } })).toBe('mostly-outside')
    expect(messageOf(there)).toBe('in-band')
    expect(messageOf([wayThere, wayBack])).toBe('mostly-outside')
  })

  it('wants an unbroken stretch', () => {
    const stopAndGo = Array.from({ length: 8 }, (): Stretch[] => [
      [48, 80],
      [14, 45],
    ]).flat()
    expect(messageOf(stopAndGo, { calibration: { durationSeconds: 450 } })).toBe('no-stretch')
  })

  it('bears with a speedometer that shows too much, in weaker words', () => {
    // 60 km/h driven may be shown as up to 70 (UN Regulation No. 39: a tenth and 4 km/h), 50 as no more than 59.
    expect(messageOf([[600, 60]], { calibration: { durationSeconds: 500 } })).toBe('short-stretch')
    expect(messageOf([[600, 50]], { calibration: { durationSeconds: 500 } })).toBe('mostly-outside')
    expect(
      messageOf(
        [
          [400, 75],
          [200, 60],
        ],
        { calibration: { durationSeconds: 595 } },
      ),
    ).toBe('partly-outside')
  })

  it('goes by the procedure of the vehicle, where one is stated', () => {
    const own: ProcedureEntry = { basis: 'Invented for a test.', methods: ['dynamic'], values: { speedKmh: [30, 50] } }
    expect(messageOf([[600, 40]], { own: [...procedures, own] })).toBe('in-band')
    expect(messageOf([learning], { own: [] })).toBe('no-band')
  })

  it('is undecided where the log tells no speeds or hardly any, where there is none, and of runs that broke off', () => {
    const drive = simulateDrive([learning], { seed: 1 })
    expect(outcomeOf(trackOf(drive.points.map((point) => ({ ...point, time: null }))))?.message).toBe('no-speed')
    const ends = trackOf(drive.points.filter(({ time }) => Math.abs((time ?? 0) - departure - 300) > 290))
    expect(outcomeOf(ends, { span: ['15:00:00', '15:10:00'] })?.message).toBe('no-speed')
    const { document, events } = dynamicRecord({})
    expect(messagesOf(check, makePacket([document], { events }), parameters, procedures)).toEqual(['no-log'])
    expect(messageOf([learning], { calibration: { outcome: 'aborted' } })).toBe('no-dynamic')
    expect(messageOf([learning], { calibration: { method: 'static' } })).toBe('no-dynamic')
  })

  it('never judges a steady drive worse for being nearer to the middle of the band', () => {
    const rank = ['mostly-outside', 'no-stretch', 'short-stretch', 'partly-outside', 'in-band']
    const steady = (kmh: number) =>
      outcomeOf(trackOf(Array.from({ length: 300 }, (_, at) => ({ time: departure + at, speed: kmh / 3.6 }))))?.message
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 90, noNaN: true }),
        fc.double({ min: 0, max: 30, noNaN: true }),
        (kmh, more) => {
          const nearer = Math.min(kmh + more, 92)
          expect(rank.indexOf(steady(nearer) ?? '')).toBeGreaterThanOrEqual(rank.indexOf(steady(kmh) ?? ''))
        },
      ),
      { numRuns: 40 },
    )
  })
})
