/** Packets to ask about, each with the packet that it was copied from. */
import type { Track } from '../../../src/facts/reading.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { contentOf, makeReport, packetOf } from '../../archive/seen/made-packets.ts'
import { makeDocument, makeEvent } from '../../checks/packet-builder.ts'
import { makeChance } from '../defects/chance.ts'
import { driveLegs, planLoop } from '../defects/drive.ts'

export interface Asked {
  original: Packet
  /** For another vehicle: the report under another heading, the photo saved again, the drive days later. */
  copy: Packet
}

function makeTrack(seed: number, start: number): Track {
  const chance = makeChance(seed)
  const order = { latitude: 41, longitude: -96, legs: planLoop(chance, 900, 18, 4), turn: 88, heading: 10, interval: 1 }
  const points = driveLegs(chance, order).samples.map(({ time, ...point }) => ({ ...point, time: start + time }))
  return { clock: 'utc', offset: null, startedLocal: null, points, rejected: 0, header: {} }
}

function makeLikeness(seed: number, noise: number): string {
  const [chance, other] = [makeChance(seed), makeChance(seed + 77)]
  const waves = Array.from({ length: 8 }, () => [1, 1, 30].map((size) => size * chance.normal()))
  const levels = Array.from({ length: 256 }, (_, at) => {
    const [x, y] = [(at % 16) / 4, Math.floor(at / 16) / 4]
    const height = waves.reduce((sum, [u = 0, v = 0, size = 0], turn) => sum + size * Math.sin(u * x + v * y + turn), 0)
    return Math.min(255, Math.max(0, Math.round(128 + height + noise * other.normal())))
  })
  return Buffer.from(levels).toString('hex')
}

function makeOne(name: string, vin: string, seed: number, day: string, noise: number): Packet {
  const report = makeReport('radar.pdf', vin, seed, day)
  const instrument = { serial: `A${String(seed).padStart(8, '0')}` }
  const calibration = { ...report, document: { ...report.document, instrument } }
  const photo = makeDocument('photo', 'setup.jpg', {
    vin: undefined,
    sha256: `${seed}${noise}`.replace('.', 'a').padEnd(64, 'b'),
    photo: { taken: null, location: null, likeness: makeLikeness(seed, noise) },
  })
  const log = makeDocument('drive-log', 'drive.gpx', {
    vin: undefined,
    sha256: `${seed}${day.slice(8)}`.padEnd(64, 'c'),
  })
  const start = Date.parse(`${day}T15:00:00Z`) / 1000
  const events = [makeEvent('calibration-1', `${day}T15:00:00Z`, `${day}T15:20:00Z`, { file: 'radar.pdf' })]
  const content = { 'drive.gpx': contentOf([], makeTrack(seed, start)) }
  return packetOf(name, vin, [calibration, { document: photo, lines: [] }, { document: log, lines: [] }], {
    events,
    content,
  })
}

/** So many packets and the originals of their files; the same in every run. */
export const makeAsked = (count: number): Asked[] =>
  Array.from({ length: count }, (_, at) => ({
    original: makeOne(`original ${at}`, `7XMTD4FE4P${String(at).padStart(7, '0')}`, at + 1, '2026-03-14', 0),
    copy: makeOne(`copy ${at}`, `7XKFA2GJ6M${String(at).padStart(7, '0')}`, at + 1, '2026-04-02', 2),
  }))
