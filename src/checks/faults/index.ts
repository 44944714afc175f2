import type { Check } from '../check.ts'
import { modulesRespond } from './modules-respond.ts'
import { noCalibrationFaultsLeft } from './no-calibration-faults-left.ts'
import { noFaultsLeft } from './no-faults-left.ts'
import { noNewFaults } from './no-new-faults.ts'
import { noPendingFaults } from './no-pending-faults.ts'

/** The checks of the group `faults`, sorted by id. */
export const faultsChecks: readonly Check[] = [
  modulesRespond,
  noCalibrationFaultsLeft,
  noFaultsLeft,
  noNewFaults,
  noPendingFaults,
]
