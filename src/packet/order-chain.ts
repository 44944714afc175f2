/** The way from statements about clocks and readings to "this was later than that", step by step, for a person to follow. */
import { formatInstant } from '../facts/instant.ts'
import type { ChainStep, Moment, OrderChain } from './packet.ts'
import { findPath, type Network, type PathEdge } from './temporal-network.ts'
import type { TimelineModel } from './timeline-model.ts'

/**
 * Traces why `later` is at or after `earlier`, relying on `statements` alone; null when they do not lead there.
 *
 * The path of bounds from the later moment to the earlier one passes a point that times are counted from: UTC, the zone of
 * clocks that print none, or one clock. What stands before it bounds the later moment from below, what stands behind it
 * bounds the earlier one from above.
 */
export function traceChain(
  network: Network,
  model: TimelineModel,
  statements: ReadonlySet<string>,
  later: Moment,
  earlier: Moment,
): OrderChain | null {
  const path = findPath(network, statements, model.pointOf(later), model.pointOf(earlier))
  if (path === null || path.length === 0) return null
  const pivot = findPivot(path, model)
  const [before, behind] = pivot === null ? [path, []] : [path.slice(0, pivot.at), path.slice(pivot.at)]
  const isCounted = pivot !== null
  const total = path.reduce((sum, { weight }) => sum + weight, 0)
  return {
    later,
    earlier,
    frame: pivot?.frame ?? 'utc',
    steps: [
      ...describeSteps(before, model, later, 'no-earlier', isCounted),
      ...describeSteps(behind.toReversed(), model, earlier, 'no-later', isCounted),
    ],
    gapSeconds: -total / 1000,
  }
}

/** The point on the path that times are counted from: how many edges lead to it, and in which frame it counts. */
function findPivot(path: readonly PathEdge[], model: TimelineModel): { at: number; frame: 'utc' | 'local' } | null {
  const frames = new Map<number, 'utc' | 'local'>([
    [model.utc, 'utc'],
    [model.local, 'local'],
  ])
  const passed = path.slice(0, -1).map(({ to }) => to)
  for (const [point, frame] of frames) {
    const at = passed.indexOf(point)
    if (at >= 0) return { at: at + 1, frame }
  }
  for (const { utc, local } of model.clockPoints.values()) {
    const at = passed.findIndex((point) => point === utc || point === local)
    if (at >= 0) return { at: at + 1, frame: passed[at] === utc ? 'utc' : 'local' }
  }
  return null
}

function describeSteps(
  edges: readonly PathEdge[],
  model: TimelineModel,
  moment: Moment,
  side: ChainStep['side'],
  isCounted: boolean,
): ChainStep[] {
  let sum = 0
  return edges.flatMap(({ weight, statement }): ChainStep[] => {
    sum += weight
    const found = statement === null ? undefined : model.statements.get(statement)
    if (found === undefined) return []
    const { id, text, evidence } = found
    const time = isCounted ? formatBound(side === 'no-earlier' ? -sum : sum, side) : null
    return [{ moment, side, statement: { id, text, evidence }, time }]
  })
}

/** Whole seconds, rounded to the safe side. A bound that is no time of this century's calendar is an offset, not a time. */
function formatBound(milliseconds: number, side: ChainStep['side']): string | null {
  const seconds = side === 'no-earlier' ? Math.floor(milliseconds / 1000) : Math.ceil(milliseconds / 1000)
  const aYear = 31_536_000
  return Math.abs(seconds) < aYear || Math.abs(seconds) > 8e9 ? null : formatInstant(seconds)
}
