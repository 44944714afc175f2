/** The packet's drive logs, and which part of which belongs to a calibration. */
import type { DocumentFacts } from '../../facts/document.ts'
import { forwardPoints, type TimedPoint } from '../../facts/motion.ts'
import type { FilePlace, Track } from '../../facts/reading.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import type { CalibrationRecord } from '../calibrations.ts'
import type { Outcome } from '../check.ts'
import { boundShared } from '../order/shared-time.ts'
import { findPlaces } from '../places.ts'

/** A log whose track was read. */
export interface TrackedLog {
  document: DocumentFacts
  event: PacketEvent | null
  track: Track
  /** Its points that a clock running forward has logged. */
  points: TimedPoint[]
}

/** The logs that hold a track. A record may state a drive as well; only a log has measured one. */
export function trackedLogs(packet: Packet): TrackedLog[] {
  return packet.documents.flatMap((document, index): TrackedLog[] => {
    const track = packet.content[document.file]?.track ?? null
    if (track === null || document.kind !== 'drive-log') return []
    const event = packet.events.find(({ kind, document: at }) => kind === 'drive' && at === index) ?? null
    return [{ document, event, track, points: forwardPoints(track.points) }]
  })
}

/** Where the log was read. */
export const placesOfLog = ({ document }: { document: DocumentFacts }): FilePlace[] => findPlaces(document, 'drive')

/** One outcome a log; where there is none, that. */
export function judgeLogs(packet: Packet, judge: (log: TrackedLog) => Outcome): Outcome[] {
  const outcomes = trackedLogs(packet).map(judge)
  return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-log', data: {}, evidence: [] }]
}

/** Does the log reach from before the calibration's start to after its end? `unknown` where either carries no times. */
export function coversCalibration(
  packet: Packet,
  log: Pick<TrackedLog, 'event'>,
  record: CalibrationRecord,
): 'yes' | 'maybe' | 'no' | 'unknown' {
  if (log.event === null || record.event === null) return 'unknown'
  const { timeline } = packet
  const answers = [
    timeline.order({ event: log.event.id, edge: 'start' }, { event: record.event.id, edge: 'start' }).answer,
    timeline.order({ event: record.event.id, edge: 'end' }, { event: log.event.id, edge: 'end' }).answer,
  ]
  if (answers.includes('impossible')) return 'no'
  if (answers.includes('unknown')) return 'unknown'
  return answers.every((answer) => answer === 'certain') ? 'yes' : 'maybe'
}

/**
 * Logs that may be of this drive: one that covers another calibration and not this one belongs to the other, as does one
 * that shares time with another and none with this one, though started after it or stopped before its end.
 */
export function logsOfCalibration<Log extends Pick<TrackedLog, 'event'>>(
  packet: Packet,
  logs: readonly Log[],
  record: CalibrationRecord,
  records: readonly CalibrationRecord[],
): Log[] {
  return logs.filter((log) => {
    if (coversCalibration(packet, log, record) !== 'no') return true
    const isApart = sharedWith(packet, log, record)[1] <= 0
    return !records.some(
      (other) =>
        other !== record &&
        (coversCalibration(packet, log, other) === 'yes' || (isApart && sharedWith(packet, log, other)[0] > 0)),
    )
  })
}

/** Bounds on the seconds that log and calibration share; without bounds where either carries no times. */
function sharedWith(
  packet: Packet,
  log: Pick<TrackedLog, 'event'>,
  record: CalibrationRecord,
): readonly [number, number] {
  if (log.event === null || record.event === null) return [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
  return boundShared(packet, log.event, record.event)
}

/** Bounds on when the calibration began and ended, in seconds on the clock of the track. */
export interface Placement {
  start: readonly [least: number, most: number]
  end: readonly [least: number, most: number]
}

/** Where the timeline places the calibration within the log; null where it does not, or places it outside. */
export function placeCalibration(packet: Packet, log: TrackedLog, record: CalibrationRecord): Placement | null {
  const [first, last] = [log.points[0], log.points.at(-1)]
  if (!first || !last || log.event === null || record.event === null) return null
  const begin = { event: log.event.id, edge: 'start' } as const
  const spans = (['start', 'end'] as const).map((edge) => {
    const [least, most] = packet.timeline.order(begin, { event: record.event?.id ?? '', edge }).gapSeconds
    return [first.time + least, first.time + most] as const
  })
  const [start, end] = spans
  if (!start || !end || ![...start, ...end].every(Number.isFinite)) return null
  if (start[0] >= last.time || end[1] <= first.time) return null
  return { start, end }
}
