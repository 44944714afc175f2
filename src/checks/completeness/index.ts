import type { Check } from '../check.ts'

/** The checks of the group `completeness`, sorted by id. */
export const completenessChecks: readonly Check[] = []
