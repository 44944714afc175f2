/**
 * Calibrations that seem to have been made at another sensor than the one required: the required one has no record, and a
 * completed record is there of one that it is easily taken for and that nothing in the packet asks for.
 */
import type { Sensor } from '../facts/document.ts'
import { agreesInPosition } from '../facts/position.ts'
import type { Packet } from '../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt } from './calibrations.ts'
import { collectRequired, type RequiredCalibration } from './completeness/required-calibrations.ts'
import { collectReplaced } from './identity/serial-statements.ts'

export interface MixUp {
  required: RequiredCalibration
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
  const records = calibrationRecords(packet).filter(({ reading }) => {
    return finalAttempt(reading).outcome === 'completed' && reading.sensor !== 'other'
  })
  const asked = [...all, ...collectReplaced(packet), ...collectCalled(packet)]
  const needless = records.filter(({ reading }) => !asked.some((one) => fits(one, reading)))
  return all.flatMap((required): MixUp[] => {
    if (calibrationRecords(packet).some(({ reading }) => fits(required, reading))) return []
    const beside = needless.find(({ reading }) => reading.sensor === required.sensor)
    if (beside !== undefined) return [{ required, record: beside, differs: 'position' }]
    const other = needless.find(({ reading }) => areAlike(reading.sensor, required.sensor))
    return other === undefined ? [] : [{ required, record: other, differs: 'sensor' }]
  })
}

export interface Repeat {
  required: RequiredCalibration
  /** Two completed runs of one calibration, at another position of the same sensor. */
  records: readonly [CalibrationRecord, CalibrationRecord]
}

/**
 * Every required calibration without a record where the same sensor was calibrated twice, in one way, at another position:
 * one of the two may have been made at the required one, and recorded under the wrong name. Two papers on one run are none.
 */
export function findRepeats(packet: Packet): Repeat[] {
  const records = calibrationRecords(packet)
  const completed = records.filter(({ reading }) => finalAttempt(reading).outcome === 'completed')
  return collectRequired(packet).flatMap((required): Repeat[] => {
    if (required.position === null || records.some(({ reading }) => fits(required, reading))) return []
    const ofSensor = completed.filter(({ reading }) => reading.sensor === required.sensor)
    for (const [at, first] of ofSensor.entries()) {
      const second = ofSensor.slice(at + 1).find((other) => isAnotherRun(first, other))
      if (second !== undefined) return [{ required, records: [first, second] }]
    }
    return []
  })
}

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
