import type { Check } from '../check.ts'

/** The checks of the group `order`, sorted by id. */
export const orderChecks: readonly Check[] = []
