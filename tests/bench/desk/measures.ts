/** What was measured: how long each kind of request took, and what went wrong. */

export interface Measures {
  /** Milliseconds by kind of request, in the order in which they came. */
  times: Map<string, number[]>
  /** What went wrong, and how often. */
  errors: Map<string, number>
}

export const makeMeasures = (): Measures => ({ times: new Map(), errors: new Map() })

export function noteTime({ times }: Measures, kind: string, milliseconds: number): void {
  const known = times.get(kind)
  if (known === undefined) times.set(kind, [milliseconds])
  else known.push(milliseconds)
}

export const noteError = ({ errors }: Measures, what: string): void =>
  void errors.set(what, (errors.get(what) ?? 0) + 1)

/** The value that `share` of the numbers do not exceed (nearest rank). */
export function percentile(numbers: readonly number[], share: number): number {
  const sorted = [...numbers].sort((a, b) => a - b)
  return sorted[Math.max(0, Math.ceil(sorted.length * share) - 1)] ?? Number.NaN
}

/** Kinds with their median and 95th percentile, in milliseconds and as ratios to the kind `reference`. */
export function formatTimes({ times }: Measures, reference: string): string {
  const [middle, high] = [0.5, 0.95].map((share) => percentile(times.get(reference) ?? [], share)) as [number, number]
  const width = Math.max(44, ...[...times.keys()].map(({ length }) => length + 2))
  const rows = [...times].map(([kind, own]) => {
    const [p50, p95] = [percentile(own, 0.5), percentile(own, 0.95)]
    const cells = [p50.toFixed(1), p95.toFixed(1), (p50 / middle).toFixed(1), (p95 / high).toFixed(1)]
    return `  ${kind.padEnd(width)}${String(own.length).padStart(8)}${cells.map((cell) => cell.padStart(10)).join('')}\n`
  })
  return `  ${'what'.padEnd(width)}${'count'.padStart(8)}${['p50 ms', 'p95 ms', 'p50 ×', 'p95 ×'].map((head) => head.padStart(10)).join('')}\n${rows.join('')}`
}
