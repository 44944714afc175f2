/** Packets as the review would make them, without a reader: words, tracks and pictures as they would be read. */
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Track } from '../../../src/facts/reading.ts'
import type { FileContent, Packet } from '../../../src/packet/packet.ts'
import { makeChance } from '../../bench/defects/chance.ts'
import { makeDate, makeDocument, makePacket, makePlace, type PacketParts } from '../../checks/packet-builder.ts'

export const vins = ['1ZZTE5T11NB000421', '7XMTD4FE4PA207483', '7XKFA2GJ6MK330917'] as const

/** What `FileContent` holds of a file with these lines or this track. */
export const contentOf = (lines: readonly string[], track: Track | null = null): FileContent => ({
  lines: lines.map((text) => makePlace(text)),
  pageNumbers: [],
  track,
  information: null,
})

export interface Report {
  document: DocumentFacts
  lines: string[]
}

/** A calibration record of one instrument's layout, with the values of `seed`. */
export function makeReport(file: string, vin: string, seed: number, day = '2026-03-14'): Report {
  const chance = makeChance(seed)
  const value = (name: string) => ({ name, value: Number((chance.normal() * 2).toFixed(2)), unit: 'deg', stated: null })
  const values = ['Yaw', 'Pitch', 'Roll', 'Offset', 'Height', 'Level'].map(value)
  const time = `${String(chance.whole(8, 17)).padStart(2, '0')}:${String(chance.whole(0, 59)).padStart(2, '0')}:${String(chance.whole(0, 59)).padStart(2, '0')}`
  const volts = Number((12 + chance.even()).toFixed(2))
  const durationSeconds = chance.whole(300, 900)
  const calibration = {
    sensor: 'front-radar',
    position: null,
    method: 'static',
    outcome: 'completed',
    durationSeconds,
    values,
  } as const
  return {
    document: makeDocument('calibration', file, {
      vin,
      sha256: Buffer.from(`${file} ${vin} ${seed}`.padEnd(32, '.').slice(0, 32)).toString('hex'),
      date: makeDate(`${day}T${time}`),
      batteryVolts: volts,
      calibrations: [{ ...calibration, values: [...values] }],
    }),
    lines: [
      'Calibration record  Instrument Dacet 640  Software 4.2.1',
      `VIN ${vin}  ${day} ${time}`,
      `Battery voltage ${volts} V`,
      `Duration ${durationSeconds} s`,
      ...values.map(({ name, value }) => `${name} angle ${value} deg`),
      'Result completed, all values within their limits',
    ],
  }
}

/** A packet of these reports, as the review would make it; `digest` from its name. */
export function packetOf(
  name: string,
  vin: string | null,
  reports: readonly Report[],
  parts: PacketParts = {},
): Packet {
  const content = Object.fromEntries(reports.map(({ document, lines }) => [document.file, contentOf(lines)]))
  const packet = makePacket(
    reports.map(({ document }) => document),
    { vehicle: { vin }, ...parts, content: { ...content, ...parts.content } },
  )
  return { ...packet, name, digest: `sha256:${Buffer.from(name.padEnd(32, '.').slice(0, 32)).toString('hex')}` }
}
