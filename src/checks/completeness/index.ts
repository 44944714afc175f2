import type { Check } from '../check.ts'
import { alignmentRecorded } from './alignment-recorded.ts'
import { calibrationRecorded } from './calibration-recorded.ts'
import { datesPresent } from './dates-present.ts'
import { driveRecorded } from './drive-recorded.ts'
import { equipmentNamed } from './equipment-named.ts'
import { filesReadable } from './files-readable.ts'
import { filesRecognised } from './files-recognised.ts'
import { instrumentInDate } from './instrument-in-date.ts'
import { modulesCovered } from './modules-covered.ts'
import { pagesComplete } from './pages-complete.ts'
import { peopleIdentified } from './people-identified.ts'
import { postScanPresent } from './post-scan-present.ts'
import { preScanPresent } from './pre-scan-present.ts'
import { procedureCited } from './procedure-cited.ts'
import { repairCallsFor } from './repair-calls-for.ts'
import { scanCoversVehicle } from './scan-covers-vehicle.ts'
import { targetSetupPhotographed } from './target-setup-photographed.ts'
import { technicianNamed } from './technician-named.ts'

/** The checks of the group `completeness`, sorted by id. */
export const completenessChecks: readonly Check[] = [
  alignmentRecorded,
  calibrationRecorded,
  datesPresent,
  driveRecorded,
  equipmentNamed,
  filesReadable,
  filesRecognised,
  instrumentInDate,
  modulesCovered,
  pagesComplete,
  peopleIdentified,
  postScanPresent,
  preScanPresent,
  procedureCited,
  repairCallsFor,
  scanCoversVehicle,
  targetSetupPhotographed,
  technicianNamed,
]
