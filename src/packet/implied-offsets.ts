/**
 * What two readings of one moment on two clocks say about the clocks.
 *
 * The only such pair that a packet pins without guessing: its one dynamic calibration, timed by the instrument, and its
 * one drive log, timed by another clock. The one was learned on the other, so they overlap, whatever either clock says.
 * Nothing tighter is concluded: a log may be started in the yard and a calibration stopped at the kerb. With two drives or
 * two dynamic calibrations nothing says which belongs to which, and nothing is implied.
 */
import type { EventDraft } from './events.ts'
import type { Clock } from './packet.ts'
import type { TimeClaim } from './time-claims.ts'
import type { TimelineModel } from './timeline-model.ts'

interface Span {
  event: EventDraft
  clock: string
  frame: 'utc' | 'local'
  /** Milliseconds on the clock's face: the earliest start and the latest end. */
  first: number
  last: number
  claims: TimeClaim[]
}

/** An event whose start and end were both read, with a time of day, on one clock. */
function timedSpan(event: EventDraft, model: TimelineModel): Span | null {
  const start = event.claims.find((claim) => claim.bounds === 'start')
  const end = event.claims.find((claim) => claim.bounds === 'end')
  if (start === undefined || end === undefined || start.clock.id !== end.clock.id) return null
  const [from, to] = [model.faceOf(start), model.faceOf(end)]
  if (from.wholeDay || to.wholeDay || from.frame !== to.frame || to.last < from.first) return null
  return { event, clock: start.clock.id, frame: from.frame, first: from.first, last: to.last, claims: [start, end] }
}

/** Offsets by clock id, in seconds ahead of the other clock, that the packet's pairs of readings imply. */
export function impliedOffsets(events: readonly EventDraft[], model: TimelineModel): Map<string, Clock['implied']> {
  const calibrations = events.filter((event) => event.kind === 'calibration' && event.label.endsWith(', dynamic'))
  const drives = events.filter((event) => event.kind === 'drive')
  const [calibration, ...otherCalibrations] = calibrations
  const [drive, ...otherDrives] = drives
  if (calibration === undefined || drive === undefined || otherCalibrations.length > 0 || otherDrives.length > 0)
    return new Map()
  const learned = timedSpan(calibration, model)
  const driven = timedSpan(drive, model)
  if (learned === null || driven === null || learned.clock === driven.clock) return new Map()
  const overlap = [(learned.first - driven.last) / 1000, (learned.last - driven.first) / 1000] as const
  const zone = zoneBounds(learned.frame, driven.frame, model)
  const because = model.describe([...learned.claims, ...driven.claims], learned.frame !== driven.frame)
  const pair = {
    id: 'one-drive',
    text: `The drive of ${drive.file} is taken to be the one on which the calibration of ${calibration.file} was learned, so that they overlap (assumption)`,
    evidence: [...drive.evidence, ...calibration.evidence],
  }
  const seconds = [Math.floor(overlap[0] - zone[1]), Math.ceil(overlap[1] - zone[0])] as const
  return new Map([[learned.clock, [{ against: driven.clock, seconds, because: [...because, pair] }]]])
}

/** Bounds on what of the difference the zones account for, in seconds. */
function zoneBounds(learned: Span['frame'], driven: Span['frame'], model: TimelineModel): readonly [number, number] {
  if (learned === driven) return [0, 0]
  const [least, most] = model.zoneSeconds
  return learned === 'local' ? [least, most] : [-most, -least]
}
