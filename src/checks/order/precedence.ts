/**
 * Whether one event ended before another began, as far as the packet can tell.
 *
 * The timeline answers certain, possible or impossible. A bare "possible" says too little to act on: it may come from
 * clocks that disagree by minutes, or merely from a report that prints no time of day. It is told apart here:
 * - `doubtful`: the times as printed contradict the order, or lie closer together than the clocks can be trusted;
 * - `coarse`: what is printed fits, but a missing time of day, zone or order of day and month leaves it open.
 */
import type { DateReading } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Moment, OrderAnswer, Packet, PacketEvent } from '../../packet/packet.ts'
import type { DataValue } from '../check.ts'
import { distinctPlaces, findDeclaredPlaces, findPlaces } from '../places.ts'

export type PrecedenceVerdict = 'certain' | 'coarse' | 'unknown' | 'doubtful' | 'impossible'

export interface Precedence {
  before: PacketEvent
  after: PacketEvent
  verdict: PrecedenceVerdict
  answer: OrderAnswer
  /** `before`, `after` with their files and printed times, the gap in seconds, and what would decide. */
  data: Record<string, DataValue>
  evidence: FilePlace[]
}

/** Uncertainty of an edge, in milliseconds, beyond which its reading and not its clock is what leaves an order open. */
const coarseMilliseconds = 3_600_000

/**
 * Did `before` end before `after` began? Where a file states only the end of `after`, `before` must at least precede
 * that end.
 */
export function judgePrecedence(packet: Packet, before: PacketEvent, after: PacketEvent): Precedence {
  const first: Moment = { event: before.id, edge: 'end' }
  const begins = readTime(packet, after, 'start')
  const edge = begins.printed === null && readTime(packet, after, 'end').printed !== null ? 'end' : 'start'
  const answer = packet.timeline.order(first, { event: after.id, edge })
  const times = [readTime(packet, before, 'end'), readTime(packet, after, edge)] as const
  const verdict = judge(answer, times, isCoarse(before, 'end', times[0]), isCoarse(after, edge, times[1]))
  const [least, most] = answer.gapSeconds
  return {
    before,
    after,
    verdict,
    answer,
    data: {
      before: before.label,
      beforeFile: before.file,
      beforeTime: times[0].printed ?? 'no time stated',
      after: after.label,
      afterFile: after.file,
      afterTime: times[1].printed ?? 'no time stated',
      leastGapSeconds: Number.isFinite(least) ? least : null,
      mostGapSeconds: Number.isFinite(most) ? most : null,
      decides: decidedBy(verdict, answer, [before, after], times),
    },
    evidence: distinctPlaces([...times[0].evidence, ...times[1].evidence]),
  }
}

function judge(
  answer: OrderAnswer,
  [before, after]: readonly [EdgeTime, EdgeTime],
  ...coarse: readonly boolean[]
): PrecedenceVerdict {
  if (answer.answer !== 'possible') return answer.answer
  if (before.offset === after.offset && isReversed(before.local, after.local)) return 'doubtful'
  return coarse.includes(true) ? 'coarse' : 'doubtful'
}

/** As printed, as far as both are printed: `2026-03-12T14:10` beside `2026-03-12` is not reversed, beside `2026-03-11` it is. */
function isReversed(before: string | null, after: string | null): boolean {
  if (before === null || after === null) return false
  const length = Math.min(before.length, after.length)
  return before.slice(0, length) > after.slice(0, length)
}

interface EdgeTime {
  /** As the file words it; null where it states no time for this edge. */
  printed: string | null
  /** Local reading, `YYYY-MM-DD` or `YYYY-MM-DDTHH:MM[:SS]`; null where day and month cannot be told apart. */
  local: string | null
  /** Offset from UTC as printed. */
  offset: string | null
  evidence: FilePlace[]
}

function isCoarse(event: PacketEvent, edge: Moment['edge'], time: EdgeTime): boolean {
  if (time.local === null || time.local.length <= 10) return true
  const [from, to] = edge === 'start' ? [event.earliestStart, event.latestStart] : [event.earliestEnd, event.latestEnd]
  return from === null || to === null || Date.parse(to) - Date.parse(from) > coarseMilliseconds
}

const noTime: EdgeTime = { printed: null, local: null, offset: null, evidence: [] }

/** What a file or the declaration states about one edge of an event, and where. */
export function readTime(packet: Packet, event: PacketEvent, edge: Moment['edge']): EdgeTime {
  const declared = event.document === null ? readDeclared(packet, event, edge) : readDocument(packet, event, edge)
  return declared.evidence.length > 0 ? declared : { ...declared, evidence: event.evidence }
}

