import type { Check } from '../check.ts'

/** The checks of the group `identity`, sorted by id. */
export const identityChecks: readonly Check[] = []
