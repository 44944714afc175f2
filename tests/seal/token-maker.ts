/**
 * Time-stamp tokens by a key at hand, at any time and with any fault: what an authority in service would never give, and an
 * attacker may. DER of RFC 3161 and 5652; nothing here is what the program itself writes tokens by, for it writes none.
 */
import { createHash, createPrivateKey, sign } from 'node:crypto'
import { type BaseBlock, Constructed, GeneralizedTime, Integer, Null } from 'asn1js'
import { copy, derOf, explicit, integer, octets, oid, parseBer, sequence, set } from '../../src/seal/ber.ts'
import { type DigestName, nodeDigest, oidOfDigest } from '../../src/seal/certificates/algorithms.ts'
import { parseCertificate } from '../../src/seal/certificates/certificate.ts'
import { orderSet } from '../../src/seal/cms/sign.ts'
import { oids } from '../../src/seal/cms/structure.ts'

export interface Stamper {
  /** PEM of the key, DER of its certificate and of those above it. */
  key: Uint8Array
  certificate: Uint8Array
  above: readonly Uint8Array[]
}

export interface TokenOptions {
  stamped: Uint8Array
  time: Date
  digest?: DigestName
  /** Content of the INTEGER. */
  nonce?: Uint8Array
  version?: number
  /** Last members of the TSTInfo as they are. */
  more?: readonly BaseBlock[]
  /** Of the signature. */
  signedBy?: DigestName
  contentType?: string
  /** Leaves the binding to the certificate out. */
  unbound?: boolean
  /** DER of what is carried besides. */
  carried?: readonly Uint8Array[]
  unsigned?: readonly BaseBlock[]
}

/** RFC 5758, 3.2, and X9.62 for SHA-1. */
const ecdsaOids: Readonly<Partial<Record<DigestName, string>>> = {
  'sha-1': '1.2.840.10045.4.1',
  'sha-256': '1.2.840.10045.4.3.2',
  'sha-384': '1.2.840.10045.4.3.3',
  'sha-512': '1.2.840.10045.4.3.4',
}

const block = (der: Uint8Array): BaseBlock => parseBer(der)
const algorithm = (digest: DigestName): BaseBlock => sequence(oid(oidOfDigest(digest)))
const hash = (digest: DigestName, bytes: Uint8Array) =>
  new Uint8Array(createHash(nodeDigest(digest)).update(bytes).digest())
const attribute = (type: string, value: BaseBlock) => sequence(oid(type), set(value))
const implicit = (tagNumber: number, value: readonly BaseBlock[]) =>
  new Constructed({ idBlock: { tagClass: 3, tagNumber }, value: [...value] })

/** DER of TSTInfo. */
export function writeStampInfo({ stamped, time, digest = 'sha-256', nonce, version = 1, more = [] }: TokenOptions) {
  return derOf(
    sequence(
      integer(version),
      oid('1.3.6.1.4.1.99999.1'),
      sequence(algorithm(digest), octets(hash(digest, stamped))),
      integer(17),
      new GeneralizedTime({ valueDate: new Date(Math.floor(time.getTime() / 1000) * 1000) }),
      ...(nonce === undefined ? [] : [new Integer({ valueHex: copy(nonce) })]),
      ...more,
    ),
  )
}

/** DER of the token. */
export function makeToken({ key, certificate, above }: Stamper, options: TokenOptions): Uint8Array {
  const { signedBy = 'sha-256', contentType = oids.timeStampInfo, unbound = false, carried = [] } = options
  const info = writeStampInfo(options)
  const { issuer, serial } = parseCertificate(certificate)
  const attributes = orderSet([
    attribute(oids.contentType, oid(contentType)),
    attribute(oids.messageDigest, octets(hash(signedBy, info))),
    ...(unbound
      ? []
      : [attribute(oids.signingCertificateV2, sequence(sequence(sequence(octets(hash('sha-256', certificate))))))]),
  ])
  const privateKey = createPrivateKey(Buffer.from(key))
  const signature = new Uint8Array(sign(nodeDigest(signedBy), derOf(set(...attributes)), privateKey))
  const certificates = orderSet([certificate, ...above, ...carried].map(block))
  const scheme =
    privateKey.asymmetricKeyType === 'rsa'
      ? sequence(oid('1.2.840.113549.1.1.1'), new Null())
      : sequence(oid(ecdsaOids[signedBy] ?? ''))
  const signer = sequence(
    integer(1),
    sequence(block(issuer), block(serial)),
    algorithm(signedBy),
    implicit(0, attributes),
    scheme,
    octets(signature),
    ...(options.unsigned === undefined ? [] : [implicit(1, orderSet(options.unsigned))]),
  )
  const data = sequence(
    integer(3),
    set(algorithm(signedBy)),
    sequence(oid(contentType), explicit(0, octets(info))),
    implicit(0, certificates),
    set(signer),
  )
  return derOf(sequence(oid(oids.signedData), explicit(0, data)))
}

/** TimeStampResp with a status of PKIStatus, texts and bits of PKIFailureInfo. */
export function writeResponse(status: number, token: Uint8Array | null, ...details: BaseBlock[]): Uint8Array {
  return derOf(sequence(sequence(integer(status), ...details), ...(token === null ? [] : [block(token)])))
}
