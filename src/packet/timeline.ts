/** Answers about when things happened, each with the fewest statements that it rests on. */
import { formatInstant } from '../facts/instant.ts'
import type { EventDraft } from './events.ts'
import { impliedOffsets } from './implied-offsets.ts'
import { traceChain } from './order-chain.ts'
import type { Clock, Moment, OrderAnswer, OrderChain, PacketEvent, Statement, Timeline } from './packet.ts'
import {
  findConflict,
  type Network,
  type ProveAtMost,
  prepareProofs,
  type TightBounds,
  tightenBounds,
} from './temporal-network.ts'
import { buildModel, type TimelineModel, type TimelineOptions } from './timeline-model.ts'

/** One consistent reading of the packet: everything, or everything but what a contradiction makes doubtful. */
interface World {
  network: Network
  bounds: TightBounds
}

/** More ways out of a contradiction than this are not told apart: then nothing that is part of one is relied on. */
const mostWorlds = 30

const without = (network: Network, dropped: ReadonlySet<string>): Network => ({
  points: network.points,
  constraints: network.constraints.filter((each) => each.statement === null || !dropped.has(each.statement)),
})

/** Contradictions that share no statement, one after the other until none is left. */
function listConflicts(network: Network): string[][] {
  const conflicts: string[][] = []
  for (;;) {
    const conflict = findConflict(without(network, new Set(conflicts.flat())))
    if (conflict === null) return conflicts
    conflicts.push(conflict)
  }
}

/** The worlds left by dropping as little as possible: one when all statements can be true. */
function listWorlds(network: Network): World[] {
  const conflicts = listConflicts(network)
  const onlyUndoubted = (): World[] => [asWorld(without(network, new Set(conflicts.flat())))]
  if (conflicts.reduce((ways, { length }) => ways * length, 1) > mostWorlds) return onlyUndoubted()
  const found = new Map<string, ReadonlySet<string>>()
  const seen = new Set<string>()
  let dropped: ReadonlySet<string>[] = [new Set()]
  while (dropped.length > 0) {
    const next: ReadonlySet<string>[] = []
    for (const drop of dropped) {
      const conflict = findConflict(without(network, drop))
      if (conflict === null) found.set([...drop].toSorted().join('\n'), drop)
      for (const statement of conflict ?? []) {
        const wider = new Set([...drop, statement])
        const key = [...wider].toSorted().join('\n')
        if (!seen.has(key)) next.push(wider)
        seen.add(key)
      }
    }
    dropped = next
    if (found.size + dropped.length > mostWorlds) return onlyUndoubted()
  }
  const sets = [...found.values()]
  const least = sets.filter((set) => !sets.some((other) => other !== set && other.isSubsetOf(set)))
  return least.map((drop) => asWorld(without(network, drop)))
}

function asWorld(network: Network): World {
  const bounds = tightenBounds(network)
  if (bounds === null) throw new Error('timeline: a world is inconsistent')
  return { network, bounds }
}

/** Prefers the reading in which zone-less clocks share a printed offset, unless that very assumption is contradicted. */
function chooseModel(events: readonly EventDraft[], options: TimelineOptions): TimelineModel {
  const trusting = buildModel(events, options, true)
  if (trusting.assumedOffset === null) return trusting
  const doubting = buildModel(events, options, false)
  const contradicts = findConflict(trusting.network) !== null && findConflict(doubting.network) === null
  return contradicts ? doubting : trusting
}

