/** Packets for tests of checks: documents with sensible defaults, events with stated bounds, a timeline that reads those bounds. */
import type { DateReading, DocumentFacts, DocumentKind } from '../../src/facts/document.ts'
import type { Place } from '../../src/facts/reading.ts'
import type {
  Declaration,
  EventKind,
  Moment,
  OrderAnswer,
  Packet,
  PacketEvent,
  Statement,
  Timeline,
} from '../../src/packet/packet.ts'

/** An invented vehicle's number: a made-up maker, a check digit that holds (weighted sum 276, 276 mod 11 = 1), year code N. */
export const vin = '1ZZTE5T11NB000421'

/** A place on page 1 whose box is of no interest. */
export function makePlace(text: string, page = 1): Place {
  return { page, box: [10, 10, 110, 22], text }
}

/**
 * A file's facts. Unless said otherwise: a PDF told by its heading, without problems. `vin: undefined` leaves the number
 * out. Evidence is made for `vin`, `date` and `odometer` where they are given, and for nothing else.
 */
export function makeDocument(kind: DocumentKind, file: string, rest: Partial<DocumentFacts> = {}): DocumentFacts {
  const facts: DocumentFacts = {
    file,
    sha256: '0'.repeat(64),
    bytes: 1000,
    media: 'application/pdf',
    kind,
    kindFrom: 'heading',
    vin,
    pages: 1,
    problems: [],
    evidence: {},
    ...rest,
  }
  for (const key of Object.keys(facts) as (keyof DocumentFacts)[]) {
    if (facts[key] === undefined) delete facts[key]
  }
  const evidence: Record<string, Place[]> = {}
  if (facts.vin !== undefined) evidence.vin = [makePlace(`VIN ${facts.vin}`)]
  if (facts.date) evidence.date = [makePlace(facts.date.text)]
  if (facts.odometer) evidence.odometer = [makePlace(`${facts.odometer.value} ${facts.odometer.unit ?? ''}`.trim())]
  return { ...facts, evidence: { ...evidence, ...facts.evidence } }
}

/**
 * A date as printed, `YYYY-MM-DD` or `YYYY-MM-DDTHH:MM[:SS]`, optionally with `Z` or `±hh:mm`. Without an offset the
 * bounds reach over all zones (UTC-12 to UTC+14).
 */
export function makeDate(text: string): DateReading {
  const found = /^(\d{4}-\d\d-\d\d)(?:T(\d\d:\d\d)(:\d\d)?)?(Z|[+-]\d\d:\d\d)?$/.exec(text)
  if (found === null) throw new Error(`not a date for tests: ${text}`)
  const [, day, minute, second, zone] = found
  const local = minute === undefined ? `${day}` : `${day}T${minute}${second ?? ''}`
  const offset = zone === 'Z' ? '+00:00' : (zone ?? null)
  const length = minute === undefined ? 86_399 : second === undefined ? 59 : 0
  const first = Date.parse(`${day}T${minute ?? '00:00'}${second ?? ':00'}${offset ?? 'Z'}`)
  const slack = offset === null ? [14 * 3600, 12 * 3600] : [0, 0]
  return {
    text,
    local,
    offset,
    earliest: formatInstant(first - (slack[0] ?? 0) * 1000),
    latest: formatInstant(first + (length + (slack[1] ?? 0)) * 1000),
  }
}

function formatInstant(milliseconds: number): string {
  return new Date(milliseconds).toISOString().replace('.000Z', 'Z')
}

/** Bounds of one edge of an event: an instant, a pair of instants, or null for "nothing bounds it". RFC 3339, UTC. */
export type Bounds = string | readonly [string | null, string | null] | null

/**
 * An event. The kind is the id without its number (`post-scan-1`). `end` defaults to `start`.
 * Give `document` where the check looks the file up by its index.
 */
export function makeEvent(
  id: string,
  start: Bounds,
  end: Bounds = start,
  rest: Partial<PacketEvent> = {},
): PacketEvent {
  const [earliestStart, latestStart] = boundsOf(start)
  const [earliestEnd, latestEnd] = boundsOf(end)
  return {
    id,
    kind: id.replace(/-\d+$/, '') as EventKind,
    file: 'packet.yaml',
    document: null,
    label: id,
    clock: start === null && end === null ? null : 'shop',
    earliestStart,
    latestStart,
    earliestEnd,
    latestEnd,
    evidence: [],
    ...rest,
  }
}

function boundsOf(bounds: Bounds): readonly [string | null, string | null] {
  if (bounds === null) return [null, null]
  return typeof bounds === 'string' ? [bounds, bounds] : bounds
}

/** A timeline that knows nothing but the events' own bounds. Pass `conflict` and `clocks` where a check reads them. */
export function makeTimeline(
  events: readonly PacketEvent[],
  rest: Partial<Pick<Timeline, 'conflict' | 'clocks'>> = {},
): Timeline {
  const find = (moment: Moment): { from: number; to: number; statement: Statement } => {
    const event = events.find((candidate) => candidate.id === moment.event)
    if (event === undefined) throw new Error(`no event ${moment.event}`)
    const [from, to] =
      moment.edge === 'start' ? [event.earliestStart, event.latestStart] : [event.earliestEnd, event.latestEnd]
    return {
      from: from === null ? Number.NEGATIVE_INFINITY : Date.parse(from) / 1000,
      to: to === null ? Number.POSITIVE_INFINITY : Date.parse(to) / 1000,
      statement: {
        id: `${moment.event}.${moment.edge}`,
        text: `${event.label}: ${moment.edge} between ${from} and ${to}`,
        evidence: event.evidence,
      },
    }
  }
  return {
    conflict: null,
    clocks: [],
    ...rest,
    order(before, after): OrderAnswer {
      const first = find(before)
      const second = find(after)
      const gapSeconds = [second.from - first.to, second.to - first.from] as const
      const because = [first.statement, second.statement]
      const bounded = [first, second].every((edge) => Number.isFinite(edge.from) || Number.isFinite(edge.to))
      if (!bounded) return { answer: 'unknown', because, gapSeconds }
      if (gapSeconds[0] >= 0) return { answer: 'certain', because, gapSeconds }
      return { answer: gapSeconds[1] < 0 ? 'impossible' : 'possible', because, gapSeconds }
    },
  }
}

/** What `makePacket` takes beside the documents. */
export interface PacketParts {
  events?: PacketEvent[]
  declaration?: Partial<Declaration> | null
  timeline?: Timeline
  reviewed?: string
  vehicle?: Packet['vehicle']
  content?: Packet['content']
  seal?: Packet['seal']
}

/** A packet. Documents are sorted by file, as a real packet's are; an event finds its document by its file. */
export function makePacket(documents: DocumentFacts[], parts: PacketParts = {}): Packet {
  const sorted = [...documents].sort((a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0))
  const events = (parts.events ?? []).map((event) => {
    if (event.document !== null) return event
    const index = sorted.findIndex((document) => document.file === event.file)
    return { ...event, document: index < 0 ? null : index }
  })
  return {
    name: 'test packet',
    digest: `sha256:${'0'.repeat(64)}`,
    reviewed: parts.reviewed ?? '2026-10-30',
    declaration: parts.declaration ? { places: {}, ...parts.declaration } : null,
    documents: sorted,
    content: parts.content ?? {},
    events,
    timeline: parts.timeline ?? makeTimeline(events),
    vehicle: parts.vehicle ?? { vin },
    seal: parts.seal ?? null,
  }
}
