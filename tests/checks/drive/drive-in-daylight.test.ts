/**
 * The NREL example (NREL/TP-560-34302): at 39.742476, -105.1786 the sun rose at 06:12:43 on 2003-10-17 (by the program's own
 * output, from memory), -07:00; civil dawn is about 27 minutes before, at a rate of 0.19 degree a minute.
 */
import { describe, expect, it } from 'vitest'
import { driveInDaylight as check } from '../../../src/checks/drive/drive-in-daylight.ts'
import type { CalibrationReading } from '../../../src/facts/document.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { general, generalParameters } from '../general.ts'
import { makeDocument, makeEvent, makePacket, type PacketParts } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { logDocument, trackOf } from './tracks.ts'

const { procedures } = general
const parameters = generalParameters('drive-in-daylight')
const golden = [39.742476, -105.1786] as const

type Span = readonly [from: string, to: string]
const at = (time: string) => `2003-10-17T${time}-07:00`

interface Scene {
  start: Span
  end: Span
  calibration?: Partial<CalibrationReading>
  shop?: readonly [number, number]
}

function packetOf({ start, end, calibration = {}, shop = golden }: Scene, rest: Partial<PacketParts> = {}): Packet {
  const record = makeDocument('calibration', 'cal.pdf', {
    calibrations: [{ sensor: 'front-camera', position: null, method: 'dynamic', outcome: 'completed', ...calibration }],
  })
  const [a, b, c, d] = [...start, ...end].map(at)
  const event = makeEvent('calibration-1', [a ?? null, b ?? null], [c ?? null, d ?? null], {
    file: 'cal.pdf',
    calibration: 0,
  })
  return makePacket([record], { events: [event], declaration: { shop: { location: shop } }, ...rest })
}

const messageOf = (scene: Scene) => messagesOf(check, packetOf(scene), parameters, procedures)[0]
const exactly = (from: string, to: string): Scene => ({ start: [from, from], end: [to, to] })

describe('drive-in-daylight', () => {
  it('is met by day, with the elevation', () => {
    const [outcome] = runCheck(check, packetOf(exactly('12:30:30', '12:50:30')), parameters, procedures)
    expect(outcome).toMatchObject({ state: 'met', message: 'daylight' })
    // 40.0 is the example's elevation with refraction; ours is the geometric one, lowest at the end.
    expect(Number(outcome?.data.lowest)).toBeGreaterThan(38.5)
    expect(Number(outcome?.data.lowest)).toBeLessThan(39.88)
    expect(outcome?.sources?.join()).toContain('lane markings')
    expect(messageOf(exactly('06:13:00', '06:40:00'))).toBe('daylight')
  })

  it('is unmet in the dark, and in twilight in weaker words', () => {
    expect(messageOf(exactly('05:20:00', '05:40:00'))).toBe('dark')
    expect(messageOf(exactly('05:55:00', '06:30:00'))).toBe('twilight')
    expect(messageOf(exactly('05:40:00', '06:30:00'))).toBe('dark')
    expect(messageOf(exactly('17:00:00', '18:30:00'))).toBe('dark')
  })

  it('is undecided where the times leave it open', () => {
    expect(messageOf({ start: ['05:35:00', '06:20:00'], end: ['06:00:00', '06:40:00'] })).toBe('not-certain')
    expect(messageOf({ start: ['00:00:00', '12:00:00'], end: ['01:00:00', '13:00:00'] })).toBe('no-time')
  })

  it('takes place and, where the record has none, time from the log', () => {
    const points = Array.from({ length: 60 }, (_, second) => ({
      time: Date.parse(at('05:20:00')) / 1000 + second,
      latitude: golden[0],
      longitude: golden[1],
    }))
    const record = makeDocument('calibration', 'cal.pdf', {
      calibrations: [{ sensor: 'front-camera', position: null, method: 'dynamic', outcome: 'completed' }],
    })
    const track = trackOf(points)
    const packet = makePacket([record, logDocument('log.gpx', track)], {
      events: [
        makeEvent('calibration-1', null, null, { file: 'cal.pdf', calibration: 0 }),
        makeEvent('drive-1', at('05:20:00'), at('05:21:00'), { file: 'log.gpx' }),
      ],
      content: { 'log.gpx': { lines: [], pageNumbers: [], track, information: null } },
    })
    expect(messagesOf(check, packet, parameters, procedures)).toEqual(['dark'])
  })

  it('does not apply to what needs no daylight, and is undecided without a place', () => {
    const night = exactly('02:00:00', '02:20:00')
    expect(messageOf({ ...night, calibration: { sensor: 'front-radar' } })).toBe('not-needed')
    expect(messageOf({ ...night, calibration: { sensor: 'infrared-camera' } })).toBe('not-needed')
    expect(messageOf({ ...night, calibration: { outcome: 'aborted' } })).toBe('not-needed')
    expect(messagesOf(check, packetOf(night, { declaration: null }), parameters, procedures)).toEqual(['no-place'])
  })
})
