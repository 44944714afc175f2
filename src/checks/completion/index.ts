import type { Check } from '../check.ts'
import { calibrationCompleted } from './calibration-completed.ts'
import { calibrationReachedFull } from './calibration-reached-full.ts'
import { progressConsistent } from './progress-consistent.ts'

/** The checks of the group `completion`, sorted by id. */
export const completionChecks: readonly Check[] = [calibrationCompleted, calibrationReachedFull, progressConsistent]
