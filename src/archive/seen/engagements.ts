/** Who was certainly at work on a vehicle, and when: a person or an instrument is in one place at a time. */
import { secondsOfInstant } from '../../facts/instant.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import { foldNumber } from '../register/report-facts.ts'

export interface Engagement {
  who: 'technician' | 'instrument'
  /** As it is compared: a person's name parts, sorted; an instrument's serial number in capitals. */
  name: string
  /** As it is printed. */
  printed: string
  file: string
  /** What went on: "front radar, static". */
  label: string
  /** Seconds since 1970 (UTC), within which it certainly went on. */
  from: number
  to: number
}

/** Longer than a day nobody works on one thing: such bounds come of a date that was misread. */
export const mostSeconds = 86_400

/** Every stretch of a calibration, alignment or drive that is certain under every reading of the clocks. */
export function engagementsOf({ events, documents }: Packet): Engagement[] {
  return events.flatMap((event): Engagement[] => {
    const [span, document] = [certainSpan(event), documents[event.document ?? -1]]
    if (span === null || document === undefined) return []
    const common = { file: event.file, label: event.label, ...span }
    const { technician = '', instrument } = document
    const [person, serial] = [personKey(technician), foldNumber(instrument?.serial ?? '')]
    return [
      ...(person === null ? [] : [{ who: 'technician' as const, name: person, printed: technician, ...common }]),
      ...(serial.length < 4
        ? []
        : [{ who: 'instrument' as const, name: serial, printed: instrument?.serial ?? '', ...common }]),
    ]
  })
}

const kinds: ReadonlySet<string> = new Set(['calibration', 'alignment', 'drive'])

/** From the latest start to the earliest end; null where they do not lie apart. */
function certainSpan({ kind, latestStart, earliestEnd }: PacketEvent): { from: number; to: number } | null {
  if (!kinds.has(kind) || latestStart === null || earliestEnd === null) return null
  const [from, to] = [Math.ceil(secondsOfInstant(latestStart)), Math.floor(secondsOfInstant(earliestEnd))]
  return from < to && to - from <= mostSeconds ? { from, to } : null
}

/** A full name, in whatever order it is written; null for initials and single names, which many people share. */
export function personKey(name: string): string | null {
  const plain = name.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().replace(/['’]/g, '')
  const parts = plain.split(/[^\p{L}]+/u).filter((part) => part.length > 1 && !/^(?:mr|mrs|ms|dr)$/.test(part))
  return parts.length < 2 ? null : parts.sort().join(' ')
}
