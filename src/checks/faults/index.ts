import type { Check } from '../check.ts'
import { faultCodesWellFormed } from './fault-codes-well-formed.ts'
import { faultCountAgrees } from './fault-count-agrees.ts'
import { faultsRetested } from './faults-retested.ts'
import { modulesRespond } from './modules-respond.ts'
import { noCalibrationFaultsLeft } from './no-calibration-faults-left.ts'
import { noFaultsLeft } from './no-faults-left.ts'
import { noNewFaults } from './no-new-faults.ts'
import { noPendingFaults } from './no-pending-faults.ts'
import { permanentFaultsNoted } from './permanent-faults-noted.ts'
import { priorFaultsExplained } from './prior-faults-explained.ts'

/** The checks of the group `faults`, sorted by id. */
export const faultsChecks: readonly Check[] = [
  faultCodesWellFormed,
  faultCountAgrees,
  faultsRetested,
  modulesRespond,
  noCalibrationFaultsLeft,
  noFaultsLeft,
  noNewFaults,
  noPendingFaults,
  permanentFaultsNoted,
  priorFaultsExplained,
]
