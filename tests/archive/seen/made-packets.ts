/** Packets whose files an archive keeps with their prints, without a reader: words, tracks and pictures as they would be read. */
import { type Archive, act, putObject } from '../../../src/archive/archive.ts'
import { formatPrints, printsOf } from '../../../src/archive/seen/prints.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { Track } from '../../../src/facts/reading.ts'
import type { FileContent, Packet } from '../../../src/packet/packet.ts'
import { makeChance } from '../../bench/defects/chance.ts'
import { makeDate, makeDocument, makePacket, makePlace, type PacketParts } from '../../checks/packet-builder.ts'
import { clerk, receiveTexts } from '../made-archive.ts'

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

/** Receives a packet of that name, and logs a check that leaves its prints; its number. */
export async function keep(
  archive: Archive,
  packet: Packet,
  texts: Record<string, string> = { [`${packet.name}.txt`]: packet.name },
): Promise<string> {
  const { accession } = await receiveTexts(archive, packet.name, texts)
  await check(archive, accession, packet)
  return accession
}

/** Logs a check of a packet with its prints. */
export async function check(archive: Archive, accession: string, packet: Packet): Promise<void> {
  const { storage } = archive.outside
  const report = await putObject(
    storage,
    Buffer.from(JSON.stringify({ vehicle: packet.vehicle, documents: [], findings: [] })),
  )
  const prints = await putObject(storage, formatPrints(printsOf(packet)))
  const rulebook = { name: 'general', version: '1.0.0', sha256: '0'.repeat(64) }
  await act(archive, clerk, async () => ({
    entries: [
      {
        act: 'checked',
        accession,
        report,
        prints,
        rulebook,
        reviewed: '2026-03-15',
        verdict: 'pass',
        program: '0.1.0',
      },
    ],
    result: undefined,
  }))
}
