/** Fewest insertions, deletions, changes and swaps of neighbours that turn one word into the other. */
function editDistance(first: string, second: string): number {
  let beforeLast: number[] = []
  let last = Array.from({ length: second.length + 1 }, (_, column) => column)
  for (let row = 1; row <= first.length; row++) {
    const current = [row]
    for (let column = 1; column <= second.length; column++) {
      const same = first[row - 1] === second[column - 1]
      const swapped =
        row > 1 && column > 1 && first[row - 1] === second[column - 2] && first[row - 2] === second[column - 1]
      current[column] = Math.min(
        (last[column] ?? 0) + 1,
        (current[column - 1] ?? 0) + 1,
        (last[column - 1] ?? 0) + (same ? 0 : 1),
        swapped ? (beforeLast[column - 2] ?? 0) + 1 : Infinity,
      )
    }
    beforeLast = last
    last = current
  }
  return last[second.length] ?? 0
}

/** The name that a misspelt one most likely stands for; null when none is near (more than a third of it differs, or three letters). */
export function findNearestName(written: string, names: readonly string[]): string | null {
  const plain = (name: string): string => name.toLowerCase().replaceAll(/[^a-z0-9]/g, '')
  const most = Math.min(3, Math.max(1, Math.floor(written.length / 3)))
  let nearest: { name: string; distance: number } | null = null
  for (const name of names) {
    const distance = editDistance(plain(written.slice(0, 60)), plain(name))
    if (distance <= most && distance < (nearest?.distance ?? Infinity)) nearest = { name, distance }
  }
  return nearest?.name ?? null
}
