/** Evidence that came inside of what is examined: nothing else covers it, so that somebody at hand must have signed it. */
import { verifySignature } from '../certificates/algorithms.ts'
import type { Certificate } from '../certificates/certificate.ts'
import { sameName } from '../certificates/name.ts'
import { vouchesFor } from '../certificates/path.ts'
import type { Evidence, EvidenceStore } from './evidence.ts'
import { isResponder } from './response.ts'

/** The first of the pieces that cannot be read, or that nobody of `known` signed: its bytes may be anybody's; null for none. */
export function findUnsigned(
  pieces: readonly Evidence[],
  { lists, responses, ledger }: EvidenceStore,
  known: readonly Certificate[],
): Evidence | null {
  const isSigned = (piece: Evidence): boolean => {
    const list = lists.find((one) => one.piece === piece)?.list
    if (list !== undefined)
      return known.some((one) => sameName(one.subjectName, list.issuer) && ledger.spend() && verifies(list, one))
    const response = responses.find((one) => one.piece === piece)?.response
    if (response === undefined) return false
    const vouched = response.carried.filter((one) =>
      known.some((other) => isNamed(other, one) && ledger.spend() && vouchesFor(other, one)),
    )
    return (
      vouched.length === response.carried.length &&
      [...known, ...vouched].some((one) => isResponder(one, response) && ledger.spend() && verifies(response, one))
    )
  }
  return pieces.find((piece) => !isSigned(piece)) ?? null
}

const verifies = (
  { scheme, signed, signature }: Pick<EvidenceStore['lists'][number]['list'], 'scheme' | 'signed' | 'signature'>,
  { key }: Certificate,
): boolean => scheme !== null && verifySignature(scheme, key, signed, signature)

const isNamed = (issuer: Certificate, { issuerName }: Certificate): boolean => sameName(issuer.subjectName, issuerName)
