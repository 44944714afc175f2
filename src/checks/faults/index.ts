import type { Check } from '../check.ts'

/** The checks of the group `faults`, sorted by id. */
export const faultsChecks: readonly Check[] = []
