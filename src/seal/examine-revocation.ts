/** The part of a seal's examination that says whether a certificate behind it was revoked. */
import type { SealFault, SealPart, SealRevocation } from '../facts/seal.ts'
import { sealFiles } from './bag/examine.ts'
import { type Certificate, parseCertificate } from './certificates/certificate.ts'
import type { PathAnswer } from './certificates/path.ts'
import type { SignatureHolds } from './cms/verify.ts'
import type { SealQuestion } from './examine.ts'
import { findUnsigned } from './revocation/carried.ts'
import { type Evidence, type EvidenceStore, readEvidence, withSource } from './revocation/evidence.ts'
import { type CertificateAnswer, judgeRevocation } from './revocation/judge.ts'
import type { StampAnswer } from './stamp/token.ts'

export interface RevocationAnswer {
  part: SealPart
  revocations: readonly SealRevocation[]
}

const part = { part: 'revocation', file: null, faults: [] } as const

/** Of a signature that does not hold, nobody is asked about. */
export const withoutSigner: RevocationAnswer = {
  part: { ...part, state: 'unexamined', code: 'no-signature', text: 'Nobody is known to have signed' },
  revocations: [],
}

export interface RevocationSubjects {
  signature: SignatureHolds
  path: PathAnswer
  /** When the signer's certificate must have been good, and whether a stamp that holds vouches for it. */
  at: Date
  isProved: boolean
  /** Of the seal and of its renewals. */
  stamps: readonly StampAnswer[]
  /** What the user has. */
  store: EvidenceStore
}

/** Puts together what is known of the signer and of each stamp, the worst first. */
export function examineRevocation(subjects: RevocationSubjects, question: SealQuestion): RevocationAnswer {
  const { signature, path, stamps, store } = subjects
  const known = [...signature.carried, ...question.trust.certificates.map(parseCertificate)]
  const pieces = withSource(signature.evidence, sealFiles.signature)
  const own = readEvidence(pieces, store)
  if (path.state === 'holds' && findUnsigned(pieces, own, known) !== null)
    return { part: { ...part, ...unsigned, file: sealFiles.signature }, revocations: [] }
  const revocations = [...judgeSigner(subjects, own, known, question), ...stamps.flatMap((stamp) => judgeStamp(stamp))]
  const all = [...own.pieces, ...stamps.flatMap((stamp) => stamp.pieces ?? [])]
  return { part: describe(revocations, own, all), revocations }
}

/** Its bytes could be changed without a trace; but whoever trusts a lower certificate may well not have its issuer. */
const unsigned = {
  state: 'doubtful',
  code: 'revocation-unverified',
  text: 'A revocation list or answer is carried along that nobody at hand signed',
} as const

function judgeSigner(
  { signature, path, at, isProved }: RevocationSubjects,
  evidence: EvidenceStore,
  known: readonly Certificate[],
  { at: examined, freshAt, policy }: SealQuestion,
): SealRevocation[] {
  const { signer } = signature
  const fresh = freshAt === undefined ? {} : { freshAt }
  const common = { signer, path: path.path, known, evidence, at, isProved, examined, policy, ...fresh }
  const answers = judgeRevocation(common)
  const file = sealFiles.signature
  if (evidence.pieces.length === 0 && answers[0]?.code !== 'own-issuer') return [notLookedUp(file, signer)]
  return answers.map((answer) => toRevocation(file, answer))
}

function judgeStamp({ stamp, revocation = [], ...answer }: StampAnswer): SealRevocation[] {
  if (stamp === null) return []
  if (revocation.length > 0) return revocation.map((one) => toRevocation(stamp.file, one))
  return 'authority' in answer ? [notLookedUp(stamp.file, answer.authority)] : []
}

const notLookedUp = (file: string, { facts }: Certificate): SealRevocation => ({
  file,
  subject: facts.subject,
  fingerprint: facts.fingerprint,
  state: 'unexamined',
  code: 'not-looked-up',
  text: `Whether the certificate of ${facts.subject} was revoked was not looked up`,
})

const toRevocation = (file: string, { certificate, state, code, text }: CertificateAnswer): SealRevocation => {
  const { subject, fingerprint } = certificate.facts
  return { file, subject, fingerprint, state, code, text }
}

const order = ['broken', 'doubtful', 'unexamined', 'holds'] as const

function describe(revocations: readonly SealRevocation[], store: EvidenceStore, all: readonly Evidence[]): SealPart {
  const faults: SealFault[] = store.ledger.unused([...new Set(all)])
  const state = order.find((one) => revocations.some((revocation) => revocation.state === one)) ?? 'holds'
  const alike = revocations.filter((revocation) => revocation.state === state)
  const [first] = alike
  if (state === 'unexamined' && all.length === 0) {
    const text =
      'Not looked up: no revocation list and no answer of an authority was given, and none came with the seal'
    return { ...part, state, code: 'not-looked-up', text }
  }
  const text = [...new Set(alike.map((one) => one.text))].join('; ')
  const code = state === 'unexamined' ? 'partly-looked-up' : (first?.code ?? 'own-issuer')
  return { ...part, state, code, text: text || 'Nobody stands above who could revoke anything', faults }
}
