/**
 * The temporal network of a packet, and the statement that each of its constraints rests on.
 *
 * Points, in milliseconds: the start and end of each event; `utc`, the moment at which UTC shows 1970-01-01T00:00;
 * `local`, the moment at which the unknown zone of clocks that print none shows it; and for each clock the moments at
 * which that clock shows it, read in UTC and read in the local zone. A reading `r` on a clock then is the difference
 * `event - clock = r`, so that two readings of one clock share its error exactly.
 *
 * In the network: readings, stated durations, what follows by definition, and assumptions, each a statement. Not in it:
 * the orders that the trade requires (they are what the checks test), and the date of a document that states the end of
 * its event (a report may be dated wrongly without its times being untrue).
 *
 * One unknown zone: its offset is one number, so across a change to or from summer time local differences are an hour
 * off; orders of days are not touched by that.
 */
import { type ClockErrors, type FaceBounds, type PacketClock, readFace } from './clocks.ts'
import type { EventDraft } from './events.ts'
import type { Moment, Statement } from './packet.ts'
import type { Constraint, Network } from './temporal-network.ts'
import type { TimeClaim } from './time-claims.ts'
import { findOwnOffsets, learnZone } from './zone-knowledge.ts'

export interface TimelineOptions {
  clockErrors: ClockErrors
  /** IANA name that the packet declares for clocks that print no zone. */
  zone: string | null
}

/** What kind of statement, for telling what would decide an order that it leaves open. */
export interface ModelStatement extends Statement {
  kind: 'reading' | 'day' | 'duration' | 'clock' | 'zone' | 'no-zone' | 'assumption'
}

export interface TimelineModel {
  network: Network
  statements: ReadonlyMap<string, ModelStatement>
  utc: number
  local: number
  pointOf(moment: Moment): number
  /** The points of a clock, where readings need them. */
  clockPoints: ReadonlyMap<string, { utc: number | null; local: number | null }>
  faceOf(claim: TimeClaim): FaceBounds
  /** The statements that claims make, in the order given; with what is known of the unprinted zone if asked for. */
  describe(claims: readonly TimeClaim[], withZone: boolean): Statement[]
  /** Bounds on the offset of the zone-less clocks' zone, seconds east of UTC. */
  zoneSeconds: readonly [number, number]
  /** The offset that zone-less clocks are assumed to stand at, `+hh:mm`; null when they are not. */
  assumedOffset: string | null
}

const minutesText = (seconds: number): string => (seconds % 60 === 0 ? `${seconds / 60} min` : `${seconds} s`)

/** A network in the making: points are numbered as they are added, statements kept by id. */
interface NetworkDraft {
  points: number
  constraints: Constraint[]
  statements: Map<string, ModelStatement>
}

function bound(
  draft: NetworkDraft,
  from: number,
  to: number,
  least: number,
  most: number,
  by: ModelStatement | null,
): void {
  if (by !== null && !draft.statements.has(by.id)) draft.statements.set(by.id, by)
  draft.constraints.push({ from, to, least, most, statement: by?.id ?? null })
}

const utcPoint = 0
const localPoint = 1

type ClockPoints = Map<string, { utc: number | null; local: number | null }>

/** The point that a clock's readings are counted from; added, with the bound on the clock's error, when first needed. */
function clockPoint(
  draft: NetworkDraft,
  known: ClockPoints,
  clock: PacketClock,
  frame: FaceBounds['frame'],
  error: number,
): number {
  const points = known.get(clock.id) ?? { utc: null, local: null }
  known.set(clock.id, points)
  const existing = points[frame]
  if (existing !== null) return existing
  const point = draft.points++
  points[frame] = point
  const against =
    frame === 'utc' ? 'true time' : 'the time of the one zone that clocks without a zone are taken to share'
  const text = `The clock of ${clock.label} is taken to be within ${minutesText(error)} of ${against} (assumption)`
  const statement: ModelStatement = { id: `clock:${clock.id}:${frame}`, kind: 'clock', text, evidence: [] }
  bound(draft, frame === 'utc' ? utcPoint : localPoint, point, error * -1000, error * 1000, statement)
  return point
}

interface Span {
  start: number
  end: number
}

function addEvent(draft: NetworkDraft): Span {
  const start = draft.points++
  const end = draft.points++
  bound(draft, start, end, 0, Infinity, null)
  return { start, end }
}

function addDurations(draft: NetworkDraft, event: EventDraft, { start, end }: Span): void {
  for (const [index, { seconds, file, evidence }] of event.durations.entries()) {
    const { least, most } = durationBounds(seconds)
    const text = `${file} says ${event.kind} "${event.label}" took ${minutesText(seconds)}`
    bound(draft, start, end, least, most, { id: `${event.id}:duration-${index + 1}`, kind: 'duration', text, evidence })
  }
}

