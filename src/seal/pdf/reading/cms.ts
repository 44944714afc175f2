/**
 * The signature itself, as PDF files carry it: CMS (RFC 5652) by many hands. More is let pass than in a seal of our own
 * (attributes that nobody needs, revocation answers, certificates beside), but nothing that would let another content or
 * another signer pass.
 */
import { createHash } from 'node:crypto'
import { GeneralizedTime, UTCTime } from 'asn1js'
import { type AlgorithmRule, judgeAlgorithm } from '../../../facts/algorithms.ts'
import { derOf, members, octetsOf, oidOf } from '../../ber.ts'
import {
  type DigestName,
  nameAlgorithm,
  nodeDigest,
  readDigest,
  readScheme,
  verifySignature,
} from '../../certificates/algorithms.ts'
import { type Certificate, same } from '../../certificates/certificate.ts'
import { oids, type SignedData, type SignerInfo, takeApart } from '../../cms/structure.ts'
import { findDerFault } from '../../der.ts'

export interface PdfCmsQuestion {
  der: Uint8Array
  /** What it covers. */
  signed: () => Uint8Array
  /** SubFilter. */
  format: 'adbe.pkcs7.detached' | 'ETSI.CAdES.detached' | 'adbe.pkcs7.sha1'
  policy: readonly AlgorithmRule[]
  day: string
}

export interface PdfCmsAnswer {
  state: 'holds' | 'broken' | 'doubtful'
  code: string
  /** Without a full stop. */
  text: string
  signer: Certificate | null
  carried: readonly Certificate[]
  claimedTime: Date | null
  signature: Uint8Array
  tokens: readonly Uint8Array[]
}

type Verdict = Pick<PdfCmsAnswer, 'state' | 'code' | 'text'>

const verdict = (state: Verdict['state'], code: string, text: string): Verdict => ({ state, code, text })

const nobody = {
  signer: null,
  carried: [],
  claimedTime: null,
  signature: new Uint8Array(),
  tokens: [],
}

/** Never throws for what the bytes are. */
export function verifyPdfCms(question: PdfCmsQuestion): PdfCmsAnswer {
  try {
    return judge(question, takeApart(question.der))
  } catch (error) {
    // asn1js throws plain errors and type errors for bytes that are not what they claim.
    if (!(error instanceof Error) || 'code' in error) throw error
    return { ...verdict('doubtful', 'unreadable', `The signature cannot be read: ${error.message}`), ...nobody }
  }
}

function judge(question: PdfCmsQuestion, data: SignedData): PdfCmsAnswer {
  const [info, ...others] = data.signers
  if (info === undefined) return { ...verdict('broken', 'no-signer', 'Nobody signed'), ...nobody }
  const signer = findSigner(data, info)
  const found = {
    signer,
    carried: data.certificates,
    claimedTime: readTime(info),
    signature: info.signature,
    tokens: (info.unsigned.get(oids.timeStampToken) ?? []).map((token) => derOf(token)),
  }
  const answer =
    others.length > 0
      ? verdict(
          'doubtful',
          'several-signers',
          `${data.signers.length} signers share one signature, which is not examined`,
        )
      : verifySigner(question, data, info, signer)
  return { ...answer, ...found }
}

function findSigner({ certificates }: SignedData, { issuer, serial, keyIdentifier }: SignerInfo): Certificate | null {
  const fitting = certificates.filter((one) =>
    issuer !== null && serial !== null
      ? same(one.issuer, issuer) && same(one.serial, serial)
      : keyIdentifier !== null && one.keyIdentifier !== null && same(one.keyIdentifier, keyIdentifier),
  )
  return fitting[0] ?? null
}

function verifySigner(
  question: PdfCmsQuestion,
  data: SignedData,
  info: SignerInfo,
  signer: Certificate | null,
): Verdict {
  const digest = readDigest(info.digestAlgorithm)
  if (digest === null) return verdict('doubtful', 'digest-unknown', 'The digest of the signature is unknown')
  const content = contentOf(question, data)
  if ('state' in content) return content
  const mismatch = findMismatch(info, digest, content.bytes)
  if (mismatch !== null) return mismatch
  if (signer === null)
    return verdict('doubtful', 'no-certificate', 'The certificate of the signer is not carried along')
  const scheme = readScheme(info.signatureAlgorithm, digest)
  if (scheme === null || scheme.digest !== digest || nameAlgorithm(scheme, signer.key) === null)
    return verdict('doubtful', 'algorithm-unknown', 'The algorithm of the signature is unknown, or not that of the key')
  if (!verifySignature(scheme, signer.key, info.signedBytes ?? content.bytes, info.signature))
    return verdict('broken', 'signature-mismatch', `The signature is not one by the key of ${signer.facts.subject}`)
  const binding = checkBinding(question, info, signer) ?? checkFrame(data, info, digest)
  if (binding !== null) return binding
  const fault = findDerFault(question.der)
  if (fault !== null)
    return verdict('doubtful', 'not-der', `The signature is not written in its one encoding (DER): ${fault}`)
  return (
    findWeakness(question, nameAlgorithm(scheme, signer.key), digest) ??
    verdict('holds', 'holds', 'The signature is one over what it covers')
  )
}

