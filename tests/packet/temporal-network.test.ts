import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type Constraint,
  findConflict,
  isConsistent,
  type Network,
  prepareProofs,
  tightenBounds,
} from '../../src/packet/temporal-network.ts'

const between = (from: number, to: number, least: number, most: number, statement: string | null): Constraint => ({
  from,
  to,
  least,
  most,
  statement,
})

/**
 * Dechter, Meiri, Pearl 1991, the running example of John and Fred: minutes after 7:00 (values from memory of the paper,
 * bounds recomputed by hand). "leaves": what the paper calls x2 - x1.
 */
const johnAndFred = (least: number, most: number): Network => ({
  points: 5,
  constraints: [
    between(0, 1, 10, 20, 'a'),
    between(1, 2, least, most, 'b'),
    between(3, 2, 10, 20, 'c'),
    between(3, 4, 40, 50, 'd'),
    between(0, 4, 60, 70, 'e'),
  ],
})

describe("the paper's example", () => {
  it('gives the minimal network of the paper', () => {
    const bounds = tightenBounds(johnAndFred(30, 40))
    expect([1, 2, 3, 4].map((point) => bounds?.(0, point))).toEqual([
      [10, 20],
      [40, 50],
      [20, 30],
      [60, 70],
    ])
    expect(bounds?.(1, 0)).toEqual([-20, -10])
    expect(findConflict(johnAndFred(30, 40))).toBeNull()
  })

  it('finds the negative cycle 70 - 40 + 20 - 60 - 10 when the journey takes an hour or more', () => {
    const network = johnAndFred(60, Infinity)
    expect(isConsistent(network)).toBe(false)
    expect(tightenBounds(network)).toBeNull()
    expect(findConflict(network)).toEqual(['a', 'b', 'c', 'd', 'e'])
    expect(isConsistent(johnAndFred(40, Infinity))).toBe(true)
    expect(isConsistent(johnAndFred(41, Infinity))).toBe(false)
  })

  it('proves bounds with what they need and nothing more', () => {
    const prove = prepareProofs(johnAndFred(30, 40))
    expect(prove(0, 1, 20)).toEqual(['a'])
    expect(prove(0, 1, 19)).toBeNull()
    expect(prove(0, 2, 50)).toEqual(['c', 'd', 'e'])
    expect(prove(0, 2, 60)).toEqual(['a', 'b'])
    expect(prove(2, 2, 0)).toEqual([])
  })
})

describe('the smallest conflict', () => {
  it('prefers few statements over few edges', () => {
    const network: Network = {
      points: 5,
      constraints: [
        between(0, 1, 5, Infinity, 'left'),
        between(1, 2, 5, Infinity, 'right'),
        between(0, 2, -Infinity, 9, 'short'),
        between(0, 3, 5, Infinity, 'chain'),
        between(3, 4, 0, Infinity, null),
        between(4, 2, 5, Infinity, 'chain'),
        between(0, 2, -Infinity, 9, 'short'),
      ],
    }
    expect(findConflict(network)).toEqual(['short', 'chain'])
  })

  it('names one statement that contradicts itself under the definitions', () => {
    const network: Network = {
      points: 3,
      constraints: [
        between(1, 2, 0, Infinity, null),
        between(0, 1, 10, Infinity, 's'),
        between(0, 2, -Infinity, 9, 's'),
      ],
    }
    expect(findConflict(network)).toEqual(['s'])
  })

  it('is asked for before proofs: a contradiction proves nothing', () => {
    expect(() => prepareProofs(johnAndFred(60, Infinity))).toThrow('a contradiction proves nothing')
  })

  it('refuses definitions that contradict themselves', () => {
    expect(() =>
      findConflict({ points: 2, constraints: [between(0, 1, 1, 2, null), between(1, 0, 1, 2, null)] }),
    ).toThrow('definitions contradict')
  })
})

// Against brute force: small networks of whole numbers. A difference system with whole bounds that has a solution has one
// in whole numbers, no further apart than the longest simple path: three edges of weight 6 at most.
const smallNetwork = (statements: number): fc.Arbitrary<Network> =>
  fc
    .array(
      fc.record({
        from: fc.nat(3),
        step: fc.integer({ min: 1, max: 3 }),
        least: fc.integer({ min: -3, max: 3 }),
        width: fc.oneof(fc.integer({ min: 0, max: 3 }), fc.constant(Infinity)),
        statement: fc.nat(statements - 1),
      }),
      { minLength: 1, maxLength: 9 },
    )
    .map((rows) => ({
      points: 4,
      constraints: rows.map(({ from, step, least, width, statement }, index) =>
        between(from, (from + step) % 4, least, least + width, statements < 9 ? `s${statement}` : `s${index}`),
      ),
    }))