/** What is still missing for an order that the statements leave open. */
function tellWhatDecides(
  model: TimelineModel,
  events: readonly EventDraft[],
  moments: readonly Moment[],
  used: ReadonlySet<string>,
  gap: readonly [number, number],
  contradicted: boolean,
): Statement[] {
  const texts = new Set<string>()
  if (contradicted) texts.add('It has to be settled first which of the contradictory times is true')
  const kinds = [...used].map((id) => model.statements.get(id))
  if (!gap.every(Number.isFinite))
    for (const { event, edge } of moments) {
      const draft = events.find((each) => each.id === event)
      const isStated = draft?.claims.some(({ bounds }) => bounds === 'whole' || bounds === edge)
      if (draft && !isStated)
        texts.add(
          `Nothing in the packet says when ${draft.kind} "${draft.label}" (${draft.file}) ${edge === 'start' ? 'began' : 'ended'}`,
        )
    }
  for (const statement of kinds) {
    if (statement?.kind === 'day') texts.add(`A time of day would help to decide it: ${statement.text}`)
    if (statement?.kind === 'no-zone')
      texts.add('The zone of the clocks that print none would help to decide it (zone: in packet.yaml)')
  }
  const clocks = kinds.filter((each) => each?.kind === 'clock')
  if (texts.size === 0 && clocks.length > 0)
    texts.add('How far these clocks run ahead would help to decide it: note what each shows at one moment')
  if (texts.size === 0) texts.add('Times printed to the second would help to decide it')
  return [...texts].map((text, index) => ({ id: `would-decide-${index + 1}`, text, evidence: [] }))
}

/** Makes a value when it is first asked for: a proof takes far longer than bounds, and most who ask want bounds alone. */
function once<Value>(make: () => Value): () => Value {
  let made: { value: Value } | undefined
  return () => {
    made ??= { value: make() }
    return made.value
  }
}

/** RFC 3339 writes the years 0000 to 9999; a garbled date at their edge must not break the rest. */
const firstSecond = -62_167_219_200
const lastSecond = 253_402_300_799

const writeSecond = (seconds: number): string | null =>
  Number.isFinite(seconds) ? formatInstant(Math.min(lastSecond, Math.max(firstSecond, seconds))) : null
const floorSecond = (milliseconds: number): string | null => writeSecond(Math.floor(milliseconds / 1000))
const ceilSecond = (milliseconds: number): string | null => writeSecond(Math.ceil(milliseconds / 1000))

/** The widest bounds over all worlds. */
const hullOf = (worlds: readonly World[], from: number, to: number): readonly [number, number] => {
  const each = worlds.map(({ bounds }) => bounds(from, to))
  return [Math.min(...each.map(([least]) => least)), Math.max(...each.map(([, most]) => most))]
}

/**
 * The timeline of a packet's events, and the events with the bounds that the whole packet sets on them.
 *
 * When some statements cannot all be true, `conflict` has the fewest of them, and every answer is the one that holds
 * whichever of them is dropped: `certain` or `impossible` only if it is so in every case.
 */
