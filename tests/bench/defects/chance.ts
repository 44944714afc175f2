/** Seeded choices: the same seed makes the same packets on every machine. */
import { type Chance as Numbers, seedChance, wander } from '../../../examples/chance.ts'

export { wander }

export interface Chance extends Numbers {
  /** True with the probability given. */
  likely(probability: number): boolean
  /** A whole number, both ends included. */
  whole(least: number, most: number): number
  pick<T>(list: readonly T[]): T
  /** `count` entries in their own order. */
  some<T>(list: readonly T[], count: number): T[]
  /** A string of the pattern: `#` a digit, `@` a letter that no reader takes for a digit, anything else itself. */
  code(pattern: string): string
  /** A generator of its own, so that what one part draws does not move another. */
  branch(salt: number): Chance
}

/** Letters without I, O, Q, S and Z, which look like digits. */
const plainLetters = 'ABCDEFGHJKLMNPRTUVWXY'

export function makeChance(seed: number): Chance {
  const { even, normal } = seedChance(Math.imul(seed, 0x9e3779b1))
  const whole = (least: number, most: number): number => least + Math.floor(even() * (most - least + 1))
  const pick = <T>(list: readonly T[]): T => {
    const taken = list[whole(0, list.length - 1)]
    if (taken === undefined) throw new Error('nothing to pick from')
    return taken
  }
  return {
    even,
    normal,
    whole,
    pick,
    likely: (probability) => even() < probability,
    some(list, count) {
      const left = list.map((_, index) => index)
      while (left.length > count) left.splice(whole(0, left.length - 1), 1)
      return left.map((index) => list[index]).filter((entry) => entry !== undefined)
    },
    code: (pattern) =>
      [...pattern]
        .map((sign) => (sign === '#' ? String(whole(0, 9)) : sign === '@' ? pick([...plainLetters]) : sign))
        .join(''),
    branch: (salt) => makeChance(seed * 7919 + salt),
  }
}
