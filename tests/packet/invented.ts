/** Documents of an invented shop, built as the reading side would hand them over. */
import type { CalibrationReading, DateReading, DocumentFacts, DocumentKind } from '../../src/facts/document.ts'
import { instantBounds } from '../../src/facts/instant.ts'
import { buildPacket, type PacketSource } from '../../src/packet/build.ts'
import type { Moment, Packet } from '../../src/packet/packet.ts'

/** `2026-05-21T14:05`, with an offset behind it or not. */
export function at(written: string): DateReading {
  const [local = '', offset = null] = written.split(/(?<=^.{16,})(?=[+-]\d\d:\d\d$)/)
  return { text: written, local, offset, ...instantBounds(local, offset) }
}

export function file(name: string, kind: DocumentKind, facts: Partial<DocumentFacts> = {}): DocumentFacts {
  const base = { sha256: '0'.repeat(64), bytes: 1, media: 'application/pdf', kindFrom: 'heading' as const }
  const evidence: DocumentFacts['evidence'] =
    facts.date === undefined ? {} : { date: [{ page: 1, box: [10, 10, 90, 20], text: facts.date.text }] }
  return { file: name, kind, ...base, problems: [], evidence, ...facts }
}

export const dacet = { name: 'Dacet 640', serial: 'A-01977' }
export const orvane = { name: 'Orvane Bay', serial: '77-3' }

export function calibration(facts: Partial<CalibrationReading> = {}): CalibrationReading {
  return { sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed', ...facts }
}

export const start = (event: string): Moment => ({ event, edge: 'start' })
export const end = (event: string): Moment => ({ event, edge: 'end' })

export function packetOf(documents: readonly DocumentFacts[], rest: Partial<PacketSource> = {}): Packet {
  return buildPacket({
    name: 'invented',
    digest: 'sha256:0',
    reviewed: '2026-06-01',
    declaration: null,
    documents,
    ...rest,
  })
}
