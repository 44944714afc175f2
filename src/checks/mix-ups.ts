/**
 * Calibrations that seem to have been made at another sensor than the one required: the required one has no record, and a
 * completed record is there of one that it is easily taken for and that nothing in the packet asks for.
 */
import type { CalibrationMethod, Sensor } from '../facts/document.ts'
import { agreesInPosition } from '../facts/position.ts'
import type { Packet } from '../packet/packet.ts'
import { workOf } from './billing/billed-work.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt } from './calibrations.ts'
import { collectRequired, type RequiredCalibration } from './completeness/required-calibrations.ts'
import { collectReplaced } from './identity/serial-statements.ts'
import { nameSensor } from './places.ts'

export interface MixUp {
  required: RequiredCalibration
  /** For people, in the way that has no record: "static calibration of the left corner radar". */
  label: string
  /** What was calibrated in its place, as far as the packet tells. */
  record: CalibrationRecord
  /** The same kind of sensor at another place, or another sensor. */
  differs: 'position' | 'sensor'
}

/** Sensors that look in one direction, or bear one name: one is easily taken for the other (common practice). */
const alike: readonly (readonly Sensor[])[] = [
  ['front-radar', 'front-camera', 'infrared-camera', 'lidar'],
  ['front-radar', 'corner-radar'],
  ['rear-camera', 'surround-camera'],
  ['front-camera', 'surround-camera'],
]

/** Every required calibration without a record that another one seems to have taken the place of. */
export function findMixUps(packet: Packet): MixUp[] {
  const all = collectRequired(packet)
  const records = calibrationRecords(packet)
  const asked = [...all, ...collectReplaced(packet), ...collectCalled(packet)]
  const needless = records.filter((record) => isDone(record) && !asked.some((one) => fits(one, record.reading)))
  return collectLacking(packet, records).flatMap(({ required, label, method }): MixUp[] => {
    const own = records.some(({ reading }) => fits(required, reading))
    // Where the sensor has a record of another method, only one of the method that has none can stand in its place.
    const inWay = own ? needless.filter(({ reading }) => reading.method === method) : needless
    const beside = inWay.find(({ reading }) => reading.sensor === required.sensor)
    if (beside !== undefined) return [{ required, label, record: beside, differs: 'position' }]
    const other = inWay.find(({ reading }) => areAlike(reading.sensor, required.sensor))
    return other === undefined ? [] : [{ required, label, record: other, differs: 'sensor' }]
  })
}

export interface Repeat {
  required: RequiredCalibration
  label: string
  /** Two completed runs of one calibration, at another position of the same sensor or at one that is like it. */
  records: readonly [CalibrationRecord, CalibrationRecord]
}

/**
 * Every required calibration without a record where its sensor at another position, or a sensor that it is taken for, was
 * calibrated twice in one way: one of the two may have been made at the required one, and recorded under the wrong name.
 * Two papers on one run are none.
 */
export function findRepeats(packet: Packet): Repeat[] {
  const records = calibrationRecords(packet)
  return collectLacking(packet, records).flatMap(({ required, label, method }): Repeat[] => {
    const others = records.filter((record) => {
      const { reading } = record
      if (!isDone(record) || fits(required, reading) || (method !== null && reading.method !== method)) return false
      return reading.sensor === required.sensor || areAlike(reading.sensor, required.sensor)
    })
    for (const [at, first] of others.entries()) {
      const second = others.slice(at + 1).find((other) => isAnotherRun(first, other))
      if (second !== undefined) return [{ required, label, records: [first, second] }]
    }
    return []
  })
}

const isDone = ({ reading }: CalibrationRecord): boolean =>
  finalAttempt(reading).outcome === 'completed' && reading.sensor !== 'other'

interface Lack {
  required: RequiredCalibration
  label: string
  /** The method of which there is no record; null where any would do. */
  method: CalibrationMethod | null
}

/** Required calibrations without a record; of those that bills list by their methods, each method by itself. */
function collectLacking(packet: Packet, records: readonly CalibrationRecord[]): Lack[] {
  const charged = packet.documents.flatMap(({ operations = [] }) =>
    operations
      .filter(({ kind }) => kind === 'calibration')
      .flatMap(workOf)
      .flatMap((work) => (work.kind === 'calibration' && work.method !== 'unknown' ? [work] : [])),
  )
  return collectRequired(packet).flatMap((required): Lack[] => {
    const listed = charged.filter((work) => fits(required, work)).map(({ method }) => method)
    const methods: (CalibrationMethod | null)[] =
      required.method !== null || listed.length === 0 ? [required.method] : [...new Set(listed)]
    return methods
      .filter((method) => !records.some(({ reading }) => fits(required, reading) && isInWay(reading.method, method)))
      .map((method) => ({ required, method, label: labelIn(required, method) }))
  })
}

const isInWay = (recorded: CalibrationMethod, wanted: CalibrationMethod | null): boolean =>
  wanted === null || recorded === wanted || recorded === 'unknown'

const labelIn = ({ label, sensor, position, method }: RequiredCalibration, way: CalibrationMethod | null): string =>
  method === way || way === null ? label : `${way} calibration of the ${nameSensor(sensor, position)}`

/** Two papers on one run may print its time by different clocks, or to the minute; a run takes longer than that. */
const mostApart = 5 * 60_000

function isAnotherRun({ reading: a }: CalibrationRecord, { reading: b }: CalibrationRecord): boolean {
  if (a.position !== b.position || a.method !== b.method || a.method === 'unknown') return false
  const [first, second] = [a.started ?? a.ended, b.started ?? b.ended]
  if (!first?.local || !second?.local || first.offset !== second.offset) return false
  return Math.abs(Date.parse(`${first.local}Z`) - Date.parse(`${second.local}Z`)) > mostApart
}

interface Placed {
  sensor: Sensor
  position: string | null
}

function fits(one: Placed, other: Placed): boolean {
  return one.sensor === other.sensor && agreesInPosition(one.position, other.position)
}

function areAlike(a: Sensor, b: Sensor): boolean {
  return a !== b && alike.some((group) => group.includes(a) && group.includes(b))
}

/** What repair lines usually call for; the side at which a part sits tells which of two sensors it bears on. */
function collectCalled(packet: Packet): Placed[] {
  return packet.documents.flatMap(({ operations = [] }) =>
    operations
      .filter(({ kind }) => kind === 'repair' || kind === 'alignment')
      .flatMap(({ calls, position }) => calls.map((sensor): Placed => ({ sensor, position: position ?? null }))),
  )
}
