import type { Check } from '../check.ts'
import { alignmentPrecedesCalibration } from './alignment-precedes-calibration.ts'
import { calibrationFollowsRepair } from './calibration-follows-repair.ts'
import { clocksAgree } from './clocks-agree.ts'
import { nothingInTheFuture } from './nothing-in-the-future.ts'
import { postScanFollowsCalibration } from './post-scan-follows-calibration.ts'
import { preScanPrecedesWork } from './pre-scan-precedes-work.ts'
import { staticPrecedesDynamic } from './static-precedes-dynamic.ts'
import { timelineConsistent } from './timeline-consistent.ts'

/** The checks of the group `order`, sorted by id. */
export const orderChecks: readonly Check[] = [
  alignmentPrecedesCalibration,
  calibrationFollowsRepair,
  clocksAgree,
  nothingInTheFuture,
  postScanFollowsCalibration,
  preScanPrecedesWork,
  staticPrecedesDynamic,
  timelineConsistent,
]
