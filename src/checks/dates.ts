/** Every date of a packet that says when something happened, with where it stands. Expiry dates are not among them. */
import type { DateReading, DocumentFacts } from '../facts/document.ts'
import { instantBounds, localSpan } from '../facts/instant.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Packet } from '../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from './places.ts'

export interface EventDate {
  /** Dotted path of the fact: `calibrations.0.ended`, or of the declaration: `repairs.0.ended`. */
  path: string
  file: string
  /** As printed or declared. */
  text: string
  /** UTC instants, RFC 3339, between which it lies whatever the zone may be. */
  earliest: string
  latest: string
  evidence: FilePlace[]
}

/** The dates of all files in their order, then those of the declaration. */
export function eventDates(packet: Packet): EventDate[] {
  return [...packet.documents.flatMap(documentDates), ...declaredDates(packet)]
}

function documentDates(document: DocumentFacts): EventDate[] {
  const { kind, date, lossDate, calibrations = [], alignment, drive, photo, statements = [] } = document
  const dates: [string, DateReading | null | undefined][] = [
    // A photo's is the moment at which it was taken.
    ['date', kind === 'photo' ? undefined : date],
    ['lossDate', lossDate],
    ...calibrations.flatMap(({ started, ended, attempts = [] }, index): [string, DateReading | undefined][] => [
      [`calibrations.${index}.started`, started],
      [`calibrations.${index}.ended`, ended],
      ...attempts.map(({ at }, number): [string, DateReading | undefined] => [
        `calibrations.${index}.attempts.${number}.at`,
        at,
      ]),
    ]),
    ['alignment.ended', alignment?.ended],
    ['drive.started', drive?.started],
    ['drive.ended', drive?.ended],
    ['photo.taken', photo?.taken],
    ...statements.map((statement, index): [string, DateReading | undefined] => [`statements.${index}`, statement.date]),
  ]
  return dates.flatMap(([path, reading]) => {
    if (reading === undefined || reading === null) return []
    const { text, earliest, latest } = reading
    return [{ path, file: document.file, text, earliest, latest, evidence: findPlaces(document, path, text) }]
  })
}

function declaredDates(packet: Packet): EventDate[] {
  const { declaration } = packet
  if (declaration === null) return []
  const { loss, intake, release, repairs = [], zone } = declaration
  const dates: [string, string | undefined][] = [
    ['loss', loss],
    ['intake', intake],
    ['release', release],
    ...repairs.flatMap(({ started, ended }, index): [string, string | undefined][] => [
      [`repairs.${index}.started`, started],
      [`repairs.${index}.ended`, ended],
    ]),
  ]
  return dates.flatMap(([path, text]) => {
    const bounds = text === undefined ? null : declaredBounds(text, zone ?? null)
    if (text === undefined || bounds === null) return []
    return [{ path, file: 'packet.yaml', text, ...bounds, evidence: findDeclaredPlaces(packet, path, text) }]
  })
}

function declaredBounds(text: string, zone: string | null): { earliest: string; latest: string } | null {
  const [, local = '', offset] = /^([\dT:-]{10,19}?)(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/.exec(text) ?? []
  return localSpan(local) === null ? null : instantBounds(local, offset ?? zone)
}
