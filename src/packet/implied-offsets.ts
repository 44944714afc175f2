/**
 * What two readings of one moment on two clocks say about the clocks.
 *
 * The only such pairs that a packet pins without guessing: its one dynamic calibration, timed by the instrument, and its
 * one drive log, timed by another clock. The one was learned on the other, so they overlap, whatever either clock says.
 * Where they last about as long, they began and ended together, give or take. Nothing tighter is concluded: a log may be
 * started in the yard and a session be opened in the bay. As many drives as dynamic calibrations of one instrument are paired
 * where in one way only they last about as long and one offset explains them all; else nothing says which belongs to which,
 * and nothing is implied.
 */
import type { FaceBounds } from './clocks.ts'
import type { EventDraft } from './events.ts'
import type { Clock, Statement } from './packet.ts'
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
function compareFaces(
  learned: Span,
  driven: Span,
): { seconds: readonly [number, number]; reason: string; alike: boolean } {
  const lengths = [lengthOf(learned), lengthOf(driven)]
  const alike = Math.abs(lengthOf(learned) - lengthOf(driven)) <= Math.max(alikeSeconds, Math.max(...lengths) / 5)
  const apart = (one: FaceBounds, other: FaceBounds) =>
    [(one.first - other.last) / 1000, (one.last - other.first) / 1000] as const
  const starts = apart(learned.start, driven.start)
  const ends = apart(learned.end, driven.end)
  if (alike) {
    const least = Math.min(starts[0], ends[0]) - togetherSeconds
    const most = Math.max(starts[1], ends[1]) + togetherSeconds
    return { seconds: [least, most], alike, reason: 'they last about as long, so that they began and ended together' }
  }
  return {
    seconds: [apart(learned.start, driven.end)[0], apart(learned.end, driven.start)[1]],
    alike,
    reason: 'they overlap',
  }
}

/** More drives than these are not paired: the ways to pair them grow with their factorial. */
const mostDrives = 4

interface Pair {
  learned: Span
  driven: Span
  alike: boolean
  /** Bounds on the seconds that the first clock is ahead. */
  ahead: readonly [number, number]
  because: () => Statement[]
}

/** Offsets by clock id, in seconds ahead of the other clock, that the packet's pairs of readings imply. */
export function impliedOffsets(events: readonly EventDraft[], model: TimelineModel): Map<string, Clock['implied']> {
  const calibrations = events.filter((event) => event.kind === 'calibration' && event.label.endsWith(', dynamic'))
  const drives = events.filter((event) => event.kind === 'drive')
  const count = calibrations.length
  if (count === 0 || drives.length !== count || count > mostDrives) return new Map()
  const pairs = calibrations.map((calibration) => drives.map((drive) => pairOf(calibration, drive, model)))
  const paired = count === 1 ? [pairs[0]?.[0] ?? null] : onlyPairing(pairs)
  const [first] = paired ?? []
  if (!paired || !first || paired.includes(null)) return new Map()
  const whole = paired.filter((pair) => pair !== null)
  const ahead = intersect(whole)
  const implied = new Map(whole.map((pair) => [pair.driven.clock, pair])).values()
  return new Map([
    [
      first.learned.clock,
      [...implied].map(({ driven }) => ({
        against: driven.clock,
        seconds: ahead,
        because: whole.flatMap((pair) => (count === 1 || pair.driven.clock === driven.clock ? pair.because() : [])),
      })),
    ],
  ])
}

function pairOf(calibration: EventDraft, drive: EventDraft, model: TimelineModel): Pair | null {
  const learned = timedSpan(calibration, model)
  const driven = timedSpan(drive, model)
  if (learned === null || driven === null || learned.clock === driven.clock) return null
  const { seconds, reason, alike } = compareFaces(learned, driven)
  const zone = zoneBounds(learned.start.frame, driven.start.frame, model)
  const because = () => [
    ...model.describe([...learned.claims, ...driven.claims], learned.start.frame !== driven.start.frame),
    {
      id: `one-drive ${drive.file} ${calibration.file}`,
      text: `The drive of ${drive.file} is taken to be the one on which the calibration of ${calibration.file} was learned: ${reason} (assumption)`,
      evidence: [...drive.evidence, ...calibration.evidence],
    },
  ]
  return { learned, driven, alike, ahead: [Math.floor(seconds[0] - zone[1]), Math.ceil(seconds[1] - zone[0])], because }
}

const intersect = (pairs: readonly Pair[]): readonly [number, number] => [
  Math.max(...pairs.map(({ ahead }) => ahead[0])),
  Math.min(...pairs.map(({ ahead }) => ahead[1])),
]

/**
 * The one way to give each calibration of an instrument a drive of its own so that all last about as long and one offset of
 * the clocks explains them all; null where there is none, or another.
 */
function onlyPairing(pairs: readonly (readonly (Pair | null)[])[]): Pair[] | null {
  const clocks = new Set(pairs.flat().map((pair) => pair?.learned.clock))
  if (clocks.size !== 1) return null
  const ways = waysToPair(pairs, 0, new Set()).filter((way) => {
    const [least, most] = intersect(way)
    return least <= most
  })
  return ways.length === 1 ? (ways[0] ?? null) : null
}

function waysToPair(pairs: readonly (readonly (Pair | null)[])[], at: number, taken: ReadonlySet<number>): Pair[][] {
  const row = pairs[at]
  if (row === undefined) return [[]]
  return row.flatMap((pair, drive) =>
    pair?.alike && !taken.has(drive)
      ? waysToPair(pairs, at + 1, new Set([...taken, drive])).map((rest) => [pair, ...rest])
      : [],
  )
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
