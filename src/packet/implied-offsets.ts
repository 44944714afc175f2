/**
 * What two readings of one moment on two clocks say about the clocks.
 *
 * The only such pair that a packet pins without guessing: its one dynamic calibration, timed by the instrument, and its
 * one drive log, timed by another clock. The one was learned on the other, so they overlap, whatever either clock says.
 * Where they last about as long, they began and ended together, give or take. Nothing tighter is concluded: a log may be
 * started in the yard and a session be opened in the bay. With two drives or two dynamic calibrations nothing says which
 * belongs to which, and nothing is implied.
 */
import type { FaceBounds } from './clocks.ts'
import type { EventDraft } from './events.ts'
import type { Clock } from './packet.ts'
import type { TimeClaim } from './time-claims.ts'
import type { TimelineModel } from './timeline-model.ts'

interface Span {
  clock: string
  start: FaceBounds
  end: FaceBounds
  claims: TimeClaim[]
}

/** An event whose start and end were both read, with a time of day, on one clock. */
function timedSpan(event: EventDraft, model: TimelineModel): Span | null {
  const started = event.claims.find((claim) => claim.bounds === 'start')
  const ended = event.claims.find((claim) => claim.bounds === 'end')
  if (started === undefined || ended === undefined || started.clock.id !== ended.clock.id) return null
  const [start, end] = [model.faceOf(started), model.faceOf(ended)]
  if (start.wholeDay || end.wholeDay || start.frame !== end.frame || end.last < start.first) return null
  return { clock: started.clock.id, start, end, claims: [started, ended] }
}

/** Common practice, no source: lengths that differ by more than this, or a fifth, are not of one and the same stretch. */
const alikeSeconds = 180
/** How far beginnings and ends of one stretch may lie apart when two people press two buttons. */
const togetherSeconds = 120

const lengthOf = ({ start, end }: Span): number => (end.first - start.first) / 1000

/** Bounds on what the first clock shows more than the second, zones included, in seconds. */
function compareFaces(learned: Span, driven: Span): { seconds: readonly [number, number]; reason: string } {
  const lengths = [lengthOf(learned), lengthOf(driven)]
  const alike = Math.abs(lengthOf(learned) - lengthOf(driven)) <= Math.max(alikeSeconds, Math.max(...lengths) / 5)
  const apart = (one: FaceBounds, other: FaceBounds) =>
    [(one.first - other.last) / 1000, (one.last - other.first) / 1000] as const
  const starts = apart(learned.start, driven.start)
  const ends = apart(learned.end, driven.end)
  if (alike) {
    const least = Math.min(starts[0], ends[0]) - togetherSeconds
    const most = Math.max(starts[1], ends[1]) + togetherSeconds
    return { seconds: [least, most], reason: 'they last about as long, so that they began and ended together' }
  }
  return { seconds: [apart(learned.start, driven.end)[0], apart(learned.end, driven.start)[1]], reason: 'they overlap' }
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
  const { seconds, reason } = compareFaces(learned, driven)
  const zone = zoneBounds(learned.start.frame, driven.start.frame, model)
  const pair = {
    id: 'one-drive',
    text: `The drive of ${drive.file} is taken to be the one on which the calibration of ${calibration.file} was learned: ${reason} (assumption)`,
    evidence: [...drive.evidence, ...calibration.evidence],
  }
  const readings = model.describe([...learned.claims, ...driven.claims], learned.start.frame !== driven.start.frame)
  const ahead = [Math.floor(seconds[0] - zone[1]), Math.ceil(seconds[1] - zone[0])] as const
  return new Map([[learned.clock, [{ against: driven.clock, seconds: ahead, because: [...readings, pair] }]]])
}

/** Bounds on what of the difference the zones account for, in seconds. */
function zoneBounds(
  learned: FaceBounds['frame'],
  driven: FaceBounds['frame'],
  model: TimelineModel,
): readonly [number, number] {
  if (learned === driven) return [0, 0]
  const [least, most] = model.zoneSeconds
  return learned === 'local' ? [least, most] : [-most, -least]
}
