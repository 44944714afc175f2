/**
 * Every check, in one static list: groups in the order of `groups`, checks by id within a group.
 *
 * A check lives in `src/checks/<group>/<check-id>.ts`, which exports it under its id in camelCase
 * (`vin-agrees` → `vinAgrees`), and is listed in that folder's `index.ts`. Nothing registers itself.
 */
import { billingChecks } from './billing/index.ts'
import type { Check } from './check.ts'
import { completenessChecks } from './completeness/index.ts'
import { completionChecks } from './completion/index.ts'
import { documentsChecks } from './documents/index.ts'
import { driveChecks } from './drive/index.ts'
import { faultsChecks } from './faults/index.ts'
import { identityChecks } from './identity/index.ts'
import { orderChecks } from './order/index.ts'
import { preconditionsChecks } from './preconditions/index.ts'
import { safetyChecks } from './safety/index.ts'
import { sealChecks } from './seal/index.ts'

export const checks: readonly Check[] = [
  ...identityChecks,
  ...completenessChecks,
  ...orderChecks,
  ...driveChecks,
  ...completionChecks,
  ...faultsChecks,
  ...preconditionsChecks,
  ...documentsChecks,
  ...sealChecks,
  ...billingChecks,
  ...safetyChecks,
]
