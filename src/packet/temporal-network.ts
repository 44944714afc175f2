/**
 * A simple temporal network: points in time and bounds on their differences.
 *
 * R. Dechter, I. Meiri, J. Pearl, "Temporal constraint networks", Artificial Intelligence 49 (1991) 61-95. Every
 * constraint `least <= to - from <= most` gives two edges of the distance graph: `from -> to` of weight `most` and
 * `to -> from` of weight `-least`. The network is consistent exactly if that graph has no negative cycle, and the
 * shortest paths are the tightest bounds that the whole network sets on any two points.
 *
 * Values are whole numbers (milliseconds here) or infinite, so that no sum is ever rounded.
 *
 * A constraint rests on a statement, or on none when it holds by definition (an event does not end before it starts).
 * When not all statements can be true, `findConflict` gives the fewest of them that cannot: it grows walks by the number
 * of statements used, so the first negative cycle found uses the fewest. A statement used twice in a row counts once.
 * Because a shortest cycle passes each point once, that count is the number of distinct statements wherever a statement
 * touches at most three points; one that touches more may be counted twice. In every case none of the statements given
 * can be left out: each was tried.
 */

export interface Constraint {
  from: number
  to: number
  /** Whole number or -Infinity. */
  least: number
  /** Whole number or Infinity. */
  most: number
  /** Id of the statement that it rests on; null where it holds by definition. */
  statement: string | null
}

/** `points`: how many there are, numbered from 0. */
export interface Network {
  points: number
  constraints: readonly Constraint[]
}

interface Edge {
  from: number
  to: number
  weight: number
}

const edgesOf = (constraint: Constraint): Edge[] => {
  const { from, to, least, most } = constraint
  return [
    { from, to, weight: most },
    { from: to, to: from, weight: 0 - least },
  ].filter((edge) => edge.weight !== Infinity)
}

/** Can all constraints hold together? Bellman and Ford's algorithm from a source that reaches every point. */
export function isConsistent(network: Network): boolean {
  const edges = network.constraints.flatMap(edgesOf)
  const distance = new Float64Array(network.points)
  for (let round = 0; round <= network.points; round++) {
    let changed = false
    for (const { from, to, weight } of edges) {
      const reached = (distance[from] ?? 0) + weight
      if (reached < (distance[to] ?? 0)) {
        distance[to] = reached
        changed = true
      }
    }
    if (!changed) return true
  }
  return false
}

/** Shortest distances between all points, row by row (Floyd and Warshall); a negative diagonal means inconsistent. */
function closeDistances(points: number, edges: readonly Edge[]): Float64Array {
  const distance = new Float64Array(points * points).fill(Infinity)
  for (let point = 0; point < points; point++) distance[point * points + point] = 0
  for (const { from, to, weight } of edges) {
    const at = from * points + to
    if (weight < (distance[at] ?? Infinity)) distance[at] = weight
  }
  for (let middle = 0; middle < points; middle++) {
    for (let from = 0; from < points; from++) {
      const first = distance[from * points + middle] ?? Infinity
      if (first === Infinity) continue
      for (let to = 0; to < points; to++) {
        const sum = first + (distance[middle * points + to] ?? Infinity)
        if (sum < (distance[from * points + to] ?? Infinity)) distance[from * points + to] = sum
      }
    }
  }
  return distance
}

/** The tightest bounds on `to - from`; infinite where nothing bounds them. */
export type TightBounds = (from: number, to: number) => readonly [number, number]

/** The minimal network (all tightest bounds), or null when the network is inconsistent. */
export function tightenBounds(network: Network): TightBounds | null {
  const { points } = network
  const distance = closeDistances(points, network.constraints.flatMap(edgesOf))
  for (let point = 0; point < points; point++) if ((distance[point * points + point] ?? 0) < 0) return null
  return (from, to) => [0 - (distance[to * points + from] ?? Infinity), distance[from * points + to] ?? Infinity]
}

interface Step extends Edge {
  statement: string
}

