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
import { minutesOfOffset } from '../facts/instant.ts'
import type { FilePlace } from '../facts/reading.ts'
import { type ClockErrors, type FaceBounds, type PacketClock, readFace } from './clocks.ts'
import type { EventDraft } from './events.ts'
import type { Moment, Statement } from './packet.ts'
import type { Constraint, Network } from './temporal-network.ts'
import type { TimeClaim } from './time-claims.ts'

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
  clockPoints: ReadonlyMap<string, { clock: PacketClock; utc: number | null; local: number | null }>
  faceOf(claim: TimeClaim): FaceBounds
  /** The statements that claims make, in the order given; with what is known of the unprinted zone if asked for. */
  describe(claims: readonly TimeClaim[], withZone: boolean): Statement[]
  /** Bounds on the offset of the zone-less clocks' zone, seconds east of UTC. */
  zoneSeconds: readonly [number, number]
  /** The offset that zone-less clocks are assumed to stand at, `+hh:mm`; null when they are not. */
  assumedOffset: string | null
}

const hour = 3600

/** The one offset that a clock prints where it prints one; null where it prints none or several. */
function ownOffsets(claims: readonly TimeClaim[]): Map<string, string> {
  const printed = new Map<string, Set<string>>()
  for (const { clock, reading } of claims)
    if (reading.offset !== null) printed.set(clock.id, (printed.get(clock.id) ?? new Set()).add(reading.offset))
  return new Map(
    [...printed].flatMap(([id, [first, ...others]]) => (first && others.length === 0 ? [[id, first]] : [])),
  )
}

/** Clocks are set forward and back in these months nearly everywhere; outside them one season has one offset. */
function seasonOf(local: string): string {
  const month = Number(local.slice(5, 7))
  if (month >= 5 && month <= 8) return `${local.slice(0, 4)} summer`
  if (month === 12 || month <= 2) return `${Number(local.slice(0, 4)) + (month === 12 ? 1 : 0)} winter`
  return local.slice(0, 10)
}

const seasons = (claims: readonly TimeClaim[]): Set<string> =>
  new Set(claims.map(({ reading }) => seasonOf(reading.local ?? reading.earliest)))

/** A claim that prints the only offset other than UTC in the packet, if there is one. */
function findShopOffset(claims: readonly TimeClaim[]): TimeClaim | null {
  const places = claims.filter(({ clock, reading }) => {
    const isDeclared = clock.kind === 'declaration' || clock.kind === 'receiver'
    return !isDeclared && reading.offset !== null && minutesOfOffset(reading.offset) !== 0
  })
  const [first] = places
  return first !== undefined && places.every(({ reading }) => reading.offset === first.reading.offset) ? first : null
}

const minutesText = (seconds: number): string => (seconds % 60 === 0 ? `${seconds / 60} min` : `${seconds} s`)

