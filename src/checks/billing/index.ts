import type { Check } from '../check.ts'

/** The checks of the group `billing`, sorted by id. */
export const billingChecks: readonly Check[] = []
