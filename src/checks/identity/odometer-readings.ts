/** The odometer readings of a packet, in one unit, with the moment each was taken. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { EventKind, Packet, PacketEvent } from '../../packet/packet.ts'
import { findPlaces } from '../places.ts'

export interface OdometerReading {
  document: DocumentFacts
  /** As printed: "48211 mi". */
  written: string
  kilometres: number
  /** Length in kilometres of the unit that it was read in: what rounding can hide. */
  unitKilometres: number
  /** False where no file of the packet says miles or kilometres; the numbers are then compared as they stand. */
  unitKnown: boolean
  event: PacketEvent | null
  /** Bounds on the moment, milliseconds since 1970; infinite where nothing bounds it. */
  from: number
  to: number
  evidence: FilePlace[]
}

export const kilometresPerMile = 1.609344

const kilometresPer = { mi: kilometresPerMile, km: 1 }

/**
 * Readings in the order of files. One without a unit takes the unit that all others share; where others disagree it
 * cannot be compared, and stands in `unitless`.
 */
export function collectOdometer(packet: Packet): { readings: OdometerReading[]; unitless: DocumentFacts[] } {
  const stated = packet.documents.flatMap(({ odometer }) => (odometer?.unit ? [odometer.unit] : []))
  const units = [...new Set(stated)]
  const readings: OdometerReading[] = []
  const unitless: DocumentFacts[] = []
  packet.documents.forEach((document, index) => {
    if (!document.odometer) return
    const { value, unit } = document.odometer
    if (unit === null && units.length > 1) {
      unitless.push(document)
      return
    }
    const taken = unit ?? units[0] ?? null
    const unitKilometres = taken === null ? 1 : kilometresPer[taken]
    const written = `${value} ${unit ?? ''}`.trim()
    readings.push({
      document,
      written,
      kilometres: value * unitKilometres,
      unitKilometres,
      unitKnown: taken !== null,
      ...placeInTime(packet, document, index),
      evidence: findPlaces(document, 'odometer', written),
    })
  })
  return { readings, unitless }
}

const reported: ReadonlySet<EventKind> = new Set<EventKind>([
  'pre-scan',
  'post-scan',
  'calibration',
  'alignment',
  'drive',
])

function placeInTime(packet: Packet, document: DocumentFacts, index: number) {
  // What else a file tells of (that codes were cleared, that the vehicle was released) is not when its odometer was read.
  const events = packet.events.filter((candidate) => candidate.document === index && reported.has(candidate.kind))
  const event = events.length === 1 ? (events[0] ?? null) : null
  const from = event ? event.earliestStart : (events[0]?.earliestStart ?? document.date?.earliest)
  const to = event ? event.latestEnd : (events.at(-1)?.latestEnd ?? document.date?.latest)
  return {
    event,
    from: from ? Date.parse(from) : Number.NEGATIVE_INFINITY,
    to: to ? Date.parse(to) : Number.POSITIVE_INFINITY,
  }
}

/** When something happened: its event, and bounds in milliseconds since 1970. */
export type Moment = Pick<OdometerReading, 'event' | 'from' | 'to'>

/** True when `a` was certainly taken, or over, before `b`. */
export function wasTakenBefore(packet: Packet, a: Moment, b: Moment): boolean {
  if (a === b) return false
  if (a.event && b.event && a.event !== b.event) {
    const { answer } = packet.timeline.order({ event: a.event.id, edge: 'end' }, { event: b.event.id, edge: 'start' })
    if (answer !== 'unknown') return answer === 'certain'
  }
  return Number.isFinite(a.to) && Number.isFinite(b.from) && a.to < b.from
}

/** The distance that the packet's drives explain, in kilometres: what logs measured or records state, whichever is more. */
export function sumDrives(packet: Packet): number {
  let logged = 0
  let stated = 0
  for (const document of packet.documents) {
    // A record states a drive without a track; what it states is counted with the calibration.
    if (document.drive && document.drive.points > 0) logged += document.drive.distanceMetres ?? 0
    for (const calibration of document.calibrations ?? []) stated += calibration.distanceMetres ?? 0
  }
  return Math.max(logged, stated) / 1000
}
