/** The parts of a CMS SignedData with one signer (RFC 5652, section 5), taken apart without judging them. */
import type { BaseBlock } from 'asn1js'
import { isTagged, members, numberOf, octetStringOf, octetsOf, oidOf, only, parseBer, partsOf, setOf } from '../ber.ts'
import { type Certificate, derBytes, parseCertificate } from '../certificates/certificate.ts'

export const oids = {
  data: '1.2.840.113549.1.7.1',
  signedData: '1.2.840.113549.1.7.2',
  contentType: '1.2.840.113549.1.9.3',
  messageDigest: '1.2.840.113549.1.9.4',
  signingTime: '1.2.840.113549.1.9.5',
  signingCertificate: '1.2.840.113549.1.9.16.2.12',
  signingCertificateV2: '1.2.840.113549.1.9.16.2.47',
  timeStampToken: '1.2.840.113549.1.9.16.2.14',
  timeStampInfo: '1.2.840.113549.1.9.16.1.4',
} as const

export interface SignedData {
  version: number
  digestAlgorithms: readonly BaseBlock[]
  contentType: string
  /** The octets of an attached content; null for a detached signature. */
  content: Uint8Array | null
  certificates: readonly Certificate[]
  /** Revocation lists and responses carried along, each as DER. */
  revocations: readonly Uint8Array[]
  signers: readonly SignerInfo[]
}

export interface SignerInfo {
  version: number
  /** DER of issuer and serial number, or the subject key identifier. */
  issuer: Uint8Array | null
  serial: Uint8Array | null
  keyIdentifier: Uint8Array | null
  digestAlgorithm: BaseBlock
  /** What the signature covers: the attributes as a SET OF; null where there are none. */
  signedBytes: Uint8Array | null
  signed: ReadonlyMap<string, readonly BaseBlock[]>
  signatureAlgorithm: BaseBlock
  signature: Uint8Array
  unsigned: ReadonlyMap<string, readonly BaseBlock[]>
}

/** Tag number of a [n] tag, null for a universal one. */
const tagOf = (block: BaseBlock | undefined): number | null =>
  block?.idBlock.tagClass === 3 ? block.idBlock.tagNumber : null

/** Throws RangeError for what is no SignedData, and for an attribute that stands twice. */
export function takeApart(der: Uint8Array): SignedData {
  const [type, content, ...beyond] = partsOf(parseBer(der))
  if (oidOf(type) !== oids.signedData || beyond.length > 0 || !isTagged(content, 0))
    throw new RangeError('it is no SignedData')
  const [version, digestAlgorithms, encapsulated, ...rest] = partsOf(only(content))
  const certificates = isTagged(rest[0], 0) ? rest.shift() : undefined
  const revocations = isTagged(rest[0], 1) ? rest.shift() : undefined
  const [signers, ...others] = rest
  if (others.length > 0) throw new RangeError('more follows the signers')
  const [contentType, octets, ...more] = partsOf(encapsulated)
  if (more.length > 0 || (octets !== undefined && !isTagged(octets, 0)))
    throw new RangeError('the content has more than a type and octets')
  return {
    version: numberOf(version),
    digestAlgorithms: setOf(digestAlgorithms),
    contentType: oidOf(contentType),
    content: octets === undefined ? null : octetStringOf(only(octets)),
    certificates: certificates === undefined ? [] : members(certificates).map((one) => parseCertificate(derBytes(one))),
    revocations: revocations === undefined ? [] : members(revocations).map(derBytes),
    signers: setOf(signers).map(takeSigner),
  }
}

function takeSigner(block: BaseBlock): SignerInfo {
  const [version, identifier, digestAlgorithm, ...rest] = partsOf(block)
  const signed = isTagged(rest[0], 0) ? rest.shift() : undefined
  const [signatureAlgorithm, signature, unsigned, ...others] = rest
  if (others.length > 0 || (unsigned !== undefined && !isTagged(unsigned, 1)))
    throw new RangeError('more follows the signature')
  if (identifier === undefined || digestAlgorithm === undefined || signatureAlgorithm === undefined)
    throw new RangeError('the signer is incomplete')
  const byKey = tagOf(identifier) === 0
  const [issuer, serial, ...further] = byKey ? [] : partsOf(identifier)
  if (further.length > 0) throw new RangeError('the signer is named twice')
  return {
    version: numberOf(version),
    issuer: issuer === undefined ? null : derBytes(issuer),
    serial: serial === undefined ? null : derBytes(serial),
    keyIdentifier: byKey ? octetsOf(identifier) : null,
    digestAlgorithm,
    signedBytes: signed === undefined ? null : asSet(derBytes(signed)),
    signed: takeAttributes(signed),
    signatureAlgorithm,
    signature: octetStringOf(signature),
    unsigned: takeAttributes(unsigned),
  }
}

const setTag = 0x31

/** The attributes are signed under the tag of a SET OF, not under the [0] that they stand under (RFC 5652, 5.4). */
function asSet(der: Uint8Array): Uint8Array {
  const copy = new Uint8Array(der)
  copy[0] = setTag
  return copy
}

function takeAttributes(block: BaseBlock | undefined): Map<string, readonly BaseBlock[]> {
  const found = new Map<string, readonly BaseBlock[]>()
  for (const attribute of block === undefined ? [] : members(block)) {
    const [type, values, ...rest] = partsOf(attribute)
    const oid = oidOf(type)
    if (rest.length > 0) throw new RangeError(`the attribute ${oid} is malformed`)
    if (found.has(oid)) throw new RangeError(`the attribute ${oid} stands twice`)
    found.set(oid, setOf(values))
  }
  return found
}
