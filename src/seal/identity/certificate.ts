/** Certificates that vouch for themselves (X.509 v3, RFC 5280), and requests to an authority (PKCS#10, RFC 2986). */
import { createHash, createPublicKey, type KeyObject, randomBytes } from 'node:crypto'
import { type BaseBlock, BitString, fromBER, Integer, Null, type Sequence } from 'asn1js'
import { AlgorithmIdentifier, Certificate, Extension, Extensions, PublicKeyInfo, Time } from 'pkijs'
import { copy, derOf, explicit, implicitOctets, integer, octets, oid, sequence, set } from '../ber.ts'
import type { SigningAlgorithm } from '../signer.ts'
import { IdentityError } from './errors.ts'
import { signWith, tellAlgorithm } from './keys.ts'
import { encodeEmail, encodeName, holdSubject, type Subject } from './subject.ts'

const oids = {
  subjectKeyIdentifier: '2.5.29.14',
  keyUsage: '2.5.29.15',
  subjectAltName: '2.5.29.17',
  basicConstraints: '2.5.29.19',
  authorityKeyIdentifier: '2.5.29.35',
  extensionRequest: '1.2.840.113549.1.9.14',
} as const

const signatureAlgorithms: Readonly<Record<SigningAlgorithm, string>> = {
  'rsa-pkcs1': '1.2.840.113549.1.1.11',
  'ecdsa-p256': '1.2.840.10045.4.3.2',
  'ecdsa-p384': '1.2.840.10045.4.3.3',
}

const day = 86_400_000
/** So that a time-stamp authority whose clock is a little behind does not stamp before the certificate begins. */
const head = 3_600_000
const mostDays = 3650

export interface Validity {
  now: Date
  /** From `now`; 1 to 3650. */
  days: number
}

/**
 * DER of a certificate that the key signs for itself: no authority, for signing documents only (RFC 5280 key usages
 * digitalSignature and nonRepudiation, critical), valid from one hour before `now`.
 */
export async function createCertificate(key: KeyObject, subject: Subject, validity: Validity): Promise<Uint8Array> {
  holdSubject(subject)
  const { days, now } = validity
  if (!Number.isInteger(days) || days < 1 || days > mostDays)
    throw new IdentityError(
      'validity-unusable',
      `a certificate cannot be valid for ${days} days`,
      `Give a whole number of days, 1 to ${mostDays}.`,
    )
  const info = readPublicKey(key)
  const algorithm = tellAlgorithm(key)
  const certificate = new Certificate({
    version: 2,
    serialNumber: createSerial(),
    signature: identifyAlgorithm(algorithm),
    signatureAlgorithm: identifyAlgorithm(algorithm),
    issuer: encodeName(subject),
    subject: encodeName(subject),
    notBefore: encodeTime(new Date(now.getTime() - head)),
    notAfter: encodeTime(new Date(now.getTime() + days * day)),
    subjectPublicKeyInfo: info,
    extensions: [...ownExtensions(subject), ...keyIdentifiers(info)],
  })
  certificate.tbsView = new Uint8Array(certificate.encodeTBS().toBER())
  const signature = await signWith(key, certificate.tbsView)
  certificate.signatureValue = new BitString({ valueHex: copy(signature) })
  return new Uint8Array(certificate.toSchema(true).toBER())
}

/** DER of a PKCS#10 request for a certificate for the key, signed by it. */
export async function createRequest(key: KeyObject, subject: Subject): Promise<Uint8Array> {
  holdSubject(subject)
  const extensions = new Extensions({ extensions: ownExtensions(subject) })
  const wanted = sequence(oid(oids.extensionRequest), set(extensions.toSchema() as Sequence))
  const information = sequence(
    integer(0),
    encodeName(subject).toSchema() as Sequence,
    readPublicKey(key).toSchema(),
    explicit(0, wanted),
  )
  const signature = new BitString({ valueHex: copy(await signWith(key, derOf(information))) })
  return derOf(sequence(information, identifyAlgorithm(tellAlgorithm(key)).toSchema(), signature))
}

function readPublicKey(key: KeyObject): PublicKeyInfo {
  const der = createPublicKey(key).export({ type: 'spki', format: 'der' })
  return new PublicKeyInfo({ schema: fromBER(copy(der)).result })
}

/** 16 random bytes, positive and never shortened (RFC 5280, 4.1.2.2 allows 20): 126 bits of chance. */
function createSerial(): Integer {
  const bytes = new Uint8Array(randomBytes(16))
  bytes[0] = ((bytes[0] ?? 0) & 0x3f) | 0x40
  return new Integer({ valueHex: copy(bytes) })
}

/** RSA algorithms carry NULL (RFC 4055, 5), those of ECDSA nothing (RFC 5758, 3.2). */
function identifyAlgorithm(algorithm: SigningAlgorithm): AlgorithmIdentifier {
  const algorithmId = signatureAlgorithms[algorithm]
  return algorithm === 'rsa-pkcs1'
    ? new AlgorithmIdentifier({ algorithmId, algorithmParams: new Null() })
    : new AlgorithmIdentifier({ algorithmId })
}

/** UTCTime through 2049, GeneralizedTime from 2050 on (RFC 5280, 4.1.2.5). */
const encodeTime = (value: Date): Time => new Time({ type: value.getUTCFullYear() < 2050 ? 0 : 1, value })

/** What we want of an authority too: no authority itself, digitalSignature and nonRepudiation, the e-mail address. */
function ownExtensions({ email }: Subject): Extension[] {
  const signing = new BitString({ unusedBits: 6, valueHex: copy(Uint8Array.of(0b1100_0000)) })
  return [
    extend(oids.basicConstraints, true, sequence()),
    extend(oids.keyUsage, true, signing),
    ...(email === undefined ? [] : [extend(oids.subjectAltName, false, sequence(encodeEmail(email)))]),
  ]
}

/** Of the key as RFC 7093, 2 (1) makes it: the first 160 bits of its SHA-256. */
function keyIdentifiers(info: PublicKeyInfo): Extension[] {
  const bits = info.subjectPublicKey.valueBlock.valueHexView
  const identifier = createHash('sha256').update(bits).digest().subarray(0, 20)
  return [
    extend(oids.subjectKeyIdentifier, false, octets(identifier)),
    extend(oids.authorityKeyIdentifier, false, sequence(implicitOctets(0, identifier))),
  ]
}

const extend = (extnID: string, critical: boolean, value: BaseBlock): Extension =>
  new Extension({ extnID, critical, extnValue: value.toBER() })
