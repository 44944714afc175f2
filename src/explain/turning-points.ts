/** Where a verdict turns: the numbers of a rule and of the procedures, moved until the check says something else. */
import type { Parameter } from '../checks/check.ts'
import type { ProcedureEntry, ProcedureValues } from '../checks/procedures.ts'
import type { Finding, Verdict } from '../findings/report.ts'
import type { Packet } from '../packet/packet.ts'
import { worstVerdict } from './verdicts.ts'

export interface TurningPoint {
  /** Name of the parameter or of the procedure's value; a member of a pair or map is `name.member`. */
  name: string
  /** What the rulebook sets. */
  value: number
  /** The nearest value, to three digits, with which the worst verdict is another. */
  at: number
  /** The worst verdict there. */
  verdict: Verdict
}

/** Runs the check over a packet with other values. */
export type RunCheck = (
  packet: Packet,
  parameters?: Readonly<Record<string, Parameter>>,
  procedures?: readonly ProcedureEntry[],
) => Finding[]

/** One number that can be moved. */
interface Knob {
  name: string
  value: number
  run(value: number): Finding[]
}

/** How far a number is moved in either direction before it is given up, as factors of its value. */
const factors = [1.02, 1.1, 1.25, 1.5, 2, 3, 5, 10, 100]
const shares = [0.98, 0.9, 0.75, 0.5, 0.25, 0.1, 0.01, 0]

/** For each number of the rule and the procedures, the nearest value up and down at which the worst verdict turns. */
export function findTurningPoints(
  packet: Packet,
  parameters: Readonly<Record<string, Parameter>>,
  procedures: readonly ProcedureEntry[],
  run: RunCheck,
): TurningPoint[] {
  const now = worstVerdict(run(packet))
  const knobs = [
    ...knobsOf(parameters).map(
      ({ path, value }): Knob => ({
        name: path.join('.'),
        value,
        run: (changed) => run(packet, setIn(parameters, path, changed) as typeof parameters),
      }),
    ),
    ...procedureKnobs(packet, procedures, run),
  ]
  return knobs.flatMap((knob) => [turn(knob, now, shares), turn(knob, now, factors)].filter((point) => point !== null))
}

/** Numbers of a rule's parameters, those in pairs and maps too. */
function knobsOf(parameters: Readonly<Record<string, Parameter>>): { path: string[]; value: number }[] {
  const visit = (value: unknown, path: string[]): { path: string[]; value: number }[] => {
    if (typeof value === 'number' && path.length > 0) return [{ path, value }]
    if (typeof value !== 'object' || value === null) return []
    return Object.entries(value).flatMap(([key, member]) => visit(member, [...path, key]))
  }
  return visit(parameters, [])
}

/** The numbers of the procedures; none for a check that does not look at them. */
function procedureKnobs(packet: Packet, procedures: readonly ProcedureEntry[], run: RunCheck): Knob[] {
  let isRead = false
  const watched = new Proxy(procedures, {
    get(target, key) {
      isRead = true
      return Reflect.get(target, key)
    },
  })
  run(packet, undefined, watched)
  if (!isRead) return []
  return procedures.flatMap((entry, index) =>
    knobsOf(entry.values as Record<string, Parameter>).map(({ path, value }): Knob => {
      const change = (changed: number): ProcedureEntry[] =>
        procedures.with(index, { ...entry, values: setIn(entry.values, path, changed) as ProcedureValues })
      return { name: nameKnob(entry, path), value, run: (changed) => run(packet, undefined, change(changed)) }
    }),
  )
}

/** `front-radar, dynamic: usualSeconds, most` */
function nameKnob({ sensors, methods }: ProcedureEntry, path: readonly string[]): string {
  const [key = '', member] = path
  const end = member === undefined ? '' : member === '0' ? ', least' : ', most'
  return `${sensors?.join('/') ?? 'any sensor'}, ${methods?.join('/') ?? 'any method'}: ${key}${end}`
}

function setIn(holder: object, [key = '', ...rest]: readonly string[], value: number): unknown {
  const copy: Record<string, unknown> | unknown[] = Array.isArray(holder) ? [...holder] : { ...holder }
  const fields = copy as Record<string, unknown>
  fields[key] = rest.length === 0 ? value : setIn(fields[key] as object, rest, value)
  return copy
}

/** Moves the number step by step until the verdict turns, then halves the step until three digits are settled. */
function turn(knob: Knob, now: Verdict, steps: readonly number[]): TurningPoint | null {
  const furthest = steps.at(-1)
  // Most numbers have no bearing on the packet at hand: the furthest step tells that at once.
  if (knob.value === 0 || furthest === undefined || worstVerdict(knob.run(knob.value * furthest)) === now) return null
  let same = knob.value
  for (const step of steps) {
    const tried = knob.value * step
    if (worstVerdict(knob.run(tried)) === now) same = tried
    else {
      const at = bisect(knob, now, same, tried)
      return { name: knob.name, value: knob.value, at, verdict: worstVerdict(knob.run(at)) }
    }
  }
  return null
}

function bisect(knob: Knob, now: Verdict, same: number, other: number): number {
  let [near, far] = [same, other]
  for (let halving = 0; halving < 24 && Math.abs(far - near) > Math.abs(far) * 5e-4; halving++) {
    const middle = (near + far) / 2
    if (worstVerdict(knob.run(middle)) === now) near = middle
    else far = middle
  }
  const rounded = Number(far.toPrecision(3))
  // Rounding must not step back over the turning point.
  return worstVerdict(knob.run(rounded)) === now ? far : rounded
}
