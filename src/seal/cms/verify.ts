/**
 * Verifies a CMS signature strictly: what ready-made verifiers let pass (attached content beside, bytes after the end,
 * attributes that are absent or of another type, a certificate that only claims to be the signer's, several signers) is
 * refused here. Whether the signer is trusted is for `findPath` to say.
 */
import { createHash } from 'node:crypto'
import { type BaseBlock, GeneralizedTime, UTCTime } from 'asn1js'
import { type AlgorithmRule, judgeAlgorithm } from '../../facts/algorithms.ts'
import { derOf, integer, isTagged, members, octetStringOf, oidOf, only, parseBer, partsOf } from '../ber.ts'
import {
  type DigestName,
  nameAlgorithm,
  nodeDigest,
  readDigest,
  readScheme,
  verifySignature,
} from '../certificates/algorithms.ts'
import { type Certificate, same } from '../certificates/certificate.ts'
import { findDerFault } from '../der.ts'
import { type CarriedEvidence, evidenceInAttributes, evidenceInSignedData } from '../revocation/evidence.ts'
import { nameSigning, writeSignedData } from './sign.ts'
import { oids, type SignedData, type SignerInfo, takeApart } from './structure.ts'

export interface SignatureQuestion {
  /** The SignedData. */
  der: Uint8Array
  /** What it must cover; null where the content is attached. */
  content: Uint8Array | null
  /** `data`, or TSTInfo for a time stamp. */
  contentType: string
  /** Must the signer's certificate be bound to the signature (ESS signing-certificate or -v2)? */
  bound: boolean
  /** Must each certificate that is carried be bound so? */
  carriedBound: boolean
  /** Must it be byte by byte as this program writes it (a seal), so that what nobody signed has one form alone? */
  ownForm?: boolean
  /** Unsigned attributes that may be there. */
  unsigned: readonly string[]
  policy: readonly AlgorithmRule[]
  /** The day on which its algorithms must be relied on, `YYYY-MM-DD`. */
  day: string
}

export type SignatureAnswer = SignatureRefused | SignatureHolds

interface SignatureRefused {
  holds: false
  code: string
  /** A sentence without a full stop. */
  text: string
  /** Whose it claims to be, where that can be told. */
  signer: Certificate | null
}

export interface SignatureHolds {
  holds: true
  signer: Certificate
  carried: readonly Certificate[]
  /** By the signer's own clock; null when not stated. */
  claimedTime: Date | null
  digest: DigestName
  /** DER of the attached content; null for a detached signature. */
  content: Uint8Array | null
  signature: Uint8Array
  /** Revocation lists and responses that are carried along. Nothing covers them: whoever uses them sees to their signers. */
  evidence: readonly CarriedEvidence[]
  /** Tokens over the signature, as unsigned attributes. */
  tokens: readonly Uint8Array[]
}

class Refusal extends Error {
  readonly code: string
  readonly signer: Certificate | null

  constructor(code: string, text: string, signer: Certificate | null = null) {
    super(text)
    this.code = code
    this.signer = signer
  }
}

/** Never throws for what the bytes are. */
export function verifySigned(question: SignatureQuestion): SignatureAnswer {
  try {
    return verify(question)
  } catch (error) {
    if (error instanceof Refusal) return { holds: false, code: error.code, text: error.message, signer: error.signer }
    if (error instanceof RangeError || isParserError(error))
      return {
        holds: false,
        code: 'malformed',
        text: `The signature cannot be read: ${(error as Error).message}`,
        signer: null,
      }
    throw error
  }
}

/** asn1js throws plain errors and type errors for bytes that are not what they claim. */
const isParserError = (error: unknown): boolean => error instanceof Error && !('code' in error)

/** Room for chains of certificates, and for the revocation lists that some authorities put into their tokens. */
const mostBytes = 4 * 1024 * 1024
/** One or two a certificate are usual. */
const mostEvidence = 100

function verify(question: SignatureQuestion): SignatureHolds {
  if (question.der.length > mostBytes)
    throw new Refusal('too-long', `The signature is longer than ${mostBytes} bytes, which none needs`)
  const fault = findDerFault(question.der)
  if (fault !== null) throw new Refusal('not-der', `The signature is not in its one encoding (DER): ${fault}`)
  const data = takeApart(question.der)
  const [info, ...others] = data.signers
  if (info === undefined) throw new Refusal('no-signer', 'Nobody signed')
  if (others.length > 0) throw new Refusal('several-signers', `${data.signers.length} signers stand where one must`)
  const signer = findSigner(data, info)
  if (signer === null) throw new Refusal('no-certificate', 'The certificate of the signer is not carried along')
  const digest = holdDigest(data, info, signer)
  const content = holdContent(question, data, signer)
  holdVersions(data, info, signer)
  holdAttributes(question, info, digest, content, signer)
  holdBinding(question, data, info, signer)
  holdSignature(question, info, digest, signer)
  const stray = [...info.unsigned.keys()].find((oid) => !question.unsigned.includes(oid))
  if (stray !== undefined)
    throw new Refusal(
      'unsigned-attribute',
      `An attribute that nobody signed stands beside the signature: ${stray}`,
      signer,
    )
  if (question.ownForm === true && !isOwnForm(question.der, data, info, digest, signer))
    throw new Refusal('rewritten', 'The signature is not in the form that it was written in', signer)
  const evidence = [...evidenceInSignedData(data.revocations), ...evidenceInAttributes(info)]
  if (evidence.length > mostEvidence)
    throw new Refusal('too-long', `The signature carries ${evidence.length} revocation lists and answers`, signer)
  return {
    holds: true,
    signer,
    carried: data.certificates,
    claimedTime: readTime(info.signed.get(oids.signingTime)),
    digest,
    content: data.content,
    signature: info.signature,
    evidence,
    tokens: (info.unsigned.get(oids.timeStampToken) ?? []).map((token) => derOf(token)),
  }
}

