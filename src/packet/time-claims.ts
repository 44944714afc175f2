/** What a file says about when an event began or ended, and what stands in where it does not say. */
import type { CalibrationReading, DateReading, DocumentFacts } from '../facts/document.ts'
import { addSeconds, instantBounds } from '../facts/instant.ts'
import type { FilePlace } from '../facts/reading.ts'
import { cameraClock, documentClock, type PacketClock } from './clocks.ts'

/**
 * One reading that bounds an event. `bounds`: `whole` the event lies within the reading; `start` or `end` is the reading;
 * `ended-by` the event ended at or before it; `not-before` the event started at or after it.
 */
export interface TimeClaim {
  bounds: 'whole' | 'start' | 'end' | 'ended-by' | 'not-before'
  /** What the file says, to follow its name; `{time}` stands for the printed text: "says the scan was taken {time}". */
  says: string
  reading: DateReading
  clock: PacketClock
  evidence: FilePlace[]
  /** Taken for granted, not read: `says` is then the whole statement. */
  assumed?: true
}

/** Places of a fact, of what it is part of, or at least the file and the words. */
export function placesOf(document: DocumentFacts, path: string, text: string): FilePlace[] {
  for (let at = path; at !== ''; at = at.slice(0, Math.max(0, at.lastIndexOf('.')))) {
    const places = document.evidence[at]
    if (places !== undefined && places.length > 0) return places.map((place) => ({ file: document.file, ...place }))
  }
  return [{ file: document.file, text }]
}

/** The claim that a document's reading makes; none where there is no reading. `path`: of the fact, for its places. */
export function claimTime(
  document: DocumentFacts,
  bounds: TimeClaim['bounds'],
  says: string,
  path: string,
  reading: DateReading | null | undefined,
  clock = documentClock(document),
): TimeClaim[] {
  if (reading === null || reading === undefined) return []
  return [{ bounds, says, reading, clock, evidence: placesOf(document, path, reading.text) }]
}

/** The calendar day of a reading, when its day is certain. */
function dayOf(reading: DateReading): DateReading | null {
  const day = reading.local?.slice(0, 10)
  if (day === undefined) return null
  const bounds = instantBounds(day, reading.offset ?? reading.zone ?? null)
  return { ...reading, local: day, ...bounds }
}

/** The event is taken to have begun on the day of a reading; an assumption of its own, so that what rests on it says so. */
function assumeDay(document: DocumentFacts, what: string, path: string, reading: DateReading): TimeClaim[] {
  const day = dayOf(reading)
  const says = `${what} is taken to have begun on the day that ${document.file} gives for it, ${reading.text} (assumption)`
  return day === null
    ? []
    : claimTime(document, 'not-before', says, path, day).map((each) => ({ ...each, assumed: true }))
}

/** A reading some seconds later. */
function delayReading(reading: DateReading, seconds: number): DateReading {
  const { local } = reading
  const later = local === null ? null : addSeconds(`${local.length === 16 ? `${local}:00` : local}Z`, seconds)
  return {
    ...reading,
    local: local === null || later === null ? null : later.slice(0, local.length),
    earliest: addSeconds(reading.earliest, seconds),
    latest: addSeconds(reading.latest, seconds),
  }
}

/** A picture of a screen or sheet that prints no date was taken when what it shows was over. */
export function endByPicture(document: DocumentFacts, what: string): TimeClaim[] {
  const says = `was photographed {time}, and ${what} was over by then`
  return claimTime(document, 'ended-by', says, 'photo.taken', document.photo?.taken, cameraClock(document))
}

/**
 * The record's date as a bound on the end of an event that states none: the record was made when the event had ended. A
 * duration printed beside it allows for records that stamp the beginning. A record dated before the beginning that it
 * states bounds nothing: that its date is wrong is a matter of the document, not of the time line.
 */
function endByRecord(document: DocumentFacts, what: string, calibration: Partial<CalibrationReading>): TimeClaim[] {
  const { date } = document
  const { started, durationSeconds = 0 } = calibration
  if (date === undefined) return started === undefined ? endByPicture(document, what) : []
  const printed = Math.min(date.local?.length ?? 0, started?.local?.length ?? 0)
  if (started !== undefined && (date.local ?? '').slice(0, printed) < (started.local ?? '').slice(0, printed)) return []
  const isDay = date.local?.length === 10
  const latest = isDay || durationSeconds === 0 ? date : delayReading(date, durationSeconds)
  const allowance =
    latest === date ? '' : ` (or ${Math.ceil(durationSeconds / 60)} min later, if it stamps the beginning)`
  return claimTime(document, 'ended-by', `is dated {time}, and ${what} had ended by then${allowance}`, 'date', latest)
}

/** Readings of an event's start and end, and what stands in for the one that is not stated. */
export function boundSpan(
  document: DocumentFacts,
  what: string,
  path: string,
  span: Partial<CalibrationReading>,
): TimeClaim[] {
  const { started, ended, durationSeconds } = span
  const stated = [
    ...claimTime(document, 'start', `says ${what} started {time}`, `${path}.started`, started),
    ...claimTime(document, 'end', `says ${what} ended {time}`, `${path}.ended`, ended),
  ]
  const isRecord = document.kind === 'calibration' || document.kind === 'alignment'
  if (started !== undefined && ended !== undefined) return stated
  if (stated.length > 0 && durationSeconds !== undefined) return stated
  if (started !== undefined) return [...stated, ...endByRecord(document, what, span)]
  if (ended !== undefined) return [...stated, ...assumeDay(document, what, `${path}.ended`, ended)]
  // That work is done on the day its record is dated: common practice, no source. A report that only mentions it is no record.
  const day = isRecord && document.date !== undefined ? assumeDay(document, what, 'date', document.date) : []
  return [...endByRecord(document, what, span), ...day]
}
