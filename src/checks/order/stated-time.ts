/** What a file or the declaration states about when an event began or ended, as printed, and where. */
import type { DateReading, DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Moment, Packet, PacketEvent } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'

export interface StatedTime {
  /** As the file words it; null where it states no time for this edge. */
  printed: string | null
  /** Local reading, `YYYY-MM-DD` or `YYYY-MM-DDTHH:MM[:SS]`; null where day and month cannot be told apart. */
  local: string | null
  /** Offset from UTC as printed. */
  offset: string | null
  /** It is the date of the report, standing in for times that the report does not state. */
  byRecord: boolean
  evidence: FilePlace[]
}

const noTime: StatedTime = { printed: null, local: null, offset: null, byRecord: false, evidence: [] }

/** The time of one edge; without `printed` where nothing states it. The evidence is then the event's own. */
export function readStatedTime(packet: Packet, event: PacketEvent, edge: Moment['edge']): StatedTime {
  const document = packet.documents[event.document ?? -1]
  const time = document === undefined ? readDeclared(packet, event, edge) : readDocument(document, event, edge)
  return time.evidence.length > 0 ? time : { ...time, evidence: event.evidence }
}

function readDocument(document: DocumentFacts, event: PacketEvent, edge: Moment['edge']): StatedTime {
  const own = ownTimes(document, event)
  const found = own[edge]
  if (found !== null) return timeOf(document, ...found, false)
  // A record's own date stands for the work it reports only where it states no times of its own; that of a file which
  // merely mentions the work says nothing of when it was done.
  const isSilent = own.start === null && own.end === null
  const isRecord = document.kind === 'calibration' || document.kind === 'alignment'
  return isSilent && isRecord && document.date !== undefined
    ? timeOf(document, 'date', document.date, own.isReport)
    : noTime
}

function timeOf(document: DocumentFacts, path: string, reading: DateReading, byRecord: boolean): StatedTime {
  const { text, local, offset } = reading
  return { printed: text, local, offset, byRecord, evidence: findPlaces(document, path, text) }
}

type Found = [path: string, reading: DateReading] | null
interface OwnTimes {
  start: Found
  end: Found
  /** The event lies before the date of its report; the date of a scan is the scan's own. */
  isReport: boolean
}

function ownTimes(document: DocumentFacts, event: PacketEvent): OwnTimes {
  const found = (path: string, reading: DateReading | null | undefined): Found => (reading ? [path, reading] : null)
  const moment = (path: string, reading: DateReading | null | undefined): OwnTimes => {
    return { start: found(path, reading), end: found(path, reading), isReport: false }
  }
  switch (event.kind) {
    case 'calibration': {
      const path = `calibrations.${event.calibration}`
      const { started, ended } = document.calibrations?.[event.calibration ?? -1] ?? {}
      return { start: found(`${path}.started`, started), end: found(`${path}.ended`, ended), isReport: true }
    }
    case 'alignment':
      return { start: null, end: found('alignment.ended', document.alignment?.ended), isReport: true }
    case 'drive':
      return {
        start: found('drive.started', document.drive?.started),
        end: found('drive.ended', document.drive?.ended),
        isReport: true,
      }
    case 'photo':
      return moment('photo.taken', document.photo?.taken)
    case 'clearing':
    case 'repair':
    case 'release': {
      const index = (document.statements ?? []).findIndex(({ text }) => text === event.label)
      return moment(`statements.${index}.date`, document.statements?.[index]?.date)
    }
    default:
      return moment('date', document.date)
  }
}

function readDeclared(packet: Packet, event: PacketEvent, edge: Moment['edge']): StatedTime {
  const { declaration } = packet
  const key = edge === 'start' ? 'started' : 'ended'
  const index = (declaration?.repairs ?? []).findIndex((repair) => repair.what === event.label)
  const path = event.kind === 'repair' ? `repairs.${index}.${key}` : event.kind
  const value =
    event.kind === 'repair'
      ? declaration?.repairs?.[index]?.[key]
      : event.kind === 'intake' || event.kind === 'release'
        ? declaration?.[event.kind]
        : undefined
  if (value === undefined) return noTime
  const local = /^\d{4}-\d\d-\d\d(?:T\d\d:\d\d(?::\d\d)?)?/.exec(value)?.[0] ?? null
  const offset = value.slice(local?.length ?? 0) || null
  return { printed: value, local, offset, byRecord: false, evidence: findDeclaredPlaces(packet, path, value) }
}
