/** The dates that frame a job: the loss, the day the vehicle came in and the day it left. */
import { instantBounds, localSpan } from '../facts/instant.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Packet, PacketEvent } from '../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from './places.ts'

export interface JobDate {
  file: string
  /** As printed or declared. */
  text: string
  /** `YYYY-MM-DD`, or null where day and month cannot be told apart. */
  day: string | null
  /** Bounds, milliseconds since 1970. */
  from: number
  to: number
  evidence: FilePlace[]
}

/** Every date of loss: the declared one first, then those of papers, in the order of files. */
export function collectLosses(packet: Packet): JobDate[] {
  const { declaration } = packet
  const zone = declaration?.zone ?? null
  const printed = packet.documents.flatMap(({ file, lossDate, ...rest }): JobDate[] => {
    if (lossDate === undefined) return []
    const { text, local, offset } = lossDate
    const bounds = local === null ? lossDate : boundLocal(local, offset ?? zone)
    const evidence = findPlaces({ file, ...rest }, 'lossDate', text)
    return [{ file, text, day: local?.slice(0, 10) ?? null, ...inMilliseconds(bounds ?? lossDate), evidence }]
  })
  const text = declaration?.loss
  const bounds = text === undefined ? null : boundLocal(text, zone)
  if (text === undefined || bounds === null) return printed
  const evidence = findDeclaredPlaces(packet, 'loss', text)
  return [{ file: 'packet.yaml', text, day: text.slice(0, 10), ...inMilliseconds(bounds), evidence }, ...printed]
}

/** `YYYY-MM-DD` or a date-time with or without an offset, in a zone; null where it is none. */
export function boundLocal(text: string, zone: string | null): { earliest: string; latest: string } | null {
  const [, local = '', offset] = /^([\dT:-]{10,19}?)(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/.exec(text) ?? []
  return localSpan(local) === null ? null : instantBounds(local, offset ?? zone)
}

function inMilliseconds({ earliest, latest }: { earliest: string; latest: string }): { from: number; to: number } {
  return { from: Date.parse(earliest), to: Date.parse(latest) }
}

/** Bounds of a whole event, milliseconds since 1970; infinite where nothing bounds it. */
export function boundEvent({ earliestStart, latestEnd }: PacketEvent): { from: number; to: number } {
  return {
    from: earliestStart === null ? Number.NEGATIVE_INFINITY : Date.parse(earliestStart),
    to: latestEnd === null ? Number.POSITIVE_INFINITY : Date.parse(latestEnd),
  }
}

/** Events of a kind that carry a time; where packet.yaml declares one, that alone. */
export function framingEvents(packet: Packet, kind: 'intake' | 'release'): PacketEvent[] {
  const timed = packet.events.filter((event) => event.kind === kind && event.clock !== null)
  const declared = timed.filter((event) => event.document === null)
  return declared.length > 0 ? declared : timed
}