const restricted = (network: Network, keep: ReadonlySet<string>): Network => ({
  points: network.points,
  constraints: network.constraints.filter((each) => each.statement === null || keep.has(each.statement)),
})

function solveByTrial(network: Network): boolean {
  const reach = 18
  const holds = (values: readonly number[]): boolean =>
    network.constraints.every(({ from, to, least, most }) => {
      const a = values[from]
      const b = values[to]
      return a === undefined || b === undefined || (b - a >= least && b - a <= most)
    })
  const extend = (values: readonly number[]): boolean => {
    if (!holds(values)) return false
    if (values.length === network.points) return true
    for (let next = -reach; next <= reach; next++) if (extend([...values, next])) return true
    return false
  }
  return extend([0])
}

function subsetsOf(network: Network, size: number): string[][] {
  const names = [...new Set(network.constraints.flatMap((each) => each.statement ?? []))]
  return Array.from({ length: 2 ** names.length }, (_, chosen) =>
    names.filter((_, index) => (chosen >> index) & 1),
  ).filter((names) => names.length === size)
}

function smallestByTrial(network: Network): number {
  const names = [...new Set(network.constraints.flatMap((each) => each.statement ?? []))]
  let least = Infinity
  for (let chosen = 0; chosen < 2 ** names.length; chosen++) {
    const keep = new Set(names.filter((_, index) => (chosen >> index) & 1))
    if (keep.size < least && !isConsistent(restricted(network, keep))) least = keep.size
  }
  return least
}

