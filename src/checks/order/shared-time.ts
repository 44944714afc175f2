/** How long two events lasted at the same time, as far as the timeline can tell. */
import type { Moment, Packet, PacketEvent } from '../../packet/packet.ts'

/**
 * Bounds on the seconds that two events share; negative where they lie apart by that much, infinite where nothing bounds
 * them. Two intervals share the least of the four differences of an end and a start, so the least of the bounds on
 * those four bounds what they share.
 */
export function boundShared(packet: Packet, a: PacketEvent, b: PacketEvent): readonly [number, number] {
  const gaps = [a, b].flatMap((from) => [a, b].map((to) => packet.timeline.order(startOf(from), endOf(to)).gapSeconds))
  return [Math.min(...gaps.map(([least]) => least)), Math.min(...gaps.map(([, most]) => most))]
}

/** Bounds on the seconds from an event's start to its end. */
export function boundLength(packet: Packet, event: PacketEvent): readonly [number, number] {
  return packet.timeline.order(startOf(event), endOf(event)).gapSeconds
}

/** The start of an event, for asking the timeline. */
export const startOf = (event: PacketEvent): Moment => ({ event: event.id, edge: 'start' })

/** The end of an event, for asking the timeline. */
export const endOf = (event: PacketEvent): Moment => ({ event: event.id, edge: 'end' })
