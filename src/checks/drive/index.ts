import type { Check } from '../check.ts'

/** The checks of the group `drive`, sorted by id. */
export const driveChecks: readonly Check[] = []