function addClaim(
  draft: NetworkDraft,
  { bounds }: TimeClaim,
  { first, last }: FaceBounds,
  origin: number,
  { start, end }: Span,
  statement: ModelStatement,
): void {
  if (bounds === 'start') bound(draft, origin, start, first, last, statement)
  if (bounds === 'end') bound(draft, origin, end, first, last, statement)
  if (bounds === 'whole' || bounds === 'not-before') bound(draft, origin, start, first, Infinity, statement)
  if (bounds === 'whole' || bounds === 'ended-by') bound(draft, origin, end, -Infinity, last, statement)
}

const plain = ({ id, text, evidence }: ModelStatement): Statement => ({ id, text, evidence })

/** Builds the network. `trustShopZone`: let a printed offset stand for the clocks that print none. */
export function buildModel(
  events: readonly EventDraft[],
  options: TimelineOptions,
  trustShopZone: boolean,
): TimelineModel {
  const claims = events.flatMap((event) => event.claims)
  const own = findOwnOffsets(claims)
  const readClaim = ({ reading, clock }: TimeClaim): FaceBounds => {
    const elsewhere = own.get(clock.id)
    if (options.zone !== null || elsewhere === undefined)
      return readFace(reading, options.zone, `zone ${reading.zone ?? options.zone} as declared`)
    return readFace(reading, elsewhere, `no zone printed; taken as ${elsewhere}, as this clock prints elsewhere`)
  }
  const faces = new Map(claims.map((claim) => [claim, readClaim(claim)]))
  const faceOf = (claim: TimeClaim): FaceBounds => faces.get(claim) ?? readClaim(claim)

  const draft: NetworkDraft = { points: 2, constraints: [], statements: new Map() }
  const clockPoints: ClockPoints = new Map()
  const eventPoints = new Map<string, Span>()
  const said = new Map<TimeClaim, ModelStatement>()
  for (const event of events) {
    const points = addEvent(draft)
    eventPoints.set(event.id, points)
    for (const [index, claim] of event.claims.entries()) {
      const face = faceOf(claim)
      const { clock } = claim
      const frame = face.frame === 'utc' ? utcPoint : localPoint
      const error = options.clockErrors[clock.kind]
      const origin = face.wholeDay ? frame : clockPoint(draft, clockPoints, clock, face.frame, error)
      const id = `${event.id}:claim-${index + 1}`
      const kind = claimKind(claim, face)
      const statement: ModelStatement = { id, kind, text: claimText(claim, face), evidence: claim.evidence }
      said.set(claim, statement)
      addClaim(draft, claim, face, origin, points, statement)
    }
    addDurations(draft, event, points)
  }
  const zoneless = claims.filter((claim) => faceOf(claim).frame === 'local')
  const { kind, text, evidence, seconds, offset } = learnZone(claims, zoneless, trustShopZone)
  const [west, east] = seconds
  const zoneStatement: ModelStatement = { id: 'zone', kind, text, evidence }
  bound(draft, utcPoint, localPoint, east * -1000, west * -1000, zoneStatement)

  return {
    network: { points: draft.points, constraints: draft.constraints },
    statements: draft.statements,
    utc: utcPoint,
    local: localPoint,
    pointOf({ event, edge }) {
      const points = eventPoints.get(event)
      if (points === undefined) throw new RangeError(`the packet has no event "${event}"`)
      return points[edge]
    },
    clockPoints,
    faceOf,
    describe: (some, withZone) => [
      ...some.flatMap((claim) => said.get(claim) ?? []).map(plain),
      ...(withZone ? [plain(zoneStatement)] : []),
    ],
    zoneSeconds: seconds,
    assumedOffset: offset,
  }
}

function claimKind(claim: TimeClaim, face: FaceBounds): ModelStatement['kind'] {
  if (claim.assumed) return 'assumption'
  return face.wholeDay ? 'day' : 'reading'
}

function claimText(claim: TimeClaim, face: FaceBounds): string {
  if (claim.assumed) return claim.says
  const file = claim.evidence[0]?.file ?? claim.clock.label
  const notes = [
    claim.clock.kind === 'declaration' ? '' : `clock of ${claim.clock.label}`,
    face.wholeDay ? 'no time of day' : '',
    face.wholeDay && face.frame === 'local' ? '' : face.zoneNote,
  ].filter((note) => note !== '')
  const text = `${file} ${claim.says.replace('{time}', claim.reading.text)}`
  return notes.length === 0 ? text : `${text} (${notes.join('; ')})`
}

/**
 * How far apart start and end may lie, in milliseconds, when a duration is stated. Shorter than stated only by rounding: a
 * minute where whole minutes are stated, else two seconds. Longer by two minutes or a fifth, because a procedure that
 * waits at a traffic light need not count the wait (common practice, no source).
 */
export function durationBounds(seconds: number): { least: number; most: number } {
  const rounding = seconds % 60 === 0 ? 60 : 2
  return {
    least: Math.max(0, Math.floor((seconds - rounding) * 1000)),
    most: Math.ceil((seconds + Math.max(120, seconds / 5)) * 1000),
  }
}
