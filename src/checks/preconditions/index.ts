import type { Check } from '../check.ts'
import { batterySupported } from './battery-supported.ts'
import { floorAndTargetsMeasured } from './floor-and-targets-measured.ts'
import { loadRecorded } from './load-recorded.ts'
import { steeringAngleZeroed } from './steering-angle-zeroed.ts'
import { tirePressureRecorded } from './tire-pressure-recorded.ts'

/** The checks of the group `preconditions`, sorted by id. */
export const preconditionsChecks: readonly Check[] = [
  batterySupported,
  floorAndTargetsMeasured,
  loadRecorded,
  steeringAngleZeroed,
  tirePressureRecorded,
]
