import type { Check } from '../check.ts'
import { secondPersonOnDrive } from './second-person-on-drive.ts'

/** The checks of the group `safety`, sorted by id. */
export const safetyChecks: readonly Check[] = [secondPersonOnDrive]
