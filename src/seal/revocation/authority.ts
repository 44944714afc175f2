/** Who may say that a certificate was revoked: its authority, and whom that authority appointed. */
import { type AlgorithmRule, judgeAlgorithm } from '../../facts/algorithms.ts'
import { nameAlgorithm, type SignatureScheme, verifySignature } from '../certificates/algorithms.ts'
import { type Certificate, writeTime } from '../certificates/certificate.ts'
import { sameName } from '../certificates/name.ts'
import { findPath, vouchesFor } from '../certificates/path.ts'
import type { RevocationList } from './list.ts'
import { isResponder, type RevocationResponse } from './response.ts'

export interface Refusal {
  code: string
  /** A clause, after "it was not used:". */
  because: string
}

export interface AuthorityQuestion {
  /** From the certificate that is asked about upwards, each vouched for by the next. */
  chain: readonly Certificate[]
  /** Is the last of the chain trusted? */
  isAnchored: boolean
  /** Where authorities beside the chain are looked for; nobody is believed for standing among them. */
  known: readonly Certificate[]
  policy: readonly AlgorithmRule[]
  /** When the algorithms must still do. */
  relied: Date
  /** Asked before each signature that is verified: false where there were too many. */
  spend(): boolean
  /** Was none of these certificates revoked, as far as is known? Of a chain that ends where this one does. */
  isGood(chain: readonly Certificate[]): 'good' | 'revoked' | 'unknown'
}

const refuse = (code: string, because: string): Refusal => ({ code, because })

const isOne = (one: Certificate, other: Certificate): boolean => one.facts.fingerprint === other.facts.fingerprint

/** Null where somebody signed the list who may (RFC 5280, 6.3.3 f and g). */
export function findListFault(list: RevocationList, question: AuthorityQuestion): Refusal | null {
  const { chain, known } = question
  const named = [...chain.slice(1), ...known].filter(({ subjectName }) => sameName(subjectName, list.issuer))
  if (named.length === 0) return refuse('no-issuer', `no certificate of ${list.issuerText}, who made it, is at hand`)
  const signers = named.filter((one) => question.spend() && isSignedBy(list, one))
  if (signers.length === 0) return refuse('signature-mismatch', `it is not signed by ${list.issuerText}`)
  return firstFault(signers, (signer) => findIssuerFault(signer, list, question))
}

/** Null where one of them is without fault, else the fault of the first. */
function firstFault(signers: readonly Certificate[], find: (signer: Certificate) => Refusal | null): Refusal | null {
  const faults = signers.map(find)
  return faults.includes(null) ? null : (faults[0] ?? null)
}

interface Signed {
  scheme: SignatureScheme | null
  signed: Uint8Array
  signature: Uint8Array
}

const isSignedBy = ({ scheme, signed, signature }: Signed, { key }: Certificate): boolean =>
  scheme !== null && verifySignature(scheme, key, signed, signature)

function findIssuerFault(signer: Certificate, list: RevocationList, question: AuthorityQuestion): Refusal | null {
  const name = signer.facts.subject
  if (signer.keyUsage !== null && !signer.keyUsage.has('cRLSign'))
    return refuse('not-for-lists', `${name} may not sign revocation lists`)
  const fault = findDateFault(signer, list.from) ?? findWeakness(list, signer, question)
  if (fault !== null || question.chain.slice(1).some((one) => isOne(one, signer))) return fault
  return findAppointmentFault(signer, list.from, question)
}

/** Somebody beside the chain must be vouched for by the same trusted authority (RFC 5280, 6.3.3 f). */
function findAppointmentFault(signer: Certificate, from: Date, question: AuthorityQuestion): Refusal | null {
  const { chain, isAnchored, known, policy } = question
  const anchor = chain.at(-1)
  const name = signer.facts.subject
  if (!isAnchored || anchor === undefined)
    return refuse('issuer-not-trusted', `nobody who is trusted vouches for ${name}, who made it`)
  const trust = { certificates: [anchor.der], fingerprints: [] }
  const { path } = findPath({ leaf: signer, carried: known, trust, at: from, purpose: 'revocation', policy })
  if (path === null)
    return refuse('issuer-not-trusted', `${name}, who made it, is not vouched for by ${anchor.facts.subject}`)
  if (question.isGood(path) === 'good') return null
  return refuse('issuer-not-good', `whether ${name}, who made it, was itself revoked is not settled`)
}

