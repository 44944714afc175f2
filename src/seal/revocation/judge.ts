/**
 * Were the certificates of a signer, and of those who vouch for the signer, revoked? Answered from evidence at hand alone:
 * nothing is fetched.
 *
 * A certificate must have been good at a time: that of a time stamp which is trusted, or now. Then
 *
 * - it is revoked where it was so by then, or was known or suspected to be invalid by then (invalidity date), or is on hold;
 *   that does not go out of date, but for a hold, which a newer list may lift;
 * - revoked later for a reason that says nothing of the time before (affiliation changed, superseded, cessation of
 *   operation, privilege withdrawn; and any, where its authority dates the invalidity later): it was good;
 * - revoked later with a compromised key, or for no stated reason: where another's stamp proves the time, a person must
 *   look, because the key may have been lost before; where the time is the key's own word (time stamps), it is revoked
 *   (RFC 3161, section 4, which for an explicit `unspecified` lets earlier tokens stand);
 * - good where what speaks for all reasons says so and covers that time (this to next update) or is of later. After a
 *   certificate has expired its authority need not name it any more: what is of later does only where it says that it keeps
 *   the expired (expiredCertsOnCRL, archive cutoff).
 */
import type { AlgorithmRule } from '../../facts/algorithms.ts'
import { type Certificate, writeTime } from '../certificates/certificate.ts'
import { sameName } from '../certificates/name.ts'
import { vouchesFor } from '../certificates/path.ts'
import type { EvidenceStore } from './evidence.ts'
import type { Revocation } from './list.ts'
import { allReasons } from './scope.ts'
import { findStatements, type Statement } from './statements.ts'

export interface RevocationQuestion {
  signer: Certificate
  /** From the signer to the trusted certificate; null where there is none. */
  path: readonly Certificate[] | null
  /** Where authorities are looked for. */
  known: readonly Certificate[]
  evidence: EvidenceStore
  /** When the certificates must have been good. */
  at: Date
  /** Does somebody other than the signer vouch for `at`? */
  isProved: boolean
  /** What is said must reach to here, where nobody vouches for `at`; `at` itself when left out. */
  freshAt?: Date
  /** Now, and when the algorithms of the evidence must still do. */
  examined: Date
  policy: readonly AlgorithmRule[]
}

export interface CertificateAnswer {
  certificate: Certificate
  state: 'holds' | 'broken' | 'doubtful'
  code: string
  /** A sentence without a full stop. */
  text: string
}

/** Of each certificate that somebody could have revoked, the signer's first. Never throws for what the evidence is. */
export function judgeRevocation(question: RevocationQuestion): CertificateAnswer[] {
  const { path, signer } = question
  const isAnchored = path !== null && path.length > 1
  const chain = isAnchored ? path : extend([signer], question)
  // The last is trusted, or is its own authority; of a signer who is trusted alone, only the signer's own is asked about.
  const asked = isAnchored ? chain.length - 1 : path === null ? chain.length : 1
  return chain.slice(0, asked).flatMap((_, index) => {
    const answer = judgeOne(chain.slice(index), { ...question, isAnchored, asking: [] })
    return index > 0 && answer.code === 'own-issuer' ? [] : [answer]
  })
}

/** The worst of the answers, with the words of all that are as bad; where all are good, with the words of each. */
export function concludeRevocation(answers: readonly CertificateAnswer[]): Omit<CertificateAnswer, 'certificate'> {
  const [worst, ...others] = answers.toSorted(byHarm)
  if (worst === undefined)
    return { state: 'holds', code: 'own-issuer', text: 'Nobody stands above the signer who could revoke anything' }
  const alike = others.filter(({ state }) => state === worst.state)
  const { state, code } = worst
  return { state, code, text: [worst, ...alike].map(({ text }) => text).join('; ') }
}

/** Longer chains are nobody's. */
const longest = 8

/** Upwards, as far as those at hand vouch for each other. */
function extend(chain: readonly Certificate[], question: RevocationQuestion): readonly Certificate[] {
  const { known, evidence } = question
  const last = chain.at(-1) as Certificate
  if (chain.length === longest || isOwnIssuer(last)) return chain
  const above = known.filter(
    (one) => one.isAuthority && !chain.includes(one) && sameName(one.subjectName, last.issuerName),
  )
  const issuer = above.find((one) => evidence.ledger.spend() && vouchesFor(one, last))
  return issuer === undefined ? chain : extend([...chain, issuer], question)
}

const isOwnIssuer = (one: Certificate): boolean => sameName(one.subjectName, one.issuerName) && vouchesFor(one, one)

interface Asking extends RevocationQuestion {
  isAnchored: boolean
  /** Fingerprints of those whose answer depends on this one: nothing may rest on itself. */
  asking: readonly string[]
}

const answer = (certificate: Certificate, state: CertificateAnswer['state'], code: string, text: string) => ({
  certificate,
  state,
  code,
  text,
})

function judgeOne(chain: readonly Certificate[], asking: Asking): CertificateAnswer {
  const [certificate] = chain as [Certificate]
  const { subject } = certificate.facts
  if (isOwnIssuer(certificate))
    return answer(certificate, 'holds', 'own-issuer', `${subject} has no authority above that could revoke it`)
  if (chain.length === 1)
    return answer(certificate, 'doubtful', 'no-issuer', `The certificate of who vouches for ${subject} is not at hand`)
  const { known, policy, examined, evidence } = asking
  const statements = findStatements({
    ...{ chain, isAnchored: asking.isAnchored, known, policy, evidence, examined },
    relied: examined,
    spend: evidence.ledger.spend,
    isGood: (other) => settle(other, { ...asking, asking: [...asking.asking, certificate.facts.fingerprint] }),
  })
  return weigh(certificate, statements, asking)
}