/** What the signature is over: the file, or (adbe.pkcs7.sha1) an attached digest of it. */
function contentOf({ format, signed }: PdfCmsQuestion, data: SignedData): { bytes: Uint8Array } | Verdict {
  if (data.contentType !== oids.data)
    return verdict('broken', 'content-type', 'The signature is over something of another type than a file')
  if (format !== 'adbe.pkcs7.sha1') {
    if (data.content === null) return { bytes: signed() }
    return verdict(
      'broken',
      'content-attached',
      'The signature carries a content of its own instead of covering the file',
    )
  }
  const digest = createHash('sha1').update(signed()).digest()
  if (data.content !== null && same(data.content, digest)) return { bytes: data.content }
  return verdict('broken', 'digest-mismatch', changed)
}

const changed = 'What it covers is not what was signed: bytes of the file were changed since'

function findMismatch(info: SignerInfo, digest: DigestName, content: Uint8Array): Verdict | null {
  if (info.signedBytes === null) return null
  const [type] = info.signed.get(oids.contentType) ?? []
  const [stated, ...others] = info.signed.get(oids.messageDigest) ?? []
  if (type === undefined || oidOf(type) !== oids.data || stated === undefined || others.length > 0)
    return verdict('broken', 'attributes', 'The signed attributes do not say what was signed')
  if (same(octetsOf(stated), createHash(nodeDigest(digest)).update(content).digest())) return null
  return verdict('broken', 'digest-mismatch', changed)
}

/** RFC 5035: where the signature names its certificate, it must be this one; ETSI EN 319 142-1 asks for it. */
function checkBinding({ format }: PdfCmsQuestion, info: SignerInfo, signer: Certificate): Verdict | null {
  const attributes = [oids.signingCertificateV2, oids.signingCertificate].filter((oid) => info.signed.has(oid))
  for (const oid of attributes) {
    const [value] = info.signed.get(oid) ?? []
    const [first] = members(members(value)[0])
    const [algorithm, hash] = members(first)
    const isNamed = oid === oids.signingCertificateV2 && algorithm?.idBlock.tagNumber === sequenceTag
    const digest = oid === oids.signingCertificate ? 'sha-1' : isNamed ? readDigest(algorithm) : 'sha-256'
    const expected = octetsOf(isNamed ? hash : algorithm)
    if (digest === null || !same(createHash(nodeDigest(digest)).update(signer.der).digest(), expected))
      return verdict('broken', 'bound-to-another', 'The signature belongs to another certificate than the one with it')
  }
  if (attributes.length > 0 || format !== 'ETSI.CAdES.detached') return null
  return verdict('doubtful', 'not-bound', 'The signature does not name its certificate, as its format asks (RFC 5035)')
}

const sequenceTag = 16

/** What nobody signed and everybody reads: the versions (RFC 5652, 5.1 and 5.3) and the list of digests follow from the rest. */
function checkFrame(data: SignedData, info: SignerInfo, digest: DigestName): Verdict | null {
  const ofSigner = info.keyIdentifier === null ? 1 : 3
  const ofData = data.revocations.length > 0 ? [ofSigner, 3, 4, 5] : [ofSigner]
  if (info.version !== ofSigner || !ofData.includes(data.version))
    return verdict('doubtful', 'version', 'The version of the signature is not the one that goes with its parts')
  const listed = data.digestAlgorithms.map(readDigest)
  if (listed.includes(digest) && !listed.includes(null)) return null
  return verdict('doubtful', 'digest-list', 'The list of digests is not the one that goes with the signature')
}

function findWeakness(
  { policy, day }: PdfCmsQuestion,
  named: ReturnType<typeof nameAlgorithm>,
  digest: DigestName,
): Verdict | null {
  if (named === null) return null
  for (const [name, bits] of [[named.name, named.bits] as const, [digest, null] as const]) {
    const { answer, until } = judgeAlgorithm(policy, name, day, bits)
    if (answer === 'allowed') continue
    const length = bits === null ? '' : ` of ${bits} bits`
    return verdict(
      'doubtful',
      answer === 'aged' ? 'algorithm-aged' : 'algorithm-weak',
      `The signature rests on ${name}${length}, which is ${until === null ? 'not relied on' : `relied on only until ${until}`}`,
    )
  }
  return null
}

function readTime(info: SignerInfo): Date | null {
  const [value] = info.signed.get(oids.signingTime) ?? []
  return value instanceof UTCTime || value instanceof GeneralizedTime ? value.toDate() : null
}
