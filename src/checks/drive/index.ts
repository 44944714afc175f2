import type { Check } from '../check.ts'
import { driveDurationAgrees } from './drive-duration-agrees.ts'
import { driveDurationPlausible } from './drive-duration-plausible.ts'

/** The checks of the group `drive`, sorted by id. */
export const driveChecks: readonly Check[] = [driveDurationAgrees, driveDurationPlausible]
