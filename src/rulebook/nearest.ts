/** The nearest of some known names to a misspelt one. */

/**
 * The known name with the least edit distance, when that is at most a third of the name's length (two at least); else
 * null. Among equals the first in code-unit order.
 */
export function findNearestName(name: string, known: readonly string[]): string | null {
  let best: string | null = null
  let least = Math.max(2, Math.floor(name.length / 3)) + 1
  for (const candidate of [...known].sort()) {
    const distance = countEdits(name, candidate)
    if (distance < least) [best, least] = [candidate, distance]
  }
  return best
}

/** Levenshtein's distance: the fewest characters to insert, delete or replace that turn `a` into `b`. */
function countEdits(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, index) => index)
  for (let i = 1; i <= a.length; i++) {
    const next = [i]
    for (let j = 1; j <= b.length; j++) {
      const replaced = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1)
      next.push(Math.min(replaced, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1))
    }
    row = next
  }
  return row[b.length] ?? 0
}
