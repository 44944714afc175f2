import type { Check } from '../check.ts'

/** The checks of the group `completion`, sorted by id. */
export const completionChecks: readonly Check[] = []
