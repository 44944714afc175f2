import type { Check } from '../check.ts'
import { odometerRunsForward } from './odometer-runs-forward.ts'
import { sensorSerialAgrees } from './sensor-serial-agrees.ts'
import { vinAgrees } from './vin-agrees.ts'
import { vinPresent } from './vin-present.ts'
import { vinWellFormed } from './vin-well-formed.ts'

/** The checks of the group `identity`, sorted by id. */
export const identityChecks: readonly Check[] = [
  odometerRunsForward,
  sensorSerialAgrees,
  vinAgrees,
  vinPresent,
  vinWellFormed,
]
