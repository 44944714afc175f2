/** How long a dynamic calibration and its drive lasted, by each source that tells. */
import type { CalibrationReading, DateReading, DocumentFacts } from '../../facts/document.ts'
import { localSpan, minutesOfOffset } from '../../facts/instant.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt, isMention, placesOfRecord } from '../calibrations.ts'
import { distinctPlaces, findPlaces } from '../places.ts'

/** A duration in seconds, within what the printed precision allows. */
export interface Duration {
  source: 'the stated duration' | 'start and end' | 'the drive log'
  least: number
  most: number
  evidence: FilePlace[]
}

/** Dynamic calibrations that were attempted. */
export function dynamicRecords(packet: Packet): CalibrationRecord[] {
  return calibrationRecords(packet).filter(
    ({ reading }) => reading.method === 'dynamic' && finalAttempt(reading).outcome !== 'not-performed',
  )
}

/** Dynamic calibrations that ran to their end, as far as their records tell; one that broke off may be of any kind. */
export function endedDynamicRecords(packet: Packet): CalibrationRecord[] {
  const records = dynamicRecords(packet)
  return records.filter(
    (record) => ['completed', 'unknown'].includes(finalAttempt(record.reading).outcome) && !isMention(record, records),
  )
}

/** The duration that the record states. One printed in whole minutes may be off by half a minute. */
export function statedDuration(record: CalibrationRecord): Duration | null {
  const seconds = record.reading.durationSeconds
  if (seconds === undefined) return null
  const slack = seconds % 60 === 0 ? 30 : 0
  const evidence = placesOfRecord(record, 'durationSeconds')
  return { source: 'the stated duration', least: seconds - slack, most: seconds + slack, evidence }
}

/** From the record's start to its end, which are read on one clock; null where either carries no time of day. */
export function windowDuration(record: CalibrationRecord): Duration | null {
  const span = spanBetween(record.reading.started, record.reading.ended)
  if (span === null) return null
  const evidence = distinctPlaces([...placesOfRecord(record, 'started'), ...placesOfRecord(record, 'ended')])
  return { source: 'start and end', ...span, evidence }
}

function spanBetween(start?: DateReading | null, end?: DateReading | null): { least: number; most: number } | null {
  const from = timedSpan(start)
  const to = timedSpan(end)
  if (from === null || to === null) return null
  const shift = start?.offset && end?.offset ? minutesEast(end.offset) - minutesEast(start.offset) : 0
  return { least: to.first - from.last - shift * 60, most: to.last - from.first - shift * 60 }
}

function timedSpan(reading?: DateReading | null) {
  const local = reading?.local ?? ''
  return local.includes('T') ? localSpan(local) : null
}

function minutesEast(offset: string): number {
  return minutesOfOffset(offset) ?? 0
}

export interface DriveLog {
  document: DocumentFacts
  event: PacketEvent | null
  duration: Duration
  /** Time in motion, in seconds, where the log tells. */
  movingSeconds: number | null
}

/** The drives that the packet's logs record, where they tell how long they lasted. */
export function driveLogs(packet: Packet): DriveLog[] {
  return packet.documents.flatMap((document, index): DriveLog[] => {
    const { drive } = document
    // A record may state a drive as well; only a log has measured one.
    if (drive === undefined || document.kind !== 'drive-log') return []
    const seconds = drive.durationSeconds
    const span = seconds === null ? spanBetween(drive.started, drive.ended) : { least: seconds, most: seconds }
    if (span === null) return []
    const event = packet.events.find(({ kind, document: at }) => kind === 'drive' && at === index) ?? null
    const evidence = findPlaces(document, 'drive.durationSeconds')
    return [
      { document, event, duration: { source: 'the drive log', ...span, evidence }, movingSeconds: drive.movingSeconds },
    ]
  })
}

/** Runs of one record: its attempts, at least one. Its start and end may span them all. */
export function countRuns(reading: CalibrationReading): number {
  return Math.max(1, (reading.attempts ?? []).length)
}
