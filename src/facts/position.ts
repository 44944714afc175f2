/** Positions of sensors, compared as people mean them: "left" and "rear left" can be one place, "left" and "right" cannot. */

const wordsOf = (position: string) =>
  position
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== 'and')

/**
 * Whether two positions can be the same place: null or absent says nothing and agrees with all; else every word of the
 * shorter one must stand in the longer. "left and right" agrees with either side.
 */
export function agreesInPosition(a: string | null | undefined, b: string | null | undefined): boolean {
  if (!a || !b) return true
  const [fewer, more] = wordsOf(a).length <= wordsOf(b).length ? [wordsOf(a), wordsOf(b)] : [wordsOf(b), wordsOf(a)]
  return fewer.every((word) => more.includes(word))
}
