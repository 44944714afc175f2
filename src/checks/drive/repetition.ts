/**
 * Stretches of a log that come twice, to the digit.
 *
 * Two drives over one road give the same digits only as far as they hold nothing but even motion. So what counts of a
 * repeated stretch is its information: the entropy of its differences of second to fourth order, with whatever rounding
 * alone can bring about taken as nothing, and of the orders the least. Of n points there are n² / 2 pairs of places where a
 * stretch could come again, so one of I bits does so by chance in about n² / 2 · 2^-I logs. Real motion is not as
 * free as its entropy says (ramps and curves resemble each other), so only a share of the measured bits is taken as real.
 */

export interface Repetition {
  /** Index of the first point of the earlier and of the later stretch, and the number of points of each. */
  first: number
  second: number
  length: number
  /** The later one runs backwards along the earlier. */
  mirrored: boolean
  bits: number
}

/** One coordinate or speed of every point, in whole steps of the log. */
export type Channel = readonly number[]

/** A stretch is looked for by so many differences in a row. */
const seedLength = 15

/** Differences from each point to the next, one list a channel. */
function differencesOf(channel: Channel): number[] {
  return channel.slice(1).map((value, index) => value - (channel[index] ?? 0))
}

/** Hashes, of 32 bits, of all runs of `seedLength` vectors; equal runs have equal hashes. */
function hashRuns(channels: readonly Channel[]): number[] {
  const count = channels[0]?.length ?? 0
  const base = 0x01000193
  let leaving = 1
  for (let turn = 0; turn < seedLength; turn++) leaving = Math.imul(leaving, base)
  const symbols = Array.from({ length: count }, (_, at) =>
    channels.reduce((sum, channel) => (Math.imul(sum, 0x5bd1e995) + (channel[at] ?? 0)) | 0, 7),
  )
  const hashes: number[] = []
  let hash = 0
  symbols.forEach((symbol, at) => {
    hash = (Math.imul(hash, base) + symbol - Math.imul(symbols[at - seedLength] ?? 0, leaving)) | 0
    if (at >= seedLength - 1) hashes.push(hash)
  })
  return hashes
}

/**
 * The repeated stretch with the most information, or null. `channels` of equal length; `mirror`: look also for stretches
 * that come again backwards, as a way there turned into a way back. `orders`: of the differences by which information is
 * measured. `isLong` tells which stretches count.
 */
export function findRepetition(
  channels: readonly Channel[],
  options: { mirror: boolean; orders: readonly number[]; isLong: (first: number, length: number) => boolean },
): Repetition | null {
  const forward = channels.map(differencesOf)
  const found = matchRuns(forward, forward, false)
  if (options.mirror) {
    const backward = forward.map((channel) => channel.map((value) => (value === 0 ? 0 : -value)).reverse())
    found.push(...matchRuns(forward, backward, true))
  }
  let best: Repetition | null = null
  for (const one of found) {
    if (!options.isLong(one.first, one.length)) continue
    const bits = informationOf(channels, one.first, one.length, options.orders)
    if (best === null || bits > best.bits) best = { ...one, bits }
  }
  return best
}

/** Runs of `later` that equal a run of `forward`, made as long as they go without overlapping it. */
function matchRuns(
  forward: readonly Channel[],
  later: readonly Channel[],
  mirrored: boolean,
): Omit<Repetition, 'bits'>[] {
  const count = forward[0]?.length ?? 0
  const hashes = hashRuns(forward)
  // Where each run comes first; of a log compared with itself only what was passed already.
  const known = new Map(mirrored ? hashes.map((hash, at) => [hash, at] as const).reverse() : [])
  const looked = mirrored ? hashRuns(later) : hashes
  const found: Omit<Repetition, 'bits'>[] = []
  let reached = 0
  looked.forEach((hash, at) => {
    const first = known.get(hash)
    if (!mirrored && first === undefined) known.set(hash, at)
    if (first === undefined || at < reached) return
    const length = matchLength(forward, first, later, at, mirrored)
    if (length < seedLength) return
    reached = at + length
    // A run of n differences joins n + 1 points; a mirrored run is told by where it lies in the log.
    found.push({ first, second: mirrored ? count - at - length : at, length: length + 1, mirrored })
  })
  return found
}

function matchLength(
  forward: readonly Channel[],
  first: number,
  later: readonly Channel[],
  second: number,
  mirrored: boolean,
): number {
  const count = forward[0]?.length ?? 0
  // Where the two meet: a run may not be compared with itself.
  const most = mirrored
    ? Math.min(count - Math.max(first, second), Math.floor((count - second - first) / 2))
    : Math.min(second - first, count - second)
  let length = 0
  while (
    length < most &&
    forward.every((channel, index) => channel[first + length] === later[index]?.[second + length])
  )
    length++
  return length
}

/** Bits of a stretch: by the order of differences that foretells it best, channel by channel. */
export function informationOf(
  channels: readonly Channel[],
  first: number,
  length: number,
  orders: readonly number[],
): number {
  return channels.reduce((sum, channel) => {
    const stretch = channel.slice(first, first + length)
    return sum + Math.min(...orders.map((order) => entropyOf(symbolsOf(stretch, order))))
  }, 0)
}

/** Differences of an order, in units of what rounding alone can bring about: an even motion gives noughts. */
function symbolsOf(stretch: Channel, order: number): number[] {
  let values = stretch
  for (let turn = 0; turn < order; turn++) values = differencesOf(values)
  // Errors of half a step each, times the coefficients, whose sum is 2^order; the result is whole and less than half of it.
  const rounding = Math.max(1, 2 ** (order - 1) - 1)
  return values.map((value) => Math.round(value / (2 * rounding + 1)))
}

/** Bits of a list of symbols by their own frequencies: never more than they hold. */
function entropyOf(symbols: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const symbol of symbols) counts.set(symbol, (counts.get(symbol) ?? 0) + 1)
  return [...counts.values()].reduce((sum, count) => sum - count * Math.log2(count / symbols.length), 0)
}
