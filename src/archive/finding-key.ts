/** By what a decision names the finding that it is about. */
import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'
import type { Finding } from '../findings/report.ts'

/**
 * SHA-256 over the canonical JSON (RFC 8785) of the check, message and data of a finding: the same as long as the same is
 * found, whichever report says so and whatever a rulebook makes of it.
 */
export function findingKey({ check, message, data }: Pick<Finding, 'check' | 'message' | 'data'>): string {
  return createHash('sha256')
    .update(canonicalize([check, message, data]) ?? '')
    .digest('hex')
}
