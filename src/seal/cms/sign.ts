/** Detached CMS signatures (RFC 5652) with the attributes of CAdES baseline: written in DER, one signer. */
import { createHash } from 'node:crypto'
import { type BaseBlock, Constructed, Null, UTCTime } from 'asn1js'
import { copy, derOf, explicit, integer, octets, oid, parseBer, sequence, set } from '../ber.ts'
import { type DigestName, nodeDigest, oidOfDigest } from '../certificates/algorithms.ts'
import { type Certificate, parseCertificate } from '../certificates/certificate.ts'
import type { Signer, SigningAlgorithm } from '../signer.ts'
import { oids } from './structure.ts'

const signatureOids: Readonly<Record<SigningAlgorithm, string>> = {
  'rsa-pkcs1': '1.2.840.113549.1.1.11',
  'ecdsa-p256': '1.2.840.10045.4.3.2',
  'ecdsa-p384': '1.2.840.10045.4.3.3',
}

/** The algorithm as a signer has it; null for one that no signer here signs by. */
export const nameSigning = (name: string | undefined): SigningAlgorithm | null =>
  name !== undefined && Object.hasOwn(signatureOids, name) ? (name as SigningAlgorithm) : null

export interface SigningOptions {
  /** The signer's own time, whole seconds; null leaves it out (PAdES forbids it). */
  time: Date | null
  /** Stamps the octets of the signature; its token becomes an unsigned attribute (RFC 3161, appendix A). */
  stamp?: (signature: Uint8Array) => Promise<Uint8Array>
}

/**
 * DER of a SignedData over `content`, which is not part of it. Signed attributes: content type, message digest, signing
 * time, and the hashes of the signer's certificate and its issuers (ESS signing-certificate-v2, RFC 5035), all of which
 * are carried along. Rejects with what `signer.sign` and `stamp` reject with.
 */
export async function signDetached(content: Uint8Array, signer: Signer, options: SigningOptions): Promise<Uint8Array> {
  const certificate = parseCertificate(signer.certificate)
  const chain = [certificate, ...signer.issuers.map(parseCertificate)]
  const digest = createHash(nodeDigest(signer.digest)).update(content).digest()
  const attributes = orderSet([
    attribute(oids.contentType, oid(oids.data)),
    attribute(oids.messageDigest, octets(digest)),
    ...(options.time === null ? [] : [attribute(oids.signingTime, writeSigningTime(options.time))]),
    attribute(oids.signingCertificateV2, sequence(sequence(...chain.map(identifyCertificate)))),
  ])
  const signature = await signer.sign(derOf(set(...attributes)))
  const token = await options.stamp?.(signature)
  return writeSignedData({
    certificates: chain.map(({ der }) => der),
    certificate,
    digest: signer.digest,
    attributes,
    algorithm: signer.algorithm,
    signature,
    ...(token === undefined ? {} : { token }),
  })
}

/** What a SignedData consists of, beside what follows from it. */
export interface SignedParts {
  /** DER of all that are carried. */
  certificates: readonly Uint8Array[]
  /** The signer's. */
  certificate: Pick<Certificate, 'issuer' | 'serial'>
  digest: DigestName
  attributes: readonly BaseBlock[]
  algorithm: SigningAlgorithm
  signature: Uint8Array
  /** Over the signature. */
  token?: Uint8Array
}

/** DER of a SignedData over what is not part of it: the same bytes for the same parts. */
export function writeSignedData(parts: SignedParts): Uint8Array {
  const { certificate, digest, token } = parts
  const digestAlgorithm = () => sequence(oid(oidOfDigest(digest)))
  const information = sequence(
    integer(1),
    sequence(block(certificate.issuer), block(certificate.serial)),
    digestAlgorithm(),
    implicit(0, orderSet(parts.attributes)),
    writeSignatureAlgorithm(parts.algorithm),
    octets(parts.signature),
    ...(token === undefined ? [] : [implicit(1, [attribute(oids.timeStampToken, block(token))])]),
  )
  const data = sequence(
    integer(1),
    set(digestAlgorithm()),
    sequence(oid(oids.data)),
    implicit(0, orderSet(parts.certificates.map(block))),
    set(information),
  )
  return derOf(sequence(oid(oids.signedData), explicit(0, data)))
}

const block = (der: Uint8Array): BaseBlock => parseBer(der)

const attribute = (type: string, value: BaseBlock) => sequence(oid(type), set(value))

/** [number] IMPLICIT SET OF. */
const implicit = (tagNumber: number, value: BaseBlock[]): Constructed =>
  new Constructed({ idBlock: { tagClass: 3, tagNumber }, value })

/** X.690, 11.6: the library writes a SET OF in the order given. */
export const orderSet = <Block extends BaseBlock>(blocks: readonly Block[]): Block[] =>
  blocks.toSorted((one, other) => Buffer.compare(derOf(one), derOf(other)))

/** RFC 4055, 5: the parameters of RSA are NULL; RFC 5758, 3.2: those of ECDSA are absent. */
const writeSignatureAlgorithm = (algorithm: SigningAlgorithm): BaseBlock =>
  algorithm === 'rsa-pkcs1'
    ? sequence(oid(signatureOids[algorithm]), new Null())
    : sequence(oid(signatureOids[algorithm]))

/** UTCTime to the end of 2049 (RFC 5652, 11.3). */
function writeSigningTime(time: Date): BaseBlock {
  if (time.getUTCFullYear() > 2049) throw new RangeError('a signing time after 2049 is not written')
  return new UTCTime({ valueDate: new Date(Math.floor(time.getTime() / 1000) * 1000) })
}

/** ESSCertIDv2 (RFC 5035, section 4): the hash is SHA-256, which is the default and so left out. */
function identifyCertificate({ der, issuer, serial }: Certificate): BaseBlock {
  const hash = createHash('sha256').update(der).digest()
  const names = sequence(explicit(4, block(issuer)))
  return sequence(octets(new Uint8Array(copy(hash))), sequence(names, block(serial)))
}
