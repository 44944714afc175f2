import type { Check } from '../check.ts'
import { attemptsDisclosed } from './attempts-disclosed.ts'
import { calibratedSensorIsTheOne } from './calibrated-sensor-is-the-one.ts'
import { calibrationCompleted } from './calibration-completed.ts'
import { calibrationReachedFull } from './calibration-reached-full.ts'
import { progressConsistent } from './progress-consistent.ts'
import { sensorAngleSet } from './sensor-angle-set.ts'
import { valuesWithinLimits } from './values-within-limits.ts'

/** The checks of the group `completion`, sorted by id. */
export const completionChecks: readonly Check[] = [
  attemptsDisclosed,
  calibratedSensorIsTheOne,
  calibrationCompleted,
  calibrationReachedFull,
  progressConsistent,
  sensorAngleSet,
  valuesWithinLimits,
]
