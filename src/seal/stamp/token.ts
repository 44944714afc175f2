/** Time-stamp tokens (RFC 3161, section 2.4.2), verified against what they stamp. */
import { createHash } from 'node:crypto'
import { type BaseBlock, GeneralizedTime, Integer } from 'asn1js'
import { type AlgorithmRule, judgeAlgorithm } from '../../facts/algorithms.ts'
import type { SealStamp } from '../../facts/seal.ts'
import { numberOf, octetStringOf, octetsOf, oidOf, only, parseBer, partsOf } from '../ber.ts'
import { type DigestName, nodeDigest, readDigest } from '../certificates/algorithms.ts'
import { type Certificate, parseCertificate, same, writeTime } from '../certificates/certificate.ts'
import { keysOfName, sameName } from '../certificates/name.ts'
import { findPath, findUnverified, type PathAnswer } from '../certificates/path.ts'
import { oids } from '../cms/structure.ts'
import { type SignatureHolds, verifySigned } from '../cms/verify.ts'
import { findDerFault } from '../der.ts'
import { findUnsigned } from '../revocation/carried.ts'
import {
  type Evidence,
  type EvidenceStore,
  evidenceAttributes,
  readEvidence,
  withSource,
} from '../revocation/evidence.ts'
import { type CertificateAnswer, concludeRevocation, judgeRevocation } from '../revocation/judge.ts'
import type { TrustList } from '../signer.ts'

export interface StampQuestion {
  /** DER of the token. */
  token: Uint8Array
  /** The file that holds it, for the answer. */
  file: string
  /** What it must cover. */
  stamped: Uint8Array
  /** What was asked for, where that is known. */
  nonce?: Uint8Array
  trust: TrustList
  policy: readonly AlgorithmRule[]
  /** When its algorithms and certificates must still do: now, or when it was renewed. */
  at: Date
  /** What was revoked; where left out, nobody asks. */
  revocation?: StampRevocation
}

export interface StampRevocation {
  evidence: EvidenceStore
  /** Now. */
  examined: Date
}

export type StampAnswer =
  | {
      state: 'broken'
      code: string
      text: string
      stamp: SealStamp | null
      time: null
      revocation?: readonly CertificateAnswer[]
      pieces?: readonly Evidence[]
    }
  | {
      state: 'holds' | 'doubtful'
      code: string
      text: string
      stamp: SealStamp
      time: Date
      authority: Certificate
      carried: readonly Certificate[]
      path: PathAnswer
      /** Of the certificates behind it; empty where nobody asks, or nothing is at hand that could tell. */
      revocation: readonly CertificateAnswer[]
      /** What tells of revocations and came with the token. */
      pieces: readonly Evidence[]
    }

/** Never throws for what the bytes are. `doubtful`: it covers what it must, and nobody on the trust list vouches for the authority. */
export function verifyStamp(question: StampQuestion): StampAnswer {
  const signature = verifySigned({
    der: question.token,
    content: null,
    contentType: oids.timeStampInfo,
    bound: true,
    carriedBound: false,
    unsigned: [evidenceAttributes.values],
    policy: question.policy,
    day: writeTime(question.at).slice(0, 10),
  })
  if (!signature.holds) return broken(signature.code, signature.text)
  try {
    return judge(question, signature, readInfo(signature.content ?? new Uint8Array()))
  } catch (error) {
    if (!(error instanceof Error)) throw error
    return broken('malformed', `The time stamp cannot be read: ${error.message}`)
  }
}

const broken = (code: string, text: string, stamp: SealStamp | null = null): StampAnswer => ({
  state: 'broken',
  code,
  text,
  stamp,
  time: null,
})

function judge(question: StampQuestion, signature: SignatureHolds, info: StampInfo): StampAnswer {
  const { signer, carried } = signature
  const stamp = describe(question.file, info, signer)
  const { digest, imprint, nonce, time } = info
  if (!same(createHash(nodeDigest(digest)).update(question.stamped).digest(), imprint))
    return broken('imprint-differs', 'The time stamp is over something else', stamp)
  const { answer } = judgeDigest(question, digest)
  if (answer !== 'allowed')
    return broken('algorithm-weak', `The time stamp rests on ${digest}, which is not relied on`, stamp)
  if (question.nonce !== undefined && (nonce === null || !same(nonce, question.nonce)))
    return broken('nonce-differs', 'The time stamp answers another request', stamp)
  if (info.authority !== null && !sameName(info.authority, signer.subjectName))
    return broken('authority-differs', 'The time stamp names another authority than the one that signed it', stamp)
  if (time > question.at)
    return broken(
      'in-the-future',
      `The time stamp is of ${writeTime(time)}, later than ${writeTime(question.at)}`,
      stamp,
    )
  const { trust, policy } = question
  const stray = findUnverified(carried, trust).find((one) => !isListed(one, trust))
  const path = findPath({ leaf: signer, carried, trust, at: time, purpose: 'time-stamp', policy })
  if (path.state === 'broken') return broken(path.code, path.text, stamp)
  const pieces = withSource(signature.evidence, question.file)
  const store = question.revocation && readEvidence(pieces, question.revocation.evidence)
  const known = [...carried, ...trust.certificates.map(parseCertificate)]
  const revocation = store === undefined ? [] : judgeAuthority(question, store, { signer, path, known, time })
  const revoked = concludeRevocation(revocation)
  if (revoked.state === 'broken') return { ...broken(revoked.code, revoked.text, stamp), revocation, pieces }
  const common = { stamp, time, authority: signer, carried, path, revocation, pieces }
  // Bytes that nobody signed could be changed without a trace; but whoever trusts a lower certificate may well not have
  // its issuer.
  if (path.state === 'holds' && findUnsigned(pieces, store ?? readEvidence(pieces), known) !== null)
    return {
      state: 'doubtful',
      code: 'revocation-unverified',
      text: 'The time stamp carries a revocation list or answer that nobody at hand signed',
      ...common,
    }
  if (path.state === 'holds' && stray !== undefined)
    return {
      state: 'doubtful',
      code: 'certificate-unverified',
      text: `The time stamp carries a certificate that nobody at hand vouches for: ${stray.facts.subject}`,
      ...common,
    }
  if (path.state === 'doubtful')
    return {
      state: 'doubtful',
      code: 'authority-not-listed',
      text: 'The time stamp covers the signature, and nobody on the trust list vouches for the authority',
      ...common,
    }
  return {
    state: 'holds',
    code: 'stamped',
    text: 'The time stamp covers the signature, by an authority that is trusted',
    ...common,
  }
}

