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