function findDateFault({ facts, notBefore, notAfter }: Certificate, at: Date): Refusal | null {
  if (at >= notBefore && at <= notAfter) return null
  return refuse(
    'issuer-expired',
    `the certificate of ${facts.subject}, who signed it, was not valid on ${writeTime(at)}`,
  )
}

function findWeakness({ scheme }: Signed, signer: Certificate, { policy, relied }: AuthorityQuestion): Refusal | null {
  const named = scheme === null ? null : nameAlgorithm(scheme, signer.key)
  if (scheme === null || named === null) return refuse('algorithm-unknown', 'its signature is by an unknown algorithm')
  const day = writeTime(relied).slice(0, 10)
  const answers = [judgeAlgorithm(policy, named.name, day, named.bits), judgeAlgorithm(policy, scheme.digest, day)]
  if (answers.every(({ answer }) => answer === 'allowed')) return null
  return refuse('algorithm-weak', `it is signed with ${named.name} and ${scheme.digest}, which is not relied on`)
}

/** id-kp-OCSPSigning and id-pkix-ocsp-nocheck (RFC 6960, 4.2.2.2). */
const answering = '1.3.6.1.5.5.7.3.9'
const noCheck = '1.3.6.1.5.5.7.48.1.5'

/** Null where the answer is signed by the authority of the first of the chain, or by somebody whom it appointed. */
export function findResponderFault(response: RevocationResponse, question: AuthorityQuestion): Refusal | null {
  const { chain, known } = question
  const [, issuer] = chain
  if (issuer === undefined) return refuse('no-issuer', 'the certificate of the authority is not at hand')
  const named = [issuer, ...response.carried, ...known].filter((one) => isResponder(one, response))
  if (named.length === 0) return refuse('no-issuer', 'no certificate of whoever made it is at hand')
  const signers = named.filter((one) => question.spend() && isSignedBy(response, one))
  if (signers.length === 0) return refuse('signature-mismatch', 'it is not signed by whoever it says it is by')
  return firstFault(signers, (signer) => {
    const weak = findDateFault(signer, response.producedAt) ?? findWeakness(response, signer, question)
    return weak ?? (isOne(signer, issuer) ? null : findDelegationFault(signer, issuer, response, question))
  })
}

/** The authority itself must have appointed it, for this purpose, with a certificate that was good then. */
function findDelegationFault(
  signer: Certificate,
  issuer: Certificate,
  { producedAt }: RevocationResponse,
  { chain, policy, isGood }: AuthorityQuestion,
): Refusal | null {
  const { subject } = signer.facts
  if (!vouchesFor(issuer, signer) || !signer.purposes?.includes(answering))
    return refuse('not-appointed', `${issuer.facts.subject} did not appoint ${subject} to answer for it`)
  const { keyUsage } = signer
  if (keyUsage !== null && !keyUsage.has('digitalSignature') && !keyUsage.has('nonRepudiation'))
    return refuse('not-appointed', `the key of ${subject}, who made it, is not for signatures`)
  const trust = { certificates: [issuer.der], fingerprints: [] }
  const path = findPath({ leaf: signer, carried: [], trust, at: producedAt, purpose: 'revocation', policy })
  if (path.state !== 'holds') return refuse('responder-not-good', `of whoever made it: ${path.text}`)
  if (signer.extensions.has(noCheck) || isGood([signer, ...chain.slice(1)]) !== 'revoked') return null
  return refuse('responder-revoked', `the certificate of ${subject}, who made it, was itself revoked`)
}
