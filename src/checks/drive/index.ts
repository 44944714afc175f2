import type { Check } from '../check.ts'
import { driveDistanceAgrees } from './drive-distance-agrees.ts'
import { driveDurationAgrees } from './drive-duration-agrees.ts'
import { driveDurationPlausible } from './drive-duration-plausible.ts'
import { driveInDaylight } from './drive-in-daylight.ts'
import { driveLogContinuous } from './drive-log-continuous.ts'
import { driveLogOfThisVehicle } from './drive-log-of-this-vehicle.ts'
import { driveNotSynthetic } from './drive-not-synthetic.ts'
import { drivePhysicallyPossible } from './drive-physically-possible.ts'
import { driveSpeedInBand } from './drive-speed-in-band.ts'
import { driveStartsAtShop } from './drive-starts-at-shop.ts'

/** The checks of the group `drive`, sorted by id. */
export const driveChecks: readonly Check[] = [
  driveDistanceAgrees,
  driveDurationAgrees,
  driveDurationPlausible,
  driveInDaylight,
  driveLogContinuous,
  driveLogOfThisVehicle,
  driveNotSynthetic,
  drivePhysicallyPossible,
  driveSpeedInBand,
  driveStartsAtShop,
]