function findSigner({ certificates }: SignedData, { issuer, serial, keyIdentifier }: SignerInfo): Certificate | null {
  const fitting = certificates.filter((one) =>
    issuer !== null && serial !== null
      ? same(one.issuer, issuer) && same(one.serial, serial)
      : keyIdentifier !== null && one.keyIdentifier !== null && same(one.keyIdentifier, keyIdentifier),
  )
  return fitting.length === 1 ? (fitting[0] as Certificate) : null
}

function holdDigest(data: SignedData, info: SignerInfo, signer: Certificate): DigestName {
  const digest = readDigest(info.digestAlgorithm)
  if (digest === null) throw new Refusal('digest-unknown', 'The digest of the signature is unknown', signer)
  const listed = data.digestAlgorithms.map(readDigest)
  if (listed.length !== 1 || listed[0] !== digest)
    throw new Refusal('digest-differs', 'The list of digests is not the digest of the signer', signer)
  return digest
}

function holdContent({ content, contentType }: SignatureQuestion, data: SignedData, signer: Certificate): Uint8Array {
  if (data.contentType !== contentType)
    throw new Refusal('content-type', `The content is of the type ${data.contentType}, not ${contentType}`, signer)
  if (content !== null && data.content !== null)
    throw new Refusal(
      'content-attached',
      'The signature carries a content of its own instead of covering the one beside it',
      signer,
    )
  const covered = content ?? data.content
  if (covered === null) throw new Refusal('content-missing', 'The signature carries no content', signer)
  return covered
}

/** RFC 5652, 5.1 and 5.3: the versions follow from what is there. */
function holdVersions(data: SignedData, info: SignerInfo, signer: Certificate): void {
  const ofSigner = info.keyIdentifier === null ? 1 : 3
  const hasOther = data.revocations.some(([tag]) => tag !== sequenceByte)
  const ofData = hasOther ? 5 : ofSigner === 3 || data.contentType !== oids.data ? 3 : 1
  if (info.version !== ofSigner || data.version !== ofData)
    throw new Refusal('version', 'The version is not the one that goes with its parts (RFC 5652, 5.1)', signer)
}

/** A revocation list begins so; what is of another format stands under a tag (RFC 5652, 10.2.1). */
const sequenceByte = 0x30

function holdAttributes(
  { contentType }: SignatureQuestion,
  info: SignerInfo,
  digest: DigestName,
  content: Uint8Array,
  signer: Certificate,
): void {
  if (info.signedBytes === null) throw new Refusal('no-attributes', 'The signature has no signed attributes', signer)
  const one = (oid: string): BaseBlock => {
    const [value, ...others] = info.signed.get(oid) ?? []
    if (value === undefined || others.length > 0)
      throw new Refusal('attribute-missing', `The signed attribute ${oid} is missing, or there are several`, signer)
    return value
  }
  if (oidOf(one(oids.contentType)) !== contentType)
    throw new Refusal('content-type', 'The signed type of the content is another than that of the content', signer)
  const expected = createHash(nodeDigest(digest)).update(content).digest()
  if (!same(octetStringOf(one(oids.messageDigest)), expected))
    throw new Refusal('digest-mismatch', 'What is signed is not what is there: its digest is another', signer)
}

function holdSignature(
  { policy, day }: SignatureQuestion,
  info: SignerInfo,
  digest: DigestName,
  signer: Certificate,
): void {
  const scheme = readScheme(info.signatureAlgorithm, digest)
  const named = scheme === null ? null : nameAlgorithm(scheme, signer.key)
  if (scheme === null || named === null)
    throw new Refusal(
      'algorithm-unknown',
      'The algorithm of the signature is unknown, or does not go with the key',
      signer,
    )
  if (scheme.digest !== digest)
    throw new Refusal('digest-differs', 'The digest of the signature is not that of the signer', signer)
  if (info.signedBytes === null || !verifySignature(scheme, signer.key, info.signedBytes, info.signature))
    throw new Refusal('signature-mismatch', `The signature is not one by the key of ${signer.facts.subject}`, signer)
  for (const [name, bits] of [[named.name, named.bits] as const, [digest, null] as const]) {
    const { answer, until } = judgeAlgorithm(policy, name, day, bits)
    if (answer === 'allowed') continue
    const length = bits === null ? '' : ` of ${bits} bits`
    throw new Refusal(
      'algorithm-weak',
      `The signature rests on ${name}${length}, which is ${until === null ? 'not relied on' : `relied on only until ${until}`}`,
      signer,
    )
  }
}