/** Builds the network. `trustShopZone`: let a printed offset stand for the clocks that print none. */
export function buildModel(
  events: readonly EventDraft[],
  options: TimelineOptions,
  trustShopZone: boolean,
): TimelineModel {
  const claims = events.flatMap((event) => event.claims)
  const own = ownOffsets(claims)
  const faces = new Map(
    claims.map((claim) => {
      const zone = options.zone ?? own.get(claim.clock.id) ?? null
      return [claim, readFace(claim.reading, zone)] as const
    }),
  )
  const faceOf = (claim: TimeClaim): FaceBounds => faces.get(claim) ?? readFace(claim.reading, options.zone)

  const constraints: Constraint[] = []
  const statements = new Map<string, ModelStatement>()
  const utc = 0
  const local = 1
  let points = 2
  const bound = (from: number, to: number, least: number, most: number, statement: string | null): void => {
    constraints.push({ from, to, least, most, statement })
  }
  const state = (id: string, kind: ModelStatement['kind'], text: string, evidence: Statement['evidence']): string => {
    if (!statements.has(id)) statements.set(id, { id, kind, text, evidence })
    return id
  }

  const clockPoints = new Map<string, { clock: PacketClock; utc: number | null; local: number | null }>()
  const originOf = (claim: TimeClaim, face: FaceBounds): number => {
    const frame = face.frame === 'utc' ? utc : local
    if (face.wholeDay) return frame
    const { clock } = claim
    const known = clockPoints.get(clock.id) ?? { clock, utc: null, local: null }
    clockPoints.set(clock.id, known)
    const existing = known[face.frame]
    if (existing !== null) return existing
    const point = points++
    known[face.frame] = point
    const error = options.clockErrors[clock.kind]
    const against =
      face.frame === 'utc' ? 'true time' : 'the time of the one zone that clocks without a zone are taken to share'
    const text = `The clock of ${clock.label} is taken to be within ${minutesText(error)} of ${against} (assumption)`
    bound(frame, point, error * -1000, error * 1000, state(`clock:${clock.id}:${face.frame}`, 'clock', text, []))
    return point
  }

  const moments = new Map<string, number>()
  const claimIds = new Map<TimeClaim, string>()
  for (const event of events) {
    const start = points++
    const end = points++
    moments.set(`${event.id}:start`, start)
    moments.set(`${event.id}:end`, end)
    bound(start, end, 0, Infinity, null)
    for (const [index, claim] of event.claims.entries()) {
      const face = faceOf(claim)
      const origin = originOf(claim, face)
      const id = state(`${event.id}:claim-${index + 1}`, claimKind(claim, face), claimText(claim, face), claim.evidence)
      claimIds.set(claim, id)
      const { first, last } = face
      const isMoment = claim.bounds === 'start' || claim.bounds === 'end'
      if (isMoment) bound(origin, claim.bounds === 'start' ? start : end, first, last, id)
      if (claim.bounds === 'whole' || claim.bounds === 'not-before') bound(origin, start, first, Infinity, id)
      if (claim.bounds === 'whole' || claim.bounds === 'ended-by') bound(origin, end, -Infinity, last, id)
    }
    for (const [index, duration] of event.durations.entries()) {
      const { least, most } = durationBounds(duration.seconds)
      const text = `${duration.file} says ${event.kind} "${event.label}" took ${minutesText(duration.seconds)}`
      bound(start, end, least, most, state(`${event.id}:duration-${index + 1}`, 'duration', text, duration.evidence))
    }
  }

  const zoneless = claims.filter((claim) => faceOf(claim).frame === 'local')
  const shop = trustShopZone && zoneless.length > 0 ? findShopOffset(claims) : null
  const zone = shop === null ? unknownZone : assumeShopZone(shop, claims, zoneless)
  const [west, east] = zone.seconds
  bound(utc, local, east * -1000, west * -1000, state('zone', zone.kind, zone.text, zone.evidence))

  const pointOf = ({ event, edge }: Moment): number => {
    const point = moments.get(`${event}:${edge}`)
    if (point === undefined) throw new RangeError(`the packet has no event "${event}"`)
    return point
  }
  const describe = (some: readonly TimeClaim[], withZone: boolean): Statement[] =>
    [...some.map((claim) => claimIds.get(claim) ?? ''), ...(withZone ? ['zone'] : [])].flatMap((id) => {
      const found = statements.get(id)
      return found === undefined ? [] : [{ id, text: found.text, evidence: found.evidence }]
    })
  return {
    network: { points, constraints },
    statements,
    utc,
    local,
    pointOf,
    clockPoints,
    faceOf,
    describe,
    zoneSeconds: zone.seconds,
    assumedOffset: shop?.reading.offset ?? null,
  }
}

interface ZoneKnowledge {
  kind: 'zone' | 'no-zone'
  /** Least and most seconds east of UTC. */
  seconds: readonly [number, number]
  text: string
  evidence: FilePlace[]
}

const unknownZone: ZoneKnowledge = {
  kind: 'no-zone',
  seconds: [-12 * hour, 14 * hour],
  text: 'The packet names no zone for the clocks that print none; zones in use run from -12:00 to +14:00',
  evidence: [],
}

function assumeShopZone(shop: TimeClaim, claims: readonly TimeClaim[], zoneless: readonly TimeClaim[]): ZoneKnowledge {
  const offset = shop.reading.offset ?? '+00:00'
  const sameOffset = claims.filter(({ reading }) => reading.offset === offset)
  const slack = seasons([...zoneless, ...sameOffset]).size === 1 ? 0 : hour
  const about = slack === 0 ? offset : `${offset}, or an hour off it across a change of summer time`
  const because = `as the clock of ${shop.clock.label} prints ("${shop.reading.text}") and no other contradicts`
  const east = (minutesOfOffset(offset) ?? 0) * 60
  return {
    kind: 'zone',
    seconds: [east - slack, east + slack],
    text: `The clocks that print no zone are taken to stand at ${about}, ${because} (assumption)`,
    evidence: shop.evidence,
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
