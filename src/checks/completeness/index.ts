import type { Check } from '../check.ts'
import { calibrationRecorded } from './calibration-recorded.ts'
import { datesPresent } from './dates-present.ts'
import { driveRecorded } from './drive-recorded.ts'
import { filesReadable } from './files-readable.ts'
import { filesRecognised } from './files-recognised.ts'
import { modulesCovered } from './modules-covered.ts'
import { postScanPresent } from './post-scan-present.ts'
import { preScanPresent } from './pre-scan-present.ts'

/** The checks of the group `completeness`, sorted by id. */
export const completenessChecks: readonly Check[] = [
  calibrationRecorded,
  datesPresent,
  driveRecorded,
  filesReadable,
  filesRecognised,
  modulesCovered,
  postScanPresent,
  preScanPresent,
]
