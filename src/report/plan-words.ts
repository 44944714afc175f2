/** The words and groupings that every form of a plan shares. */
import type { WorkStep } from '../checks/check.ts'
import type { Plan, PlanStep, Served, StepValue, Task } from '../plan/plan.ts'
import { describePlace } from './words.ts'

export const stepTitles: Record<WorkStep, string> = {
  intake: 'At intake',
  'pre-scan': 'Pre-scan, before any work',
  repair: 'During the repair',
  alignment: 'Wheel alignment',
  preparation: 'Before calibrating',
  static: 'Static calibration, in the bay',
  dynamic: 'Dynamic calibration, on the road',
  'post-scan': 'Post-scan, after all work',
  release: 'At release',
  papers: 'Papers, before the packet is handed over',
  seal: 'When the packet is complete',
}

const needWords: Record<Plan['calibrations'][number]['need'], string> = {
  declared: 'declared',
  listed: 'listed',
  recorded: 'recorded',
  usual: 'usually called for',
}

/** `declared (packet.yaml, line 12)`, with the first place alone: the plan is for the wall. */
export function describeNeed({ need, evidence }: Plan['calibrations'][number]): string {
  const [place] = evidence
  return place === undefined ? needWords[need] : `${needWords[need]}: ${describePlace(place)}`
}

/** "RO 4471 (packet.yaml)". */
export function describeJob({ job, packet }: Plan): string {
  return job === null || job === packet ? packet : `${job} (${packet})`
}

/** "2026 Brand Model, VIN …"; empty where nothing is known. */
export function describeVehicle({ year, make, model, vin, plate }: Plan['vehicle']): string {
  const name = [year, make, model].filter((part) => part !== undefined).join(' ')
  return [name, vin === null ? '' : `VIN ${vin}`, plate === undefined ? '' : `plate ${plate}`]
    .filter((part) => part !== '')
    .join(', ')
}

/** A task as an instruction, with what it depends on. */
export function describeTask({ text, when }: Task): string {
  return when === null ? text : `If ${when}: ${text}`
}

/** Values that hold for the same calibrations, with their sources, each once. */
export interface ValueGroup {
  calibrations: string[]
  values: StepValue[]
  sources: string[]
}

export function groupValues({ values }: PlanStep): ValueGroup[] {
  const groups = new Map<string, ValueGroup>()
  for (const value of values) {
    const key = JSON.stringify(value.calibrations)
    const group = groups.get(key) ?? { calibrations: value.calibrations, values: [], sources: [] }
    group.values.push(value)
    if (!group.sources.includes(value.source)) group.sources.push(value.source)
    groups.set(key, group)
  }
  return [...groups.values()]
}

/** Why a task is asked for: what is new is told in full, what an earlier task told is referred to. */
export interface Reasons {
  told: Served[]
  before: { check: string; number: number }[]
}

/** The reasons of every task, by its number. */
export function assignReasons(plan: Plan): Map<number, Reasons> {
  const first = new Map<string, number>()
  return new Map(
    plan.steps
      .flatMap(({ tasks }) => tasks)
      .map(({ number, serves }): [number, Reasons] => {
        const told = serves.filter(({ check }) => !first.has(check))
        const before = serves
          .filter((one) => !told.includes(one))
          .map(({ check }) => ({ check, number: first.get(check) ?? number }))
        for (const { check } of told) first.set(check, number)
        return [number, { told, before }]
      }),
  )
}

/** What is said where the packet tells of no calibration. */
export const noCalibrations =
  'Nothing declares, lists or calls for a calibration, so the plan asks only for what every job needs.'
