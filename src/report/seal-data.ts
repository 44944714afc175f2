/** What an examination of a seal found, as data: `schemas/seal.schema.json`. */
import type { SealExamination } from '../facts/seal.ts'
import { concludeSeal } from './seal-text.ts'

export interface SealReport extends SealExamination {
  seal: 1
  name: string
  /** `sha256:…` of the packet in the bag. */
  digest: string
  /** When it was examined, RFC 3339. */
  examined: string
  verdict: 'pass' | 'warn' | 'fail'
  /** SHA-256 of the tag manifest that the signature is over; null where there is none. */
  manifestDigest: string | null
}

export function describeSeal(
  examination: SealExamination,
  { name, digest, examined, manifestDigest }: Pick<SealReport, 'name' | 'digest' | 'examined' | 'manifestDigest'>,
): SealReport {
  return { seal: 1, name, digest, examined, verdict: concludeSeal(examination), manifestDigest, ...examination }
}