const isListed = ({ der, facts }: Certificate, { certificates, fingerprints }: TrustList): boolean =>
  fingerprints.includes(facts.fingerprint) || certificates.some((one) => same(one, der))

/**
 * Was the authority's certificate revoked? The time is its own word. Where a later stamp carries this one on, it is also
 * enough that it was good by then: the better answer counts.
 */
function judgeAuthority(
  { policy, at, revocation }: StampQuestion,
  evidence: EvidenceStore,
  { signer, path, known, time }: { signer: Certificate; path: PathAnswer; known: readonly Certificate[]; time: Date },
): readonly CertificateAnswer[] {
  if (revocation === undefined || evidence.pieces.length === 0) return []
  const { examined } = revocation
  const common = { signer, path: path.path, known, evidence, examined, policy }
  const alone = judgeRevocation({ ...common, at: time, isProved: false })
  if (at >= examined) return alone
  const carriedOn = judgeRevocation({ ...common, at, isProved: true })
  return harmOf(carriedOn) < harmOf(alone) ? carriedOn : alone
}

const harmOf = (answers: readonly CertificateAnswer[]): number =>
  ['holds', 'doubtful', 'broken'].indexOf(concludeRevocation(answers).state)

function judgeDigest({ policy, at }: StampQuestion, digest: DigestName) {
  return judgeAlgorithm(policy, digest, writeTime(at).slice(0, 10))
}

interface StampInfo {
  policy: string
  digest: DigestName
  imprint: Uint8Array
  serial: string
  time: Date
  accuracySeconds: number | null
  nonce: Uint8Array | null
  /** The name of the authority, when it is stated. */
  authority: readonly string[] | null
}

/** TSTInfo. Throws RangeError for what is none. */
function readInfo(der: Uint8Array): StampInfo {
  const fault = findDerFault(der)
  if (fault !== null) throw new RangeError(`it is not in its one encoding (DER): ${fault}`)
  const [version, policy, imprint, serial, time, ...optional] = partsOf(parseBer(der))
  if (numberOf(version) !== 1) throw new RangeError('its version is unknown')
  const [algorithm, hash] = partsOf(imprint)
  const digest = readDigest(algorithm)
  if (digest === null) throw new RangeError('its digest is unknown')
  if (!(serial instanceof Integer) || !(time instanceof GeneralizedTime))
    throw new RangeError('it lacks its number or time')
  const accuracy = optional.find(({ idBlock }) => idBlock.tagClass === 1 && idBlock.tagNumber === 16)
  const nonce = optional.find((block) => block instanceof Integer)
  const authority = optional.find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === 0)
  if (optional.some(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === 1))
    throw new RangeError('it has extensions, which are not understood')
  return {
    policy: oidOf(policy),
    digest,
    imprint: octetStringOf(hash),
    serial: serial.toBigInt().toString(16),
    time: time.toDate(),
    accuracySeconds: accuracy === undefined ? null : readAccuracy(accuracy),
    nonce: nonce instanceof Integer ? new Uint8Array(nonce.valueBlock.valueHexView) : null,
    authority: authority === undefined ? null : readDirectoryName(authority),
  }
}

/** Seconds, milliseconds [0] and microseconds [1], each optional. */
function readAccuracy(block: BaseBlock): number {
  return partsOf(block).reduce((sum, part) => {
    if (part instanceof Integer) return sum + numberOf(part)
    const unit = part.idBlock.tagNumber === 0 ? 1e-3 : 1e-6
    return sum + Buffer.from(octetsOf(part)).readUIntBE(0, octetsOf(part).length) * unit
  }, 0)
}

/** directoryName is [4]; names of other kinds are not compared. */
function readDirectoryName(tagged: BaseBlock): readonly string[] | null {
  const name = only(tagged)
  return name.idBlock.tagClass === 3 && name.idBlock.tagNumber === 4 ? keysOfName(only(name)) : null
}

const describe = (file: string, info: StampInfo, authority: Certificate): SealStamp => ({
  file,
  time: writeTime(info.time),
  accuracySeconds: info.accuracySeconds,
  authority: authority.facts,
  digest: info.digest,
  serial: info.serial,
  policy: info.policy,
})