/** One edge for each pair of points that one statement, with what holds by definition, bounds by itself. */
function stepsOf(network: Network, defined: Float64Array): Step[] {
  const byStatement = new Map<string, Edge[]>()
  for (const constraint of network.constraints) {
    if (constraint.statement === null) continue
    const edges = byStatement.get(constraint.statement) ?? []
    edges.push(...edgesOf(constraint))
    byStatement.set(constraint.statement, edges)
  }
  return [...byStatement].flatMap(([statement, edges]) => {
    const points = [...new Set(edges.flatMap((edge) => [edge.from, edge.to]))].sort((a, b) => a - b)
    const local = edges.map(({ from, to, weight }) => ({ from: points.indexOf(from), to: points.indexOf(to), weight }))
    for (const [row, from] of points.entries())
      for (const [column, to] of points.entries()) {
        const weight = defined[from * network.points + to] ?? Infinity
        if (from !== to && weight !== Infinity) local.push({ from: row, to: column, weight })
      }
    const closed = closeDistances(points.length, local)
    return points.flatMap((from, row) =>
      points.flatMap((to, column): Step[] => {
        const weight = closed[row * points.length + column] ?? Infinity
        const idle = from === to ? weight >= 0 : weight >= (defined[from * network.points + to] ?? Infinity)
        return idle ? [] : [{ from, to, weight, statement }]
      }),
    )
  })
}

/** Shortest walks from one point that use at most as many statements as there are layers above the first. */
interface Walks {
  distance: Float64Array
  /** For each layer the last step of the walk to each point; -1 where the layer before has it. */
  lastStep: Int32Array[]
}

function extendWalks(walks: Walks, steps: readonly Step[], defined: Edge[][]): void {
  const before = walks.distance
  const stepped = before.slice()
  const lastStep = new Int32Array(before.length).fill(-1)
  for (let index = 0; index < steps.length; index++) {
    const { from, to, weight } = steps[index] as Step
    const reached = (before[from] ?? Infinity) + weight
    if (reached < (stepped[to] ?? Infinity)) {
      stepped[to] = reached
      lastStep[to] = index
    }
  }
  const settled = stepped.slice()
  const lastSettled = lastStep.slice()
  for (let point = 0; point < lastStep.length; point++) {
    if (lastStep[point] === -1) continue
    for (const { to, weight } of defined[point] ?? []) {
      const reached = (stepped[point] ?? Infinity) + weight
      if (reached < (settled[to] ?? Infinity)) {
        settled[to] = reached
        lastSettled[to] = lastStep[point] ?? -1
      }
    }
  }
  walks.distance = settled
  walks.lastStep.push(lastSettled)
}

function statementsOfWalk(walks: Walks, end: number, steps: readonly Step[]): Set<string> {
  const used = new Set<string>()
  let point = end
  for (const lastStep of walks.lastStep.toReversed()) {
    const step = steps[lastStep[point] ?? -1]
    if (step === undefined) continue
    used.add(step.statement)
    point = step.from
  }
  return used
}

/** Leaves out, from the last to the first, every statement that the contradiction does not need. */
function leaveOutNeedless(network: Network, statements: readonly string[]): string[] {
  const kept = new Set(statements)
  for (const statement of statements.toReversed()) {
    kept.delete(statement)
    const constraints = network.constraints.filter((each) => each.statement === null || kept.has(each.statement))
    if (isConsistent({ points: network.points, constraints })) kept.add(statement)
  }
  return statements.filter((statement) => kept.has(statement))
}

/** A network made ready for walks that count statements. */
interface Grounds {
  network: Network
  /** Shortest distances by what holds by definition alone. */
  closed: Float64Array
  /** The same as edges, by the point that they leave. */
  defined: Edge[][]
  steps: Step[]
}

function layGrounds(network: Network): Grounds {
  const { points } = network
  const closed = closeDistances(points, network.constraints.filter((each) => each.statement === null).flatMap(edgesOf))
  const defined: Edge[][] = Array.from({ length: points }, () => [])
  for (let from = 0; from < points; from++)
    for (let to = 0; to < points; to++) {
      const weight = closed[from * points + to] ?? Infinity
      if (from === to && weight < 0) throw new Error('temporal network: the definitions contradict themselves')
      if (from !== to && weight !== Infinity) defined[from]?.push({ from, to, weight })
    }
  return { network, closed, defined, steps: stepsOf(network, closed) }
}

