import type { Check } from '../check.ts'
import { equipmentAgrees } from './equipment-agrees.ts'
import { jobNumberAgrees } from './job-number-agrees.ts'
import { odometerMatchesDrive } from './odometer-matches-drive.ts'
import { odometerRunsForward } from './odometer-runs-forward.ts'
import { plateAgrees } from './plate-agrees.ts'
import { sensorPartAgrees } from './sensor-part-agrees.ts'
import { sensorSerialAgrees } from './sensor-serial-agrees.ts'
import { vehicleMatchesVin } from './vehicle-matches-vin.ts'
import { vinAgrees } from './vin-agrees.ts'
import { vinPresent } from './vin-present.ts'
import { vinSeenOnVehicle } from './vin-seen-on-vehicle.ts'
import { vinWellFormed } from './vin-well-formed.ts'

/** The checks of the group `identity`, sorted by id. */
export const identityChecks: readonly Check[] = [
  equipmentAgrees,
  jobNumberAgrees,
  odometerMatchesDrive,
  odometerRunsForward,
  plateAgrees,
  sensorPartAgrees,
  sensorSerialAgrees,
  vehicleMatchesVin,
  vinAgrees,
  vinPresent,
  vinSeenOnVehicle,
  vinWellFormed,
]