describe('against brute force', () => {
  it('agrees with trying every whole-number solution', () => {
    fc.assert(
      fc.property(smallNetwork(9), (network) => {
        expect(isConsistent(network)).toBe(solveByTrial(network))
      }),
      { numRuns: 150, seed: 1 },
    )
  })

  it('finds a smallest conflict, and each statement of it is needed', () => {
    fc.assert(
      fc.property(smallNetwork(9), (network) => {
        const conflict = findConflict(network)
        if (conflict === null) {
          expect(isConsistent(network)).toBe(true)
          return
        }
        expect(conflict).toHaveLength(smallestByTrial(network))
        expect(isConsistent(restricted(network, new Set(conflict)))).toBe(false)
        for (const left of conflict)
          expect(isConsistent(restricted(network, new Set(conflict.filter((each) => each !== left))))).toBe(true)
      }),
      { numRuns: 400, seed: 2 },
    )
  })

  it('finds a smallest conflict where each statement bounds three points several times', () => {
    const bounds = fc.record({
      step: fc.nat(5),
      least: fc.integer({ min: -3, max: 3 }),
      width: fc.integer({ min: 0, max: 3 }),
    })
    const statement = fc.record({ leftOut: fc.nat(4), rows: fc.array(bounds, { minLength: 1, maxLength: 3 }) })
    const pairs = [
      [0, 1],
      [1, 2],
      [2, 0],
      [1, 0],
      [2, 1],
      [0, 2],
    ] as const
    let conflicts = 0
    fc.assert(
      fc.property(fc.array(statement, { minLength: 2, maxLength: 7 }), (statements) => {
        const constraints = statements.flatMap(({ leftOut, rows }, index) => {
          const points = [0, 1, 2, 3, 4]
            .filter((point) => point !== leftOut && point !== (leftOut + index) % 5)
            .slice(0, 3)
          return rows.map(({ step, least, width }) => {
            const [from, to] = (pairs[step] ?? pairs[0]).map((at) => points[at] ?? 0) as [number, number]
            return between(from, to, least, least + width, `s${index}`)
          })
        })
        // By definition, as in a packet: an event does not end before it starts.
        const network = { points: 5, constraints: [...constraints, between(1, 2, 0, Infinity, null)] }
        const conflict = findConflict(network)
        if (conflict === null) return
        conflicts++
        expect(conflict).toHaveLength(smallestByTrial(network))
      }),
      { numRuns: 600, seed: 8 },
    )
    expect(conflicts).toBeGreaterThan(200)
  })

  it('never keeps a needless statement where one statement bounds many points', () => {
    fc.assert(
      fc.property(smallNetwork(4), (network) => {
        const conflict = findConflict(network)
        if (conflict === null) {
          expect(isConsistent(network)).toBe(true)
          return
        }
        for (const left of conflict)
          expect(isConsistent(restricted(network, new Set(conflict.filter((each) => each !== left))))).toBe(true)
      }),
      { numRuns: 300, seed: 3 },
    )
  })

  it('quotes no needless statement of networks of the shape of a packet', () => {
    const events = 6
    const claim = fc.record({
      event: fc.nat(events - 1),
      edge: fc.constantFrom('start', 'end', 'whole'),
      clock: fc.nat(2),
      first: fc.integer({ min: 0, max: 60 }),
      width: fc.nat(4),
    })
    const clockError = 3
    let conflicts = 0
    fc.assert(
      fc.property(fc.array(claim, { minLength: 4, maxLength: 14 }), (claims) => {
        // Point 0 is UTC, 1 to 3 are clocks, then the start and end of each event.
        const startOf = (event: number) => 4 + 2 * event
        const constraints = [
          ...[1, 2, 3].map((clock) => between(0, clock, -clockError, clockError, `clock ${clock}`)),
          ...Array.from({ length: events }, (_, event) =>
            between(startOf(event), startOf(event) + 1, 0, Infinity, null),
          ),
          ...claims.flatMap(({ event, edge, clock, first, width }, index) => {
            const [start, end, says] = [startOf(event), startOf(event) + 1, `claim ${index}`]
            if (edge === 'start') return [between(1 + clock, start, first, first + width, says)]
            if (edge === 'end') return [between(1 + clock, end, first, first + width, says)]
            return [
              between(1 + clock, start, first, Infinity, says),
              between(1 + clock, end, -Infinity, first + width, says),
            ]
          }),
        ]
        const network = { points: 4 + 2 * events, constraints }
        const conflict = findConflict(network)
        expect(conflict === null).toBe(isConsistent(network))
        if (conflict === null) return
        conflicts++
        expect(isConsistent(restricted(network, new Set(conflict)))).toBe(false)
        for (const left of conflict)
          expect(isConsistent(restricted(network, new Set(conflict.filter((each) => each !== left))))).toBe(true)
      }),
      { numRuns: 400, seed: 12 },
    )
    expect(conflicts).toBeGreaterThan(100)
  }, 60_000)

  it('proves exactly the bounds of the minimal network', () => {
    fc.assert(
      fc.property(smallNetwork(9), fc.nat(3), fc.nat(3), (network, from, to) => {
        const bounds = tightenBounds(network)
        fc.pre(bounds !== null && from !== to)
        const prove = prepareProofs(network)
        const most = bounds?.(from, to)[1] ?? Infinity
        if (most === Infinity) {
          expect(prove(from, to, 1e9)).toBeNull()
          return
        }
        expect(prove(from, to, most - 1)).toBeNull()
        const proof = prove(from, to, most) ?? []
        const alone = (keep: readonly string[]) => tightenBounds(restricted(network, new Set(keep)))?.(from, to)[1]
        expect(alone(proof)).toBeLessThanOrEqual(most)
        // Every subset of all statements that is smaller falls short.
        for (const fewer of subsetsOf(network, proof.length - 1)) expect(alone(fewer) ?? Infinity).toBeGreaterThan(most)
        for (const left of proof) expect(alone(proof.filter((each) => each !== left))).toBeGreaterThan(most)
      }),
      { numRuns: 300, seed: 4 },
    )
  })
})

describe('a network as large as a packet', () => {
  it('is closed and explained', () => {
    const points = 300
    const constraints = Array.from({ length: points - 1 }, (_, index) => [
      between(0, index + 1, index * 10, index * 10 + 30, `at ${index}`),
      between(index, index + 1, 0, 40, `after ${index}`),
    ]).flat()
    expect(tightenBounds({ points, constraints })?.(0, points - 1)).toEqual([2980, 3010])
    const impossible = [...constraints, between(40, 43, 100, Infinity, 'long')]
    expect(findConflict({ points, constraints: impossible })).toEqual(['at 39', 'at 42', 'long'])
  })
})
