/** The catalogue of checks read backwards: what to save during a job so that every claim about it can be shown. */
import { type Check, type PlanLine, type PlanScope, type WorkStep, workSteps } from '../checks/check.ts'
import { findProcedure, type ProcedureEntry, type ProcedureValues } from '../checks/procedures.ts'
import type { CalibrationMethod, Sensor } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Vocabulary } from '../facts/vocabulary.ts'
import type { Packet } from '../packet/packet.ts'
import { identify, type Rulebook, type RulebookIdentity } from '../rulebook/rulebook.ts'
import { findJob, type Job, type Need, type PlannedCalibration } from './job.ts'
import { describeValue, valueKeys } from './procedure-text.ts'

/** A check that a line serves, with the reason and the rule. */
export interface Served {
  check: string
  claim: string
  /** The source of the rule. */
  basis: string
}

export interface Task {
  /** From 1, in the order of the work. */
  number: number
  text: string
  per: PlanScope
  /** What of the job it is asked for; null for the job as a whole. */
  subject: string | null
  /** On what it depends, as words that follow "if"; null where it is asked for in any case. */
  when: string | null
  serves: Served[]
}

/** A value of the procedures that this step goes by. */
export interface StepValue {
  label: string
  text: string
  /** The calibrations that it holds for. */
  calibrations: string[]
  source: string
}

export interface PlanStep {
  step: WorkStep
  values: StepValue[]
  tasks: Task[]
}

/** Something that a person decides before the work: the rest of the plan depends on it. */
export interface Decision {
  about: string
  text: string
  evidence: FilePlace[]
}

export interface Plan {
  plan: 1
  packet: string
  /** Repair-order number, where packet.yaml declares it or the files agree on one. */
  job: string | null
  rulebook: RulebookIdentity & { effective: string }
  vehicle: Packet['vehicle']
  calibrations: {
    label: string
    sensor: Sensor
    position: string | null
    method: CalibrationMethod | null
    need: Need
    evidence: FilePlace[]
  }[]
  notNeeded: Job['notNeeded']
  decisions: Decision[]
  /** Steps that ask for something, in the order of the work. */
  steps: PlanStep[]
  cautions: string[]
}

/**
 * The plan of a job, as far as its packet tells of it; pure. Checks that the rulebook leaves out ask for nothing.
 * `vocabulary` tells what the words of a declared repair call for.
 */
export function makePlan(packet: Packet, checks: readonly Check[], rulebook: Rulebook, vocabulary: Vocabulary): Plan {
  const job = findJob(packet, vocabulary)
  const served = checks.filter(({ id }) => rulebook.rules[id] !== undefined && rulebook.rules[id].off === null)
  let number = 0
  const steps = workSteps
    .map((step) => ({
      step,
      values: collectValues(step, job, packet, rulebook.procedures),
      tasks: collectTasks(step, job, served, rulebook).map((task) => ({ number: ++number, ...task })),
    }))
    .filter(({ values, tasks }) => values.length + tasks.length > 0)
  return {
    plan: 1,
    packet: packet.name,
    job: job.number,
    rulebook: { ...identify(rulebook), effective: rulebook.effective },
    vehicle: packet.vehicle,
    calibrations: job.calibrations.map(({ label, sensor, position, method, need, evidence }) => {
      return { label, sensor, position, method, need, evidence }
    }),
    notNeeded: job.notNeeded,
    decisions: job.calibrations.flatMap(decide),
    steps,
    cautions: [...rulebook.cautions],
  }
}

/**
 * Sensors that are aimed in the bay, on the road, or both; of the others it is not asked how, where nothing says it.
 * Common practice, no source.
 */
const aimed: ReadonlySet<Sensor> = new Set([
  'front-radar',
  'front-camera',
  'corner-radar',
  'rear-camera',
  'surround-camera',
  'lidar',
  'infrared-camera',
])

const isMethodOpen = ({ sensor, method }: PlannedCalibration): boolean => method === null && aimed.has(sensor)

function decide(calibration: PlannedCalibration): Decision[] {
  const { label, need, evidence } = calibration
  const decision = (text: string): Decision[] => [{ about: label, text, evidence }]
  if (need === 'usual')
    return decision(
      'Usually called for by this repair, unless the vehicle does not have the sensor or its maker asks for none: then declare it under notNeeded in packet.yaml, with the reason; else under calibrations, with its method.',
    )
  if (!isMethodOpen(calibration)) return []
  return decision(
    'Nothing says whether it is static (in the bay), dynamic (on the road) or both: look it up, and declare it under calibrations in packet.yaml.',
  )
}

interface Subject {
  label: string | null
  when: string | null
}

const whole: readonly Subject[] = [{ label: null, when: null }]
const always = ({ label }: { label: string }): Subject => ({ label, when: null })