function readDocument(packet: Packet, event: PacketEvent, edge: Moment['edge']): EdgeTime {
  const document = packet.documents[event.document ?? -1]
  if (document === undefined) return noTime
  const key = edge === 'start' ? 'started' : 'ended'
  const calibration = document.calibrations?.[event.calibration ?? -1]
  const candidates: [string, DateReading | null | undefined][] = []
  if (calibration !== undefined) candidates.push([`calibrations.${event.calibration}.${key}`, calibration[key]])
  if (event.kind === 'drive') candidates.push([`drive.${key}`, document.drive?.[key]])
  if (event.kind === 'alignment' && edge === 'end') candidates.push(['alignment.ended', document.alignment?.ended])
  if (event.kind === 'photo') candidates.push(['photo.taken', document.photo?.taken])
  if (event.kind === 'clearing' || event.kind === 'repair' || event.kind === 'release')
    candidates.push(...readStatements(packet, event))
  // A document's own date stands for what it reports only where the report states no times of its own.
  const stated = calibration?.started ?? calibration?.ended ?? (event.kind === 'drive' ? document.drive?.started : null)
  if (!stated) candidates.push(['date', document.date])
  const found = candidates.find(([, reading]) => reading !== undefined && reading !== null)
  if (found === undefined) return noTime
  const [path, reading] = found
  return {
    printed: reading?.text ?? null,
    local: reading?.local ?? null,
    offset: reading?.offset ?? null,
    evidence: findPlaces(document, path),
  }
}

const statedKinds = { clearing: 'codes-cleared', repair: 'repaired', release: 'released' } as const

function readStatements(packet: Packet, event: PacketEvent): [string, DateReading | undefined][] {
  const document = packet.documents[event.document ?? -1]
  const about = statedKinds[event.kind as keyof typeof statedKinds]
  const statements = document?.statements ?? []
  const spoken = event.evidence.map((place) => place.text)
  const own = statements.findIndex((statement) => statement.about === about && spoken.includes(statement.text))
  const index = own >= 0 ? own : statements.findIndex((statement) => statement.about === about)
  return index < 0 ? [] : [[`statements.${index}`, statements[index]?.date]]
}

function readDeclared(packet: Packet, event: PacketEvent, edge: Moment['edge']): EdgeTime {
  const { declaration } = packet
  const key = edge === 'start' ? 'started' : 'ended'
  const index = (declaration?.repairs ?? []).findIndex((repair) => repair.what === event.label)
  const path = event.kind === 'repair' ? `repairs.${index}.${key}` : event.kind
  const value =
    event.kind === 'repair'
      ? declaration?.repairs?.[index]?.[key]
      : event.kind === 'intake' || event.kind === 'release'
        ? declaration?.[event.kind]
        : undefined
  if (value === undefined) return noTime
  const local = /^\d{4}-\d\d-\d\d(?:T\d\d:\d\d(?::\d\d)?)?/.exec(value)?.[0] ?? null
  const offset = value.slice(local?.length ?? 0) || null
  return { printed: value, local, offset, evidence: findDeclaredPlaces(packet, path, value) }
}

function decidedBy(
  verdict: PrecedenceVerdict,
  answer: OrderAnswer,
  events: readonly [PacketEvent, PacketEvent],
  times: readonly [EdgeTime, EdgeTime],
): string {
  if (verdict === 'certain' || verdict === 'impossible') return ''
  const wanted = times.flatMap((time, index) => {
    const name = events[index]?.label ?? ''
    if (time.printed === null) return [`the time of ${name}`]
    if (time.local === null) return [`which figure is the day in ${time.printed} (${name})`]
    return time.local.length <= 10 ? [`the time of day of ${name}`] : []
  })
  if (wanted.length > 0) return wanted.join('; ')
  const said = answer.because.map((statement) => statement.text)
  return said.length > 0 ? said.join('; ') : 'the offset between the clocks of the two files'
}

const ranks: Record<PrecedenceVerdict, number> = { certain: 0, coarse: 1, unknown: 2, doubtful: 3, impossible: 4 }

/** The one that supports its order best; null for an empty list. */
export function bestOf(list: readonly Precedence[]): Precedence | null {
  return list.reduce<Precedence | null>((best, next) => (best === null || isWorse(best, next) ? next : best), null)
}

/** The one that supports its order least, and among equals the closest pair; null for an empty list. */
export function worstOf(list: readonly Precedence[]): Precedence | null {
  return list.reduce<Precedence | null>((worst, next) => (worst === null || isWorse(next, worst) ? next : worst), null)
}

function isWorse(a: Precedence, b: Precedence): boolean {
  const ranked = ranks[a.verdict] - ranks[b.verdict]
  return ranked > 0 || (ranked === 0 && a.answer.gapSeconds[0] < b.answer.gapSeconds[0])
}
