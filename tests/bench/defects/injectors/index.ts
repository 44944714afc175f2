/** Every kind of defect, in the order of the checks' groups. */
import { billingDefects } from './billing.ts'
import { completenessDefects } from './completeness.ts'
import { completionDefects } from './completion.ts'
import type { Defect } from './defect.ts'
import { documentsDefects } from './documents.ts'
import { driveDefects } from './drive.ts'
import { faultsDefects } from './faults.ts'
import { identityDefects } from './identity.ts'
import { orderDefects } from './order.ts'
import { partialDefects } from './partial.ts'
import { partsDefects } from './parts.ts'
import { preconditionsDefects } from './preconditions.ts'
import { unsaidDefects } from './unsaid.ts'

export const defects: readonly Defect[] = [
  ...identityDefects,
  ...partsDefects,
  ...completenessDefects,
  ...unsaidDefects,
  ...partialDefects,
  ...orderDefects,
  ...driveDefects,
  ...completionDefects,
  ...faultsDefects,
  ...preconditionsDefects,
  ...documentsDefects,
  ...billingDefects,
]
