/** The calibrations that a packet's files record, one entry a record, with how each came to its end. */

import type { CalibrationOutcome, CalibrationReading, DocumentFacts } from '../facts/document.ts'
import { agreesInPosition } from '../facts/position.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Packet, PacketEvent } from '../packet/packet.ts'
import { findPlaces, nameSensor } from './places.ts'

export interface CalibrationRecord {
  document: DocumentFacts
  /** Index into the document's calibrations. */
  index: number
  reading: CalibrationReading
  /** Where it stands on the timeline; null where the packet makes no event of it. */
  event: PacketEvent | null
  /** For people: "left corner radar, static". */
  label: string
}

/** What a bill, an estimate or a letter says of a calibration is a claim about it, not a record of it; nor is a picture. */
const notRecords = new Set(['estimate', 'invoice', 'statement', 'photo'])

/** Every recorded calibration, in the order of files and of lines within a file. */
export function calibrationRecords(packet: Packet): CalibrationRecord[] {
  return packet.documents.flatMap((document, place) => {
    if (notRecords.has(document.kind)) return []
    return (document.calibrations ?? []).map((reading, index) => ({
      document,
      index,
      reading,
      event:
        packet.events.find(
          (event) => event.kind === 'calibration' && event.document === place && event.calibration === index,
        ) ?? null,
      label: labelOf(reading),
    }))
  })
}

function labelOf({ sensor, name, position, method }: CalibrationReading): string {
  const named = sensor === 'other' && name !== undefined ? name : nameSensor(sensor, position)
  return method === 'unknown' ? named : `${named}, ${method}`
}

/** Where one key of a record was read (`outcome`, `progressPercent`, …), or else the record as a whole. */
export function placesOfRecord(record: CalibrationRecord, key: string): FilePlace[] {
  return findPlaces(record.document, `calibrations.${record.index}.${key}`)
}

/**
 * Is it only mentioned here (in a scan, a summary, a log), while another file is the record of it? What a mention leaves
 * out is then no lack, and its file's date says nothing of when the work was done.
 */
export function isMention(record: CalibrationRecord, records: readonly CalibrationRecord[]): boolean {
  if (record.document.kind === 'calibration') return false
  return records.some(({ document, reading }) => {
    return document.kind === 'calibration' && sameCalibration(record.reading, reading)
  })
}

/** A record that has a place on the timeline. */
export type TimedRecord = CalibrationRecord & { event: PacketEvent }

/** The calibrations that were attempted, whatever came of them, and that the timeline knows; mentions left out. */
export function performedCalibrations(packet: Packet): TimedRecord[] {
  const records = calibrationRecords(packet)
  return records.filter((record): record is TimedRecord => {
    if (record.event === null || isMention(record, records)) return false
    return finalAttempt(record.reading).outcome !== 'not-performed'
  })
}

/** Their events. */
export function calibrationEvents(packet: Packet): PacketEvent[] {
  return performedCalibrations(packet).map((record) => record.event)
}

export type CalibrationGroup = [TimedRecord, ...TimedRecord[]]

/** Performed calibrations that are runs of the same one: sensor, position and method. In the order of first mention. */
export function groupCalibrations(packet: Packet): CalibrationGroup[] {
  const groups: CalibrationGroup[] = []
  for (const record of performedCalibrations(packet)) {
    const group = groups.find(([first]) => sameCalibration(first.reading, record.reading))
    if (group === undefined) groups.push([record])
    else group.push(record)
  }
  return groups
}

export interface FinalAttempt {
  outcome: CalibrationOutcome
  progressPercent: number | null
}

/**
 * How the last attempt ended. Where every attempt is dated, the latest date tells which was last, and it overrules the
 * record's heading; undated attempts may be listed in either direction, so the record's own outcome then stands.
 */
export function finalAttempt(reading: CalibrationReading): FinalAttempt {
  const attempts = reading.attempts ?? []
  const dated = attempts.flatMap((attempt) => (attempt.at === undefined ? [] : [{ ...attempt, at: attempt.at }]))
  const listed = attempts.at(-1)
  const last =
    dated.length > 0 && dated.length === attempts.length
      ? dated.reduce((latest, attempt) => (attempt.at.earliest >= latest.at.earliest ? attempt : latest))
      : reading.outcome === 'unknown'
        ? listed
        : undefined
  const outcome = last === undefined || last.outcome === 'unknown' ? reading.outcome : last.outcome
  return {
    outcome,
    progressPercent: last?.progressPercent ?? reading.progressPercent ?? listed?.progressPercent ?? null,
  }
}

/** Do two records speak of the same calibration: sensor, position and method, where both state them? */
export function sameCalibration(a: CalibrationReading, b: CalibrationReading): boolean {
  return samePlace(a, b) && (a.method === b.method || a.method === 'unknown' || b.method === 'unknown')
}

/** Do two records speak of the same sensor at the same position, where both state one? */
export function samePlace(a: CalibrationReading, b: CalibrationReading): boolean {
  if (a.sensor !== b.sensor || (a.sensor === 'other' && a.name !== b.name)) return false
  return agreesInPosition(a.position, b.position)
}

export interface Successor {
  record: CalibrationRecord
  /** False where the clocks do not tell which of the two came last. */
  certain: boolean
}

/** A completed record of the same calibration that came, or may have come, after this one; certain ones first. */
export function completedAfter(
  packet: Packet,
  records: readonly CalibrationRecord[],
  record: CalibrationRecord,
): Successor | null {
  let maybe: Successor | null = null
  for (const other of records) {
    if (other === record || !sameCalibration(record.reading, other.reading)) continue
    if (finalAttempt(other.reading).outcome !== 'completed') continue
    const answer = cameAfter(packet, record, other)
    if (answer === 'certain') return { record: other, certain: true }
    if (answer === 'unsure') maybe ??= { record: other, certain: false }
  }
  return maybe
}

function cameAfter(packet: Packet, record: CalibrationRecord, other: CalibrationRecord): 'certain' | 'unsure' | 'no' {
  const answer =
    record.event === null || other.event === null
      ? 'unknown'
      : packet.timeline.order({ event: record.event.id, edge: 'end' }, { event: other.event.id, edge: 'start' }).answer
  if (answer === 'certain') return 'certain'
  if (answer === 'impossible') return 'no'
  // One report lists its runs in the order in which they took place, unless its own times say otherwise.
  if (other.document === record.document) return other.index > record.index ? 'certain' : 'no'
  return 'unsure'
}
