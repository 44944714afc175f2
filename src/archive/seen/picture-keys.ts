/**
 * Keys by which copies of a picture are found among millions: its likeness (see `Look`) projected on fixed random
 * directions and cut into steps (Datar and others 2004, locality-sensitive hashing for Euclidean distance), ten projections
 * a band. Two pictures that differ by 6 levels share a band with probability .98, by 4 with .999, by 60 with 2 in a
 * million. A part of a picture is another picture to it: crops are not found.
 */
import { bands, makeKey, mix32 } from './minhash.ts'

const fields = 256
const projections = 10
/** Of one step of a projection, in levels: five times what the projections of pictures that differ by 6 differ by. */
const stepLevels = 30

/** Even between 0 and 1, and never 0: of a fixed seed. */
const chance = (seed: number): number => (mix32(mix32(seed) ^ 0x51ab1e) + 0.5) / 2 ** 32

/** Standard normal (Box and Muller 1958). */
const normal = (seed: number): number =>
  Math.sqrt(-2 * Math.log(chance(2 * seed))) * Math.cos(2 * Math.PI * chance(2 * seed + 1))

interface Projection {
  directions: Float64Array
  offset: number
}

let made: Projection[] | undefined

/** Scaled so that a difference of n levels (root mean square) is one of n, give or take, along every direction. */
function project(): Projection[] {
  made ??= Array.from({ length: bands * projections }, (_, at) => ({
    directions: Float64Array.from({ length: fields }, (_, field) => normal(at * fields + field) / Math.sqrt(fields)),
    offset: chance(0x40000000 + at) * stepLevels,
  }))
  return made
}

/** Levels against their mean, so that a lighter copy is a copy; null for what is no likeness. */
function readLikeness(likeness: string): Float64Array | null {
  if (!/^[0-9a-f]{512}$/.test(likeness)) return null
  const levels = Float64Array.from(Buffer.from(likeness, 'hex'))
  const mean = levels.reduce((sum, level) => sum + level, 0) / fields
  return levels.map((level) => level - mean)
}

/** One key a band; none for what is no likeness. */
export function pictureKeys(likeness: string): number[] {
  const levels = readLikeness(likeness)
  if (levels === null) return []
  const steps = project().map(({ directions, offset }) => {
    let sum = 0
    for (let field = 0; field < fields; field++) sum += (directions[field] ?? 0) * (levels[field] ?? 0)
    return Math.floor((sum + offset) / stepLevels)
  })
  return Array.from({ length: bands }, (_, band) =>
    makeKey('picture', band, steps.slice(band * projections, (band + 1) * projections)),
  )
}

/** By how much the fields must spread (standard deviation, levels) for a picture to be known from others of its kind. */
const leastSpread = 20
/** The share of its fields that may lie within so many levels of one level. */
const [mostFlat, flatLevels] = [0.35, 8]

/**
 * Whether a picture has enough of its own: a sheet of paper, a screen or an empty wall, near one level for the most part,
 * looks like the next one.
 */
export function isTelling(likeness: string): boolean {
  const levels = readLikeness(likeness)
  if (levels === null) return false
  const spread = Math.sqrt(levels.reduce((sum, level) => sum + level ** 2, 0) / fields)
  const flat = Math.max(
    ...levels.map((level) => levels.filter((other) => Math.abs(level - other) <= flatLevels).length),
  )
  return spread >= leastSpread && flat <= mostFlat * fields
}
