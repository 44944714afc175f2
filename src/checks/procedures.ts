/**
 * Procedures as data: what is usual and what is possible when a sensor is calibrated.
 *
 * A rulebook lists entries, each for some sensors, methods and vehicles. They apply from top to bottom, and a later one
 * overrules an earlier one value by value; those of a rulebook that extends another come after the other's. So the
 * values of common practice stand first, and a vehicle maker's own, which rule, stand below them.
 */
import type { CalibrationMethod, Sensor } from '../facts/document.ts'
import type { Packet } from '../packet/packet.ts'

/** The conditions that a record can state before a calibration. */
export type Preparation = 'tire-pressure' | 'load' | 'ride-height' | 'floor' | 'target-position' | 'steering-angle'

/** What a procedure asks for. A value that is absent is not asked for, or not known. */
export interface ProcedureValues {
  /** Least and most seconds between which it can have taken place at all. */
  possibleSeconds?: readonly [number, number]
  /** Least and most seconds that it usually takes. */
  usualSeconds?: readonly [number, number]
  /** Least and most speed of the drive, in km/h. */
  speedKmh?: readonly [number, number]
  /** The least unbroken stretch within the speed band, in seconds. */
  steadySeconds?: number
  /** Is daylight needed? */
  daylight?: boolean
  /** Does the instrument show how far the procedure has come, in percent? */
  reportsProgress?: boolean
  /** Are targets set up before the vehicle? */
  targets?: boolean
  /** Does it rely on the wheels being aligned first? */
  alignmentFirst?: boolean
  /** Where a sensor has both, does the static one come before the dynamic one? */
  staticFirst?: boolean
  /** Is the angle of the sensor set or measured first, where it was struck or replaced? */
  angleFirst?: boolean
  /** Conditions to be recorded before it. */
  preparation?: readonly Preparation[]
  /** Least supply voltage: below the first the work does not stand, below the second a person must look. */
  supplyVolts?: readonly [number, number]
}

/** To which vehicles and shops an entry applies; what is absent does not limit. Names are compared without regard to case. */
export interface ProcedureReach {
  make?: string
  model?: string
  /** First and last model year. */
  years?: readonly [number, number]
  /** The name of the shop, as packet.yaml declares it. */
  shop?: string
}

/** One entry of a rulebook's list. */
export interface ProcedureEntry {
  /** The source of its values, or that they are common practice without one. */
  basis: string
  for?: ProcedureReach
  /** Absent: every sensor. */
  sensors?: readonly Sensor[]
  /** Absent: every method. */
  methods?: readonly CalibrationMethod[]
  values: ProcedureValues
}

/** The values that hold for one calibration of one vehicle, each with its source. */
export interface Procedure {
  values: ProcedureValues
  /** The basis of the entry that each value comes from. */
  sources: Readonly<Partial<Record<keyof ProcedureValues, string>>>
}

const same = (a: string | undefined, b: string | undefined): boolean =>
  a !== undefined && b !== undefined && a.trim().toLowerCase() === b.trim().toLowerCase()

/** Does the entry reach this vehicle and shop? What is not known of the vehicle is not reached by an entry that asks for it. */
function reaches(
  { make, model, years, shop }: ProcedureReach,
  packet: Pick<Packet, 'vehicle' | 'declaration'>,
): boolean {
  const { vehicle, declaration } = packet
  if (make !== undefined && !same(make, vehicle.make)) return false
  if (model !== undefined && !same(model, vehicle.model)) return false
  if (shop !== undefined && !same(shop, declaration?.shop?.name)) return false
  const { year } = vehicle
  return years === undefined || (year !== undefined && year >= years[0] && year <= years[1])
}

/** What holds for a calibration of `sensor` by `method` on the packet's vehicle. */
export function findProcedure(
  procedures: readonly ProcedureEntry[],
  packet: Pick<Packet, 'vehicle' | 'declaration'>,
  sensor: Sensor,
  method: CalibrationMethod,
): Procedure {
  const values: Record<string, unknown> = {}
  const sources: Record<string, string> = {}
  for (const entry of procedures) {
    if (entry.sensors !== undefined && !entry.sensors.includes(sensor)) continue
    if (entry.methods !== undefined && !entry.methods.includes(method)) continue
    if (entry.for !== undefined && !reaches(entry.for, packet)) continue
    for (const [key, value] of Object.entries(entry.values)) {
      values[key] = value
      sources[key] = entry.basis
    }
  }
  return { values, sources }
}

/** The sources of some of a procedure's values, each once, for an outcome that rests on them. */
export function sourcesOf(procedure: Procedure, ...keys: (keyof ProcedureValues)[]): string[] {
  return [...new Set(keys.flatMap((key) => procedure.sources[key] ?? []))]
}