/** Signing-certificate attributes (RFC 5035): the first hash is that of the signer's certificate. */
function holdBinding(
  { bound, carriedBound }: SignatureQuestion,
  data: SignedData,
  info: SignerInfo,
  signer: Certificate,
): void {
  const identifiers = [
    ...readIdentifiers(info, oids.signingCertificateV2),
    ...readIdentifiers(info, oids.signingCertificate),
  ]
  const [first] = identifiers
  if (first === undefined) {
    if (bound)
      throw new Refusal('not-bound', 'The signature does not say which certificate belongs to it (RFC 5035)', signer)
    return
  }
  if (!matches(first, signer))
    throw new Refusal(
      'bound-to-another',
      'The signature belongs to another certificate than the one carried along',
      signer,
    )
  const stray = carriedBound
    ? data.certificates.find((one) => !identifiers.some((each) => matches(each, one)))
    : undefined
  if (stray !== undefined)
    throw new Refusal(
      'certificate-unbound',
      `A certificate that nobody signed is carried along: ${stray.facts.subject}`,
      signer,
    )
}

/** DER without the revocation lists and answers that somebody may have put in, and with the version of what is left. */
function withoutEvidence(der: Uint8Array): Uint8Array {
  const whole = parseBer(der)
  const parts = members(only(members(whole)[1]))
  const lists = parts.findIndex((part) => isTagged(part, 1))
  if (lists >= 0) parts.splice(lists, 1)
  parts.splice(0, 1, integer(1))
  return derOf(whole)
}

/**
 * Is it what `signDetached` writes, but for revocation lists and answers, which have signatures of their own? It carries
 * each certificate that was signed for once, and no other; the rest follows from the signed attributes and the signature.
 */
function isOwnForm(
  der: Uint8Array,
  data: SignedData,
  info: SignerInfo,
  digest: DigestName,
  signer: Certificate,
): boolean {
  const identifiers = readIdentifiers(info, oids.signingCertificateV2)
  const carried = new Set(data.certificates.map(({ facts }) => facts.fingerprint))
  const scheme = readScheme(info.signatureAlgorithm, digest)
  const algorithm = scheme === null ? null : nameSigning(nameAlgorithm(scheme, signer.key)?.name)
  if (algorithm === null || info.signedBytes === null || info.unsigned.size > 0) return false
  // DER of a SET OF, each once.
  const isOrdered = data.revocations.every((one, at, all) => at === 0 || Buffer.compare(all[at - 1] ?? one, one) < 0)
  if (!isOrdered) return false
  if (carried.size !== data.certificates.length || carried.size !== identifiers.length) return false
  const own = writeSignedData({
    certificates: data.certificates.map((one) => one.der),
    certificate: signer,
    digest,
    attributes: members(parseBer(info.signedBytes)),
    algorithm,
    signature: info.signature,
  })
  return same(own, data.revocations.length > 0 ? withoutEvidence(der) : der)
}

interface CertificateIdentifier {
  digest: DigestName
  hash: Uint8Array
}

const matches = ({ digest, hash }: CertificateIdentifier, { der }: Certificate): boolean =>
  same(createHash(nodeDigest(digest)).update(der).digest(), hash)

function readIdentifiers(info: SignerInfo, oid: string): CertificateIdentifier[] {
  const values = info.signed.get(oid)
  if (values === undefined) return []
  const [value, ...others] = values
  if (others.length > 0) throw new RangeError('an attribute has several values')
  return partsOf(partsOf(value)[0]).map((identifier) => {
    const [first, second] = partsOf(identifier)
    // ESSCertID is always SHA-1; ESSCertIDv2 names its digest, or means SHA-256.
    if (oid === oids.signingCertificate) return { digest: 'sha-1' as const, hash: octetStringOf(first) }
    const named = first?.idBlock.tagClass === 1 && first.idBlock.tagNumber === sequenceTag
    const digest = named ? readDigest(first) : 'sha-256'
    if (digest === null) throw new RangeError('the digest of a certificate is unknown')
    return { digest, hash: octetStringOf(named ? second : first) }
  })
}

const sequenceTag = 16

function readTime(values: readonly BaseBlock[] | undefined): Date | null {
  const [value] = values ?? []
  if (value instanceof UTCTime || value instanceof GeneralizedTime) return value.toDate()
  return null
}
