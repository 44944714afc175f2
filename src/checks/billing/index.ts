import type { Check } from '../check.ts'
import { billedIsEvidenced } from './billed-is-evidenced.ts'

/** The checks of the group `billing`, sorted by id. */
export const billingChecks: readonly Check[] = [billedIsEvidenced]
