/** A procedure's values in words, each at the step of the job that it is for. */
import type { WorkStep } from '../checks/check.ts'
import type { Preparation, ProcedureValues } from '../checks/procedures.ts'

export interface ValueText {
  step: WorkStep
  /** A word or two that name the value: "Speed". */
  label: string
  text: string
}

type Key = keyof ProcedureValues
type Describer<K extends Key> = (value: NonNullable<ProcedureValues[K]>) => Omit<ValueText, 'step'> | null

// The statute mile, exactly (international yard and pound agreement of 1959).
const kilometresPerMile = 1.609344

const preparations: Record<Preparation, string> = {
  'tire-pressure': 'tire pressures',
  load: 'load and fuel',
  'ride-height': 'ride height',
  floor: 'level floor',
  'target-position': 'position of the targets',
  'steering-angle': 'steering wheel straight ahead',
}

const describers: { [K in Key]: Describer<K> } = {
  speedKmh: ([least, most]) => ({
    label: 'Speed',
    text: `${least} to ${most} km/h (${toMiles(least)} to ${toMiles(most)} mph)`,
  }),
  steadySeconds: (seconds) => ({ label: 'Steady', text: `at least ${formatSpan(seconds)} of it without a break` }),
  usualSeconds: ([least, most]) => ({ label: 'Usual time', text: formatRange(least, most) }),
  possibleSeconds: ([least, most]) => ({
    label: 'Possible',
    text: `${formatRange(least, most)}; what is shorter or longer needs an explanation`,
  }),
  daylight: (needed) => (needed ? { label: 'Light', text: 'by daylight, with lane markings in sight' } : null),
  reportsProgress: (does) =>
    does ? { label: 'Progress', text: 'the instrument shows it in percent; it ends at 100 %' } : null,
  targets: (needed) =>
    needed ? { label: 'Targets', text: 'set up before the vehicle; record which and where' } : null,
  alignmentFirst: (first) =>
    first ? { label: 'Alignment', text: 'where the job has one, before this calibration' } : null,
  staticFirst: (first) => (first ? { label: 'Order', text: 'where the sensor has both, static before dynamic' } : null),
  angleFirst: (first) =>
    first ? { label: 'Angle', text: 'set or measured first where the sensor was struck or replaced' } : null,
  preparation: (conditions) => ({
    label: 'Record first',
    text: conditions.map((condition) => preparations[condition]).join(', '),
  }),
  supplyVolts: ([least, sound]) => ({
    label: 'Voltage',
    text: `at least ${sound} V throughout; below ${least} V the work does not stand`,
  }),
}

/** Where a value is wanted; what is not named here belongs to the calibration itself. */
const steps: Partial<Record<Key, WorkStep>> = {
  alignmentFirst: 'alignment',
  targets: 'preparation',
  angleFirst: 'preparation',
  preparation: 'preparation',
  supplyVolts: 'preparation',
}

/** The values' keys in the order in which a technician needs them. */
export const valueKeys = Object.keys(describers) as readonly Key[]

/**
 * One value in words; null where it asks for nothing. `own`: the step of the calibration's own method, or null where it
 * has none of these steps.
 */
export function describeValue<K extends Key>(key: K, values: ProcedureValues, own: WorkStep | null): ValueText | null {
  const value = values[key]
  const step = steps[key] ?? own
  if (value === undefined || step === null) return null
  const said = describers[key](value as NonNullable<ProcedureValues[K]>)
  return said === null ? null : { step, ...said }
}

const toMiles = (kilometres: number): number => Math.round(kilometres / kilometresPerMile)

const round = (value: number): number => Math.round(value * 10) / 10

/** "90 s", "5 minutes", "8 hours". */
function formatSpan(seconds: number): string {
  const [number, unit] = split(seconds)
  return unit === 's' ? `${number} s` : `${number} ${unit}${number === 1 ? '' : 's'}`
}

/** "5 to 15 minutes", "90 s to 5 minutes". */
function formatRange(least: number, most: number): string {
  const [from, unit] = split(least)
  return unit === split(most)[1] ? `${from} to ${formatSpan(most)}` : `${formatSpan(least)} to ${formatSpan(most)}`
}

function split(seconds: number): [number, 's' | 'minute' | 'hour'] {
  if (seconds < 60) return [round(seconds), 's']
  return seconds < 7200 ? [round(seconds / 60), 'minute'] : [round(seconds / 3600), 'hour']
}