/** Of somebody who signed evidence: revoked at any time is revoked. */
function settle(chain: readonly Certificate[], asking: Asking): 'good' | 'revoked' | 'unknown' {
  const inner = { ...asking, at: asking.examined, isProved: false }
  const answers = chain.slice(0, -1).map((certificate, index) => {
    if (asking.asking.includes(certificate.facts.fingerprint)) return 'doubtful'
    return judgeOne(chain.slice(index), inner).state
  })
  if (answers.includes('broken')) return 'revoked'
  return answers.every((state) => state === 'holds') ? 'good' : 'unknown'
}

/** CRLReason (RFC 5280, 5.3.1). */
const reasons: Readonly<Record<number, string>> = {
  0: 'unspecified',
  1: 'its key was compromised',
  2: 'the key of its authority was compromised',
  3: 'affiliation changed',
  4: 'superseded',
  5: 'cessation of operation',
  6: 'on hold',
  9: 'privilege withdrawn',
  10: 'the key of its authority was compromised',
}
const unspecified = 0
const onHold = 6
/** They say nothing of the time before. */
const forwardOnly: ReadonlySet<number> = new Set([3, 4, 5, 9])

function weigh(certificate: Certificate, statements: readonly Statement[], asking: Asking): CertificateAnswer {
  const current = statements.filter((one) => findStale(one, certificate, asking) === null)
  const newest = Math.max(...current.map(({ from }) => from.getTime()))
  const revoked = statements.flatMap((statement) => {
    const { revocation, from } = statement
    // A hold may be lifted by what is of later.
    if (revocation === null || (revocation.reason === onHold && from.getTime() < newest)) return []
    return [{ statement, revocation }]
  })
  noteUse(statements, certificate, asking)
  const { subject } = certificate.facts
  const [worst] = revoked.map((one) => ({ ...one, ...classify(one.revocation, asking) })).toSorted(byHarm)
  if (worst !== undefined)
    return answer(certificate, worst.state, worst.code, describeRevoked(certificate, worst, asking))
  const covered = current.reduce((mask, one) => mask | one.reasons, 0)
  const [latest] = current.toSorted((one, other) => other.from.getTime() - one.from.getTime())
  if (latest !== undefined && (covered & allReasons) === allReasons)
    return answer(
      certificate,
      'holds',
      'not-revoked',
      `The certificate of ${subject} was not revoked (${latest.label})`,
    )
  const why = covered === 0 ? '' : ': what is at hand speaks for some reasons only'
  const text = `Whether the certificate of ${subject} was revoked is open: no answer at hand is for it and for ${writeTime(asking.at)}${why}`
  return answer(certificate, 'doubtful', 'no-current-answer', text)
}

/** What speaks of a revocation, or is about the time that is asked about, is used; the rest is out of date. */
function noteUse(statements: readonly Statement[], certificate: Certificate, asking: Asking): void {
  const { ledger } = asking.evidence
  for (const one of statements) {
    const stale = one.revocation === null ? findStale(one, certificate, asking) : null
    for (const piece of one.pieces)
      if (stale === null) ledger.use(piece)
      else ledger.refuse(piece, stale.code, stale.because)
  }
}

const harm = { broken: 0, doubtful: 1, holds: 2 } as const
const byHarm = (one: { state: keyof typeof harm }, other: { state: keyof typeof harm }) =>
  harm[one.state] - harm[other.state]

/** Why a statement is not about the time that is asked about; null where it is. */
function findStale(
  { from, until, keepsExpiredSince }: Statement,
  { notAfter }: Certificate,
  { at: last, isProved, freshAt = last }: Asking,
) {
  const at = isProved ? last : freshAt
  if (from < at && (until === null || until < at)) {
    const due =
      until === null
        ? `it is of ${writeTime(from)} and does not say when the next is due`
        : `it ended on ${writeTime(until)}`
    return { code: 'expired', because: `${due}, and the certificate had to be good on ${writeTime(at)}` }
  }
  const keeps = keepsExpiredSince !== null && keepsExpiredSince <= notAfter
  if (from <= notAfter || keeps) return null
  return {
    code: 'after-expiry',
    because: 'it was made after the certificate had expired, and need not name it any more',
  }
}

type Classified = Pick<CertificateAnswer, 'state' | 'code'>

function classify({ date, invalidSince, reason }: Revocation, { at, isProved }: Asking): Classified {
  const since = invalidSince !== null && invalidSince < date ? invalidSince : date
  if (since <= at) return { state: 'broken', code: 'revoked' }
  const isHarmless = reason !== null && (forwardOnly.has(reason) || (!isProved && reason === unspecified))
  if (isHarmless || (isProved && invalidSince !== null)) return { state: 'holds', code: 'revoked-after' }
  return isProved ? { state: 'doubtful', code: 'revoked-later' } : { state: 'broken', code: 'revoked' }
}

function describeRevoked(
  { facts }: Certificate,
  { revocation, statement, state, code }: { revocation: Revocation; statement: Statement } & Classified,
  { at }: Asking,
): string {
  const { date, reason, invalidSince } = revocation
  const why = reason === null ? 'no reason given' : (reasons[reason] ?? `reason ${reason}`)
  const known = invalidSince === null ? '' : `, invalid since ${writeTime(invalidSince)}`
  const told = `The certificate of ${facts.subject} was revoked on ${writeTime(date)} (${why}${known}; ${statement.label})`
  if (code === 'revoked') return told
  const after = `after ${writeTime(at)}, when it was relied on`
  return state === 'holds' ? `${told}, ${after}` : `${told}, ${after}; the key may have been lost before`
}