function subjectsOf(per: PlanScope, job: Job): readonly Subject[] {
  switch (per) {
    case 'job':
      return whole
    case 'repair':
      return job.repairs.map(always)
    case 'alignment':
      return job.alignments.map(always)
    case 'replaced-sensor':
      return job.replacedSensors.map(always)
    default:
      return job.calibrations.flatMap((calibration) => subjectOf(per, calibration))
  }
}

const methodWords = {
  static: 'it is done in the bay',
  dynamic: 'it is done on the road',
  initialisation: null,
} as const

function subjectOf(per: 'calibration' | keyof typeof methodWords, calibration: PlannedCalibration): Subject[] {
  const { method, need } = calibration
  const label = `the ${calibration.label}`
  const needed = need === 'usual' ? 'it is needed' : null
  if (per === 'calibration' || method === per) return [{ label, when: needed }]
  if (method !== null) return []
  const open = isMethodOpen(calibration)
  if (open !== (per !== 'initialisation')) return []
  const words = [needed, methodWords[per]].filter((part) => part !== null)
  return [{ label, when: words.length === 0 ? null : words.join(' and ') }]
}

type Draft = Omit<Task, 'number'>

/** The tasks of one step: those of the job first, then subject by subject. What several checks ask for in the same words is one. */
function collectTasks(step: WorkStep, job: Job, checks: readonly Check[], rulebook: Rulebook): Draft[] {
  const tasks = new Map<string, Draft>()
  for (const check of checks) {
    const serves: Served = { check: check.id, claim: check.claim, basis: rulebook.rules[check.id]?.basis ?? 'none' }
    for (const line of check.collect.filter((one) => one.step === step))
      for (const subject of subjectsOf(line.per, job)) addTask(tasks, line, subject, serves)
  }
  const order = ({ subject, per }: Draft): number => (subject === null ? -1 : orderOf(per, subject, job))
  return [...tasks.values()]
    .map((task, at) => ({ task, at }))
    .sort((a, b) => order(a.task) - order(b.task) || a.at - b.at)
    .map(({ task }) => task)
}

function addTask(tasks: Map<string, Draft>, { per, text }: PlanLine, { label, when }: Subject, serves: Served): void {
  const filled = capitalise(text.replaceAll('{subject}', () => label ?? 'the job'))
  const key = JSON.stringify([filled, when])
  const known = tasks.get(key)
  if (known === undefined) tasks.set(key, { text: filled, per, subject: label, when, serves: [serves] })
  else if (!known.serves.some(({ check }) => check === serves.check)) known.serves.push(serves)
}

const capitalise = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1)

function orderOf(per: PlanScope, subject: string, job: Job): number {
  const parts = [...job.repairs, ...job.replacedSensors, ...job.alignments].map(({ label }) => label)
  if (['repair', 'replaced-sensor', 'alignment'].includes(per)) return parts.indexOf(subject)
  return parts.length + job.calibrations.findIndex(({ label }) => subject === `the ${label}`)
}

function collectValues(step: WorkStep, job: Job, packet: Packet, procedures: readonly ProcedureEntry[]): StepValue[] {
  const found = new Map<string, StepValue>()
  for (const key of valueKeys)
    for (const calibration of job.calibrations)
      for (const method of methodsOf(calibration)) {
        const procedure = findProcedure(procedures, packet, calibration.sensor, method)
        const said = describeValue(key, procedure.values, ownStep(method))
        if (said?.step !== step) continue
        if (!bearsOn(key, calibration, job)) continue
        const source = procedure.sources[key] ?? 'none'
        const known = found.get(JSON.stringify([said, source]))
        if (known === undefined)
          found.set(JSON.stringify([said, source]), {
            label: said.label,
            text: said.text,
            calibrations: [calibration.label],
            source,
          })
        else if (!known.calibrations.includes(calibration.label)) known.calibrations.push(calibration.label)
      }
  return [...found.values()]
}

/** Does the job have what the value speaks of beside the calibration: an alignment, the sensor's other method? */
function bearsOn(key: keyof ProcedureValues, calibration: PlannedCalibration, job: Job): boolean {
  if (key === 'alignmentFirst') return job.alignments.length > 0
  if (key !== 'staticFirst') return true
  const same = job.calibrations.filter(({ sensor }) => sensor === calibration.sensor).flatMap(methodsOf)
  return same.includes('static') && same.includes('dynamic')
}

function methodsOf(calibration: PlannedCalibration): CalibrationMethod[] {
  if (calibration.method !== null) return [calibration.method]
  return isMethodOpen(calibration) ? ['static', 'dynamic'] : ['initialisation']
}

function ownStep(method: CalibrationMethod): WorkStep | null {
  return method === 'static' || method === 'dynamic' ? method : null
}
