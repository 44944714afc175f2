import type { Check } from '../check.ts'
import { billedIsEvidenced } from './billed-is-evidenced.ts'
import { billedOnce } from './billed-once.ts'
import { evidencedIsBilled } from './evidenced-is-billed.ts'
import { subletAgrees } from './sublet-agrees.ts'

/** The checks of the group `billing`, sorted by id. */
export const billingChecks: readonly Check[] = [billedIsEvidenced, billedOnce, evidencedIsBilled, subletAgrees]