export function buildTimeline(
  events: readonly EventDraft[],
  options: TimelineOptions,
): { timeline: Timeline; events: PacketEvent[] } {
  const model = chooseModel(events, options)
  const toStatements = (ids: readonly string[]): Statement[] =>
    ids.flatMap((id) => {
      const found = model.statements.get(id)
      return found === undefined ? [] : [{ id, text: found.text, evidence: found.evidence }]
    })
  const conflict = findConflict(model.network)
  const worlds = listWorlds(model.network)
  const [first] = worlds
  const hasNoTime = (point: number): boolean => !hullOf(worlds, model.utc, point).some(Number.isFinite)

  let prepared: ProveAtMost | undefined
  const proofs = (): ProveAtMost | undefined => {
    prepared ??= first && prepareProofs(first.network)
    return prepared
  }

  const explain = (proof: readonly string[], later: Moment, earlier: Moment): OrderChain | null =>
    first === undefined ? null : traceChain(first.network, model, new Set(proof), later, earlier)

  const order = (before: Moment, after: Moment): OrderAnswer => {
    const from = model.pointOf(before)
    const to = model.pointOf(after)
    const [least, most] = hullOf(worlds, from, to)
    const gapSeconds = [least / 1000, most / 1000] as const
    const prove = (start: number, end: number, bound: number): string[] =>
      Number.isFinite(bound) ? (proofs()?.(start, end, bound) ?? []) : []
    const settled = (answer: 'certain' | 'impossible', ends: readonly [Moment, Moment], bound: number): OrderAnswer => {
      const proof = once(() => prove(model.pointOf(ends[0]), model.pointOf(ends[1]), bound))
      const because = once(() => toStatements(proof()))
      return {
        answer,
        get because() {
          return because()
        },
        gapSeconds,
        explain: () => explain(proof(), ...ends),
      }
    }
    if (least >= 0) return settled('certain', [after, before], 0)
    if (most < 0) return settled('impossible', [before, after], -1)
    const because = once(() => {
      const used = new Set([...prove(to, from, -least), ...prove(from, to, most)])
      const missing = tellWhatDecides(model, events, [before, after], used, gapSeconds, conflict !== null)
      return [...toStatements([...used]), ...missing]
    })
    return {
      answer: hasNoTime(from) || hasNoTime(to) ? 'unknown' : 'possible',
      get because() {
        return because()
      },
      gapSeconds,
    }
  }

  const timeline: Timeline = {
    order,
    conflict: conflict === null ? null : toStatements(conflict),
    clocks: listClocks(model, events, options, worlds),
  }
  return { timeline, events: events.map((event) => placeEvent(event, model, worlds)) }
}

function placeEvent(event: EventDraft, model: TimelineModel, worlds: readonly World[]): PacketEvent {
  const [startLeast, startMost] = hullOf(worlds, model.utc, model.pointOf({ event: event.id, edge: 'start' }))
  const [endLeast, endMost] = hullOf(worlds, model.utc, model.pointOf({ event: event.id, edge: 'end' }))
  const { claims, durations: _, ...rest } = event
  return {
    ...rest,
    clock: claims[0]?.clock.id ?? null,
    earliestStart: floorSecond(startLeast),
    latestStart: ceilSecond(startMost),
    earliestEnd: floorSecond(endLeast),
    latestEnd: ceilSecond(endMost),
  }
}

function listClocks(
  model: TimelineModel,
  events: readonly EventDraft[],
  options: TimelineOptions,
  worlds: readonly World[],
): Clock[] {
  const claims = events.flatMap((event) => event.claims)
  const ids = [...new Set(claims.map((claim) => claim.clock.id))].toSorted()
  const implied = impliedOffsets(events, model)
  return ids.flatMap((id): Clock[] => {
    const own = claims.filter((claim) => claim.clock.id === id)
    const clock = own[0]?.clock
    if (clock === undefined) return []
    const offsets = new Set(own.flatMap(({ reading }) => reading.offset ?? []))
    const [offset] = offsets
    const printed = offsets.size === 1 ? (offset ?? null) : null
    const zoneless = own.some((claim) => model.faceOf(claim).frame === 'local')
    const zone = printed ?? options.zone ?? own[0]?.reading.zone ?? (zoneless ? model.assumedOffset : null)
    const points = model.clockPoints.get(id)
    const error = options.clockErrors[clock.kind]
    const frames = [
      ...(points?.utc == null ? [] : [hullOf(worlds, model.utc, points.utc)]),
      ...(points?.local == null ? [] : [hullOf(worlds, model.local, points.local)]),
    ]
    // A clock that runs ahead shows 1970 early.
    const least = Math.max(...frames.map(([, most]) => -most / 1000), -error)
    const most = Math.min(...frames.map(([earliest]) => -earliest / 1000), error)
    const aheadSeconds =
      frames.length > 0 && least <= most ? ([least + 0, most + 0] as const) : ([-error, error] as const)
    const files = [...new Set(own.flatMap((claim) => claim.evidence[0]?.file ?? []))].toSorted()
    return [{ id, label: clock.label, zone, aheadSeconds, implied: implied.get(id) ?? [], files }]
  })
}
