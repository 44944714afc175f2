/** What a packet tells of the zone of clocks that print none. */
import { minutesOfOffset } from '../facts/instant.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { TimeClaim } from './time-claims.ts'

export interface ZoneKnowledge {
  kind: 'zone' | 'no-zone'
  /** Least and most seconds east of UTC. */
  seconds: readonly [number, number]
  text: string
  evidence: FilePlace[]
  /** The offset assumed, `+hh:mm`; null when none is. */
  offset: string | null
}

const hour = 3600

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

/**
 * Clocks by id with the one offset that they print on some records, for their records that print none. Not where a change
 * of summer time may lie between, nor for a clock that prints several.
 */
export function findOwnOffsets(claims: readonly TimeClaim[]): Map<string, string> {
  const found = new Map<string, string>()
  for (const id of new Set(claims.map((claim) => claim.clock.id))) {
    const own = claims.filter((claim) => claim.clock.id === id)
    const [offset, ...others] = new Set(own.flatMap(({ reading }) => reading.offset ?? []))
    if (offset !== undefined && others.length === 0 && seasons(own).size === 1) found.set(id, offset)
  }
  return found
}

const unknownZone: ZoneKnowledge = {
  kind: 'no-zone',
  seconds: [-12 * hour, 14 * hour],
  text: 'The packet names no zone for the clocks that print none; zones in use run from -12:00 to +14:00',
  evidence: [],
  offset: null,
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
    offset,
  }
}

/**
 * What is known of the zone that `zoneless` readings share. `trusting`: let the one offset that another clock of the packet
 * prints stand for it, as an assumption.
 */
export function learnZone(
  claims: readonly TimeClaim[],
  zoneless: readonly TimeClaim[],
  trusting: boolean,
): ZoneKnowledge {
  const shop = trusting && zoneless.length > 0 ? findShopOffset(claims) : null
  return shop === null ? unknownZone : assumeShopZone(shop, claims, zoneless)
}
