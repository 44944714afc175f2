import type { Check } from '../check.ts'
import { alignmentPrecedesCalibration } from './alignment-precedes-calibration.ts'
import { calibrationFollowsRepair } from './calibration-follows-repair.ts'
import { clocksAgree } from './clocks-agree.ts'
import { driveInsideCalibration } from './drive-inside-calibration.ts'
import { eventsDoNotOverlap } from './events-do-not-overlap.ts'
import { jobInsideClaim } from './job-inside-claim.ts'
import { noWorkAfterPostScan } from './no-work-after-post-scan.ts'
import { nothingInTheFuture } from './nothing-in-the-future.ts'
import { photosInsideJob } from './photos-inside-job.ts'
import { postScanFollowsCalibration } from './post-scan-follows-calibration.ts'
import { postScanFresh } from './post-scan-fresh.ts'
import { preScanPrecedesWork } from './pre-scan-precedes-work.ts'
import { printedAfterEvent } from './printed-after-event.ts'
import { staticPrecedesDynamic } from './static-precedes-dynamic.ts'
import { timelineConsistent } from './timeline-consistent.ts'

/** The checks of the group `order`, sorted by id. */
export const orderChecks: readonly Check[] = [
  alignmentPrecedesCalibration,
  calibrationFollowsRepair,
  clocksAgree,
  driveInsideCalibration,
  eventsDoNotOverlap,
  jobInsideClaim,
  noWorkAfterPostScan,
  nothingInTheFuture,
  photosInsideJob,
  postScanFollowsCalibration,
  postScanFresh,
  preScanPrecedesWork,
  printedAfterEvent,
  staticPrecedesDynamic,
  timelineConsistent,
]
