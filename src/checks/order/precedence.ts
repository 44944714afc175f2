/**
 * Whether one event ended before another began, as far as the packet can tell.
 *
 * The timeline answers certain, possible or impossible. A bare "possible" says too little to act on: it may come from
 * clocks that disagree by minutes, or merely from a report that prints no time of day. It is told apart here:
 * - `presumed`, `presumed-reversed`: the event that must come later (earlier) is timed by the date of its record alone, and
 *   that date lies an hour or more after the other event; that work is recorded when it is done is then taken for granted
 *   (common practice);
 * - `doubtful`: the times as printed contradict the order, or lie closer together than the clocks can be trusted;
 * - `coarse`: what is printed fits, but a missing time of day, zone or order of day and month leaves it open.
 */
import type { FilePlace } from '../../facts/reading.ts'
import type { Moment, OrderAnswer, Packet, PacketEvent } from '../../packet/packet.ts'
import type { DataValue } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import { readStatedTime, type StatedTime } from './stated-time.ts'

export type PrecedenceVerdict =
  | 'certain'
  | 'presumed'
  | 'coarse'
  | 'unknown'
  | 'doubtful'
  | 'presumed-reversed'
  | 'impossible'

export interface Precedence {
  before: PacketEvent
  after: PacketEvent
  verdict: PrecedenceVerdict
  answer: OrderAnswer
  /** `before`, `after` with their files and printed times, the gap in seconds, and what would decide. */
  data: Record<string, DataValue>
  evidence: FilePlace[]
}

/**
 * More than clocks are off by and most calibrations take: an edge that is uncertain by more is so by its reading and not by
 * its clock, and a record dated later than this after an event tells of work that followed it.
 */
const hourMilliseconds = 3_600_000

/**
 * Did `before` end before `after` began? Where a file states only the end of `after`, `before` must at least precede
 * that end.
 */
export function judgePrecedence(packet: Packet, before: PacketEvent, after: PacketEvent): Precedence {
  const first: Moment = { event: before.id, edge: 'end' }
  const begins = readStatedTime(packet, after, 'start')
  const edge = begins.printed === null && readStatedTime(packet, after, 'end').printed !== null ? 'end' : 'start'
  const answer = packet.timeline.order(first, { event: after.id, edge })
  const pair: Pair = {
    before: { event: before, edge: 'end', time: readStatedTime(packet, before, 'end') },
    after: { event: after, edge, time: readStatedTime(packet, after, edge) },
    zoned: packet.declaration?.zone !== undefined,
  }
  const verdict = answer.answer === 'possible' ? judgePossible(pair) : answer.answer
  const [least, most] = answer.gapSeconds
  return {
    before,
    after,
    verdict,
    answer,
    data: {
      before: before.label,
      beforeFile: before.file,
      beforeTime: pair.before.time.printed ?? 'no time stated',
      after: after.label,
      afterFile: after.file,
      afterTime: pair.after.time.printed ?? 'no time stated',
      leastGapSeconds: Number.isFinite(least) ? least : null,
      mostGapSeconds: Number.isFinite(most) ? most : null,
      decides: answer.answer === 'certain' || answer.answer === 'impossible' ? '' : decidedBy(pair, answer),
    },
    evidence: distinctPlaces([...pair.before.time.evidence, ...pair.after.time.evidence]),
  }
}

interface TimedEdge {
  event: PacketEvent
  edge: Moment['edge']
  time: StatedTime
}

interface Pair {
  before: TimedEdge
  after: TimedEdge
  /** The packet declares the zone of clocks that print none. */
  zoned: boolean
}

function judgePossible({ before, after, zoned }: Pair): PrecedenceVerdict {
  const [first, second] = [before.time, after.time]
  const sameZone = first.offset === second.offset
  const comparable = sameZone || (zoned && (first.offset ?? second.offset) !== null)
  const isTimed = [first, second].every((time) => (time.local ?? '').length > 10)
  const lag = isTimed && comparable ? latestOf(after) - latestOf(before) : Number.NaN
  // A report's own date comes after all that it reports: two events of one report are not out of order by it.
  const sameReport = first.byRecord && before.event.file === after.event.file
  if (first.byRecord && !sameReport && lag <= -hourMilliseconds) return 'presumed-reversed'
  if (sameZone && !sameReport && isReversed(first.local, second.local)) return 'doubtful'
  if (second.byRecord && lag >= hourMilliseconds) return 'presumed'
  return isCoarse(before) || isCoarse(after) ? 'coarse' : 'doubtful'
}

function boundsOf({ event, edge }: TimedEdge): readonly [number, number] {
  const [from, to] = edge === 'start' ? [event.earliestStart, event.latestStart] : [event.earliestEnd, event.latestEnd]
  return [from === null ? Number.NaN : Date.parse(from), to === null ? Number.NaN : Date.parse(to)]
}

function latestOf(edge: TimedEdge): number {
  return boundsOf(edge)[1]
}

function isCoarse(edge: TimedEdge): boolean {
  if (edge.time.local === null || edge.time.local.length <= 10) return true
  const [from, to] = boundsOf(edge)
  return !(to - from <= hourMilliseconds)
}

/** As printed, as far as both are printed: `2026-03-12T14:10` beside `2026-03-12` is not reversed, beside `2026-03-11` it is. */
function isReversed(before: string | null, after: string | null): boolean {
  if (before === null || after === null) return false
  const length = Math.min(before.length, after.length)
  return before.slice(0, length) > after.slice(0, length)
}

/** What would settle an open order: what the packet's own dates lack, else what the timeline asks for. */
function decidedBy({ before, after }: Pair, answer: OrderAnswer): string {
  const wanted = [before, after].flatMap(({ event, time }) => {
    if (time.printed === null) return [`the time of ${event.label}`]
    if (time.local === null) return [`which figure of ${time.printed} is the day (${event.label})`]
    return time.local.length <= 10 ? [`the time of day of ${event.label}`] : []
  })
  if (wanted.length > 0) return wanted.join('; ')
  const asked = answer.because.filter(({ id }) => id.startsWith('would-decide'))
  const said = (asked.length > 0 ? asked : answer.because).map((statement) => statement.text)
  return said.length > 0 ? said.join('; ') : 'the offset between the clocks of the two files'
}

const ranks: Record<PrecedenceVerdict, number> = {
  certain: 0,
  presumed: 1,
  coarse: 2,
  unknown: 3,
  doubtful: 4,
  'presumed-reversed': 5,
  impossible: 6,
}

/** The one that supports its order best; null for an empty list. */
export function bestOf(list: readonly Precedence[]): Precedence | null {
  return list.reduce<Precedence | null>((best, next) => (best === null || isWorse(best, next) ? next : best), null)
}

/** The one that supports its order least, and among equals the closest pair; null for an empty list. */
export function worstOf<Judged extends Precedence>(list: readonly Judged[]): Judged | null {
  return list.reduce<Judged | null>((worst, next) => (worst === null || isWorse(next, worst) ? next : worst), null)
}

function isWorse(a: Precedence, b: Precedence): boolean {
  const ranked = ranks[a.verdict] - ranks[b.verdict]
  return ranked > 0 || (ranked === 0 && a.answer.gapSeconds[0] < b.answer.gapSeconds[0])
}
