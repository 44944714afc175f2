/** Two sequences set beside one another in their order (Needleman and Wunsch, 1970). */

/** Index in the first and in the second; null where there is no counterpart. */
export type Pair = readonly [number | null, number | null]

/** Items as little alike as this are no counterparts. */
const least = 0.3

/** Pairs that make the sum of `likeness` (0 to 1) largest, in the order of both lists. */
export function align<T>(a: readonly T[], b: readonly T[], likeness: (a: T, b: T) => number): Pair[] {
  const scores = a.map((x) => b.map((y) => likeness(x, y)))
  const best = Array.from({ length: a.length + 1 }, () => new Float64Array(b.length + 1))
  const at = (i: number, j: number): number => best[i]?.[j] ?? 0
  const paired = (i: number, j: number): number => {
    const score = scores[i]?.[j] ?? 0
    return score < least ? Number.NEGATIVE_INFINITY : at(i + 1, j + 1) + score
  }
  for (let i = a.length - 1; i >= 0; i--)
    for (let j = b.length - 1; j >= 0; j--)
      (best[i] as Float64Array)[j] = Math.max(at(i + 1, j), at(i, j + 1), paired(i, j))
  const pairs: Pair[] = []
  let [i, j] = [0, 0]
  while (i < a.length || j < b.length) {
    if (i < a.length && j < b.length && paired(i, j) >= at(i, j)) pairs.push([i++, j++])
    else if (i < a.length && (j === b.length || at(i + 1, j) >= at(i, j))) pairs.push([i++, null])
    else pairs.push([null, j++])
  }
  return pairs
}

/** How much of two texts is the same, by their edit distance: 1 for equal ones, 0 where no letter stays. */
export function shareOfSame(a: string, b: string): number {
  const [long, short] = a.length >= b.length ? [a, b] : [b, a]
  if (long.length === 0) return 1
  let row = Array.from({ length: short.length + 1 }, (_, index) => index)
  for (const [i, letter] of [...long].entries()) {
    const next = [i + 1]
    for (const [j, other] of [...short].entries())
      next.push(
        Math.min((next[j] as number) + 1, (row[j + 1] as number) + 1, (row[j] as number) + (letter === other ? 0 : 1)),
      )
    row = next
  }
  return 1 - (row[short.length] ?? 0) / long.length
}

/** How many of `want` are among `have`, each used once. */
export function countSame(want: readonly string[], have: readonly string[]): number {
  const left = new Map<string, number>()
  for (const word of have) left.set(word, (left.get(word) ?? 0) + 1)
  let same = 0
  for (const word of want) {
    const count = left.get(word) ?? 0
    if (count === 0) continue
    left.set(word, count - 1)
    same++
  }
  return same
}