const beginWalks = ({ network: { points }, closed }: Grounds, start: number): Walks => ({
  distance: closed.slice(start * points, (start + 1) * points),
  lastStep: [],
})

/** In the order of their first constraints. */
function sortStatements(network: Network, statements: ReadonlySet<string>): string[] {
  const order = new Set(network.constraints.flatMap((each) => each.statement ?? []))
  return [...order].filter((statement) => statements.has(statement))
}

/**
 * The smallest set of statements that cannot all be true, in the order of their first constraints; null when all can.
 * Of several smallest sets, the one that is furthest from holding. Throws if the definitions alone contradict themselves.
 */
export function findConflict(network: Network): string[] | null {
  if (isConsistent(network)) return null
  const grounds = layGrounds(network)
  const starts = Array.from({ length: network.points }, (_, point) => ({ point, walks: beginWalks(grounds, point) }))
  for (;;) {
    for (const { walks } of starts) extendWalks(walks, grounds.steps, grounds.defined)
    let worst: { point: number; walks: Walks; weight: number } | null = null
    for (const { point, walks } of starts) {
      const weight = walks.distance[point] ?? 0
      if (weight < (worst?.weight ?? 0)) worst = { point, walks, weight }
    }
    if (worst === null) continue
    const statements = statementsOfWalk(worst.walks, worst.point, grounds.steps)
    return leaveOutNeedless(network, sortStatements(network, statements))
  }
}

/**
 * The smallest set of statements from which `to - from <= most` follows, in the order of their first constraints (empty
 * when it holds by definition); null when it does not follow.
 */
export type ProveAtMost = (from: number, to: number, most: number) => string[] | null

/** Makes a consistent network ready for proofs. Throws for an inconsistent one: from a contradiction anything would follow. */
export function prepareProofs(network: Network): ProveAtMost {
  if (!isConsistent(network)) throw new Error('temporal network: a contradiction proves nothing')
  const grounds = layGrounds(network)
  const allStatements = new Set(network.constraints.map((each) => each.statement)).size
  return (from, to, most) => {
    const walks = beginWalks(grounds, from)
    while ((walks.distance[to] ?? Infinity) > most) {
      if (walks.lastStep.length > allStatements) return null
      extendWalks(walks, grounds.steps, grounds.defined)
    }
    const statements = sortStatements(network, statementsOfWalk(walks, to, grounds.steps))
    const denial: Constraint = { from, to, least: most + 1, most: Infinity, statement: null }
    // With fewer than two there is nothing to leave out, and definitions that prove it alone would contradict the denial.
    if (statements.length < 2) return statements
    return leaveOutNeedless({ points: network.points, constraints: [...network.constraints, denial] }, statements)
  }
}

/** One bound on the way from a point to another: `to - from <= weight`. */
export interface PathEdge extends Edge {
  /** Null where it holds by definition. */
  statement: string | null
}

/**
 * The bounds that add up to the tightest one on `to - from` when only `statements`, and what holds by definition, are
 * relied on; null when these set none. The statements must be consistent.
 */
export function findPath(
  network: Network,
  statements: ReadonlySet<string>,
  from: number,
  to: number,
): PathEdge[] | null {
  const edges = network.constraints
    .filter(({ statement }) => statement === null || statements.has(statement))
    .flatMap((constraint) =>
      edgesOf(constraint).map((edge): PathEdge => ({ ...edge, statement: constraint.statement })),
    )
  const distance = new Float64Array(network.points).fill(Infinity)
  const last: (PathEdge | undefined)[] = []
  distance[from] = 0
  for (let round = 0; round < network.points; round++) {
    let changed = false
    for (const edge of edges) {
      const reached = (distance[edge.from] ?? Infinity) + edge.weight
      if (reached >= (distance[edge.to] ?? Infinity)) continue
      distance[edge.to] = reached
      last[edge.to] = edge
      changed = true
    }
    if (!changed) break
  }
  const path: PathEdge[] = []
  for (let point = to; point !== from && path.length <= network.points; ) {
    const edge = last[point]
    if (edge === undefined) return null
    path.unshift(edge)
    point = edge.from
  }
  return path
}
