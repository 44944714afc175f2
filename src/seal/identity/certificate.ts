/** Certificates that vouch for themselves (X.509 v3, RFC 5280), and requests to an authority (PKCS#10, RFC 2986). */
import { createHash, createPublicKey, type KeyObject, randomBytes } from 'node:crypto'
import {
  type BaseBlock,
  BitString,
  Boolean as BooleanBlock,
  GeneralizedTime,
  Integer,
  Null,
  type Sequence,
  UTCTime,
} from 'asn1js'
import {
  copy,
  derOf,
  explicit,
  implicitOctets,
  integer,
  members,
  octets,
  oid,
  parseBer,
  sequence,
  set,
} from '../ber.ts'
import { bitsOf } from '../certificates/certificate.ts'
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
  const publicKey = readPublicKey(key)
  const algorithm = tellAlgorithm(key)
  const name = encodeName(subject)
  const toBeSigned = sequence(
    explicit(0, integer(2)),
    createSerial(),
    identifyAlgorithm(algorithm),
    name,
    sequence(encodeTime(new Date(now.getTime() - head)), encodeTime(new Date(now.getTime() + days * day))),
    name,
    publicKey,
    explicit(3, sequence(...ownExtensions(subject), ...keyIdentifiers(publicKey))),
  )
  return signBlock(toBeSigned, key)
}

/** DER of a PKCS#10 request for a certificate for the key, signed by it. */
export async function createRequest(key: KeyObject, subject: Subject): Promise<Uint8Array> {
  holdSubject(subject)
  const wanted = sequence(oid(oids.extensionRequest), set(sequence(...ownExtensions(subject))))
  return signBlock(sequence(integer(0), encodeName(subject), readPublicKey(key), explicit(0, wanted)), key)
}

/** What certificates and requests have in common: what is signed, by which algorithm, and the signature. */
async function signBlock(block: Sequence, key: KeyObject): Promise<Uint8Array> {
  const signature = await signWith(key, derOf(block))
  return derOf(sequence(block, identifyAlgorithm(tellAlgorithm(key)), new BitString({ valueHex: copy(signature) })))
}

/** SubjectPublicKeyInfo. */
const readPublicKey = (key: KeyObject): BaseBlock =>
  parseBer(createPublicKey(key).export({ type: 'spki', format: 'der' }))

/** 16 random bytes, positive and never shortened (RFC 5280, 4.1.2.2 allows 20): 126 bits of chance. */
function createSerial(): Integer {
  const bytes = new Uint8Array(randomBytes(16))
  bytes[0] = ((bytes[0] ?? 0) & 0x3f) | 0x40
  return new Integer({ valueHex: copy(bytes) })
}

/** RSA algorithms carry NULL (RFC 4055, 5), those of ECDSA nothing (RFC 5758, 3.2). */
const identifyAlgorithm = (algorithm: SigningAlgorithm): Sequence =>
  sequence(oid(signatureAlgorithms[algorithm]), ...(algorithm === 'rsa-pkcs1' ? [new Null()] : []))

/** Whole seconds: UTCTime through 2049, GeneralizedTime from 2050 on (RFC 5280, 4.1.2.5). */
function encodeTime(time: Date): BaseBlock {
  const valueDate = new Date(Math.floor(time.getTime() / 1000) * 1000)
  return valueDate.getUTCFullYear() < 2050 ? new UTCTime({ valueDate }) : new GeneralizedTime({ valueDate })
}

/** What we want of an authority too: no authority itself, digitalSignature and nonRepudiation, the e-mail address. */
function ownExtensions({ email }: Subject): Sequence[] {
  const signing = new BitString({ unusedBits: 6, valueHex: copy(Uint8Array.of(0b1100_0000)) })
  return [
    extend(oids.basicConstraints, true, sequence()),
    extend(oids.keyUsage, true, signing),
    ...(email === undefined ? [] : [extend(oids.subjectAltName, false, sequence(encodeEmail(email)))]),
  ]
}

/** Of the key as RFC 7093, 2 (1) makes it: the first 160 bits of its SHA-256. */
function keyIdentifiers(publicKey: BaseBlock): Sequence[] {
  const bits = bitsOf(members(publicKey)[1])
  const identifier = createHash('sha256').update(bits).digest().subarray(0, 20)
  return [
    extend(oids.subjectKeyIdentifier, false, octets(identifier)),
    extend(oids.authorityKeyIdentifier, false, sequence(implicitOctets(0, identifier))),
  ]
}

/** Extension ::= SEQUENCE { extnID, critical BOOLEAN DEFAULT FALSE, extnValue OCTET STRING } */
const extend = (id: string, critical: boolean, value: BaseBlock): Sequence =>
  sequence(oid(id), ...(critical ? [new BooleanBlock({ value: true })] : []), octets(derOf(value)))
