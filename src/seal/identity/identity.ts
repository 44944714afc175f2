/** An identity: a private key, the certificate that names who holds it, and the certificates of its issuers. */
import { createPublicKey, type KeyObject, X509Certificate } from 'node:crypto'
import type { Signer } from '../signer.ts'
import { createCertificate } from './certificate.ts'
import { holdForSigning } from './describe.ts'
import { IdentityError } from './errors.ts'
import { createKey, describeKey, digestOf, type KeyKind, signWith, tellAlgorithm } from './keys.ts'
import { holdsEncryptedKey, unpackPem } from './pem.ts'
import { type Contents, looksLikePkcs12, unpackPkcs12 } from './pkcs12.ts'
import type { Subject } from './subject.ts'

export interface Identity {
  key: KeyObject
  /** DER. */
  certificate: Uint8Array
  /** DER, the nearest first, as far as they are at hand; the last may be the root. */
  issuers: readonly Uint8Array[]
}

/** A new key with a certificate that it signs for itself. `days` from `now`. */
export async function createIdentity(
  kind: KeyKind,
  subject: Subject,
  validity: { now: Date; days: number },
): Promise<Identity> {
  const key = await createKey(kind)
  return { key, certificate: await createCertificate(key, subject, validity), issuers: [] }
}

/** Whether the files ask for a passphrase: PKCS#12, or an encrypted key. */
export const wantsPassphrase = (files: readonly Uint8Array[]): boolean =>
  files.some((file) => looksLikePkcs12(file) || holdsEncryptedKey(file))

/**
 * Opens an identity from the bytes of its files: one PKCS#12, or PEM of certificates and a private key in one file or
 * several. `now` chooses among certificates for the same key. Throws IdentityError for a wrong passphrase, for files
 * without exactly one key that has a certificate, and for a key that cannot sign. Whether the certificate is in date is
 * for `makeSigner` to say.
 */
export async function openIdentity(
  files: readonly Uint8Array[],
  passphrase: string | null,
  now: Date,
): Promise<Identity> {
  const contents: Contents = { keys: [], certificates: [] }
  for (const file of files) {
    const { keys, certificates } = await unpack(file, passphrase)
    contents.keys.push(...keys)
    contents.certificates.push(...certificates)
  }
  return joinIdentity(contents.keys, contents.certificates, now)
}

/** The keys and certificates in one file of any kind. */
async function unpack(file: Uint8Array, passphrase: string | null): Promise<Contents> {
  if (!looksLikePkcs12(file)) return unpackPem(file, passphrase)
  if (passphrase === null)
    throw new IdentityError('passphrase-missing', 'the identity is encrypted', 'Give the passphrase of the identity.')
  return unpackPkcs12(file, passphrase)
}

/** The certificates in a file that is not encrypted: a PEM, DER or PKCS#7 file of an authority. */
export async function readCertificates(file: Uint8Array): Promise<Uint8Array[]> {
  return (await unpack(file, null)).certificates
}

/**
 * The identity with what an authority answered to its request: the certificate for its key, and issuers. Throws
 * IdentityError `certificate-of-another-key` where none of the certificates is for the key.
 */
export function adoptCertificates(identity: Identity, answer: readonly Uint8Array[], now: Date): Identity {
  const adopted = joinIdentity([identity.key], answer, now)
  return { ...adopted, issuers: orderIssuers(adopted.certificate, [...answer, ...identity.issuers].map(parse)) }
}

function joinIdentity(keys: readonly KeyObject[], certificates: readonly Uint8Array[], now: Date): Identity {
  if (keys.length === 0)
    throw new IdentityError(
      'key-missing',
      'there is no private key in it',
      'Give the file that holds the key, too, or export the identity together with its private key.',
    )
  if (certificates.length === 0)
    throw new IdentityError(
      'certificate-missing',
      'there is no certificate in it',
      'Give the certificate of the key, too.',
    )
  const parsed = certificates.map(parse)
  const pairs = keys.flatMap((key) => {
    const own = parsed.filter((certificate) => certificate.checkPrivateKey(key))
    return own.length === 0 ? [] : [{ key, certificate: chooseCertificate(own, now) }]
  })
  const [pair, other] = pairs
  if (pair === undefined) throw notOfThisKey(keys, parsed)
  if (other !== undefined && !sameKey(pair.key, other.key))
    throw new IdentityError(
      'key-ambiguous',
      `it holds several keys with certificates: ${pairs.map(({ certificate }) => nameOf(certificate)).join('; ')}`,
      'Export the one that is to sign into a file of its own.',
    )
  tellAlgorithm(pair.key)
  return { key: pair.key, certificate: raw(pair.certificate), issuers: orderIssuers(raw(pair.certificate), parsed) }
}

const sameKey = (one: KeyObject, other: KeyObject): boolean => createPublicKey(one).equals(createPublicKey(other))

function notOfThisKey(keys: readonly KeyObject[], certificates: readonly X509Certificate[]): IdentityError {
  return new IdentityError(
    'certificate-of-another-key',
    `no certificate in it belongs to the private key (${keys.map(describeKey).join(', ')}): ${certificates.map(nameOf).join('; ')}`,
    'Give the certificate that was issued for this key, or the key that the certificate was issued for.',
  )
}

/** Of several for one key: one in date, then one by an authority, then the one that lasts longest. */
function chooseCertificate(own: readonly X509Certificate[], now: Date): X509Certificate {
  const worth = (certificate: X509Certificate): [number, number, number] => [
    isInDate(certificate, now) ? 1 : 0,
    isSelfIssued(certificate) ? 0 : 1,
    certificate.validToDate.getTime(),
  ]
  return own.reduce((best, each) => (compare(worth(each), worth(best)) > 0 ? each : best))
}

function compare(one: readonly number[], other: readonly number[]): number {
  const differing = one.findIndex((value, at) => value !== other[at])
  return differing === -1 ? 0 : (one[differing] ?? 0) - (other[differing] ?? 0)
}

const isInDate = ({ validFromDate, validToDate }: X509Certificate, now: Date): boolean =>
  validFromDate <= now && now <= validToDate

// `checkIssued` says no of one that is no authority, even of itself.
const isSelfIssued = ({ subject, issuer }: X509Certificate): boolean => subject === issuer

/** From the certificate upwards, each verified with the key of the next, until none is at hand or one issued itself. */
function orderIssuers(certificate: Uint8Array, candidates: readonly X509Certificate[]): Uint8Array[] {
  const issuers: X509Certificate[] = []
  let current = parse(certificate)
  while (!isSelfIssued(current)) {
    const lower = current
    const issuer = candidates.find(
      (each) =>
        lower.checkIssued(each) && lower.verify(each.publicKey) && !issuers.some((known) => known.raw.equals(each.raw)),
    )
    if (issuer === undefined) break
    issuers.push(issuer)
    current = issuer
  }
  return issuers.map(raw)
}

const parse = (der: Uint8Array): X509Certificate => new X509Certificate(der)
const raw = (certificate: X509Certificate): Uint8Array => new Uint8Array(certificate.raw)
const nameOf = ({ subject }: X509Certificate): string => subject.split('\n').join(', ')

const day = (date: Date): string => date.toISOString().slice(0, 10)

/** Throws IdentityError where the certificate is not in date at `now`. */
export function holdInDate({ certificate }: Identity, now: Date): void {
  const { validFromDate, validToDate } = parse(certificate)
  if (now < validFromDate)
    throw new IdentityError(
      'certificate-not-yet-valid',
      `the certificate begins on ${day(validFromDate)} and it is ${day(now)}`,
      'Set the clock of this machine if it is wrong; else wait.',
    )
  if (now > validToDate)
    throw new IdentityError(
      'certificate-expired',
      `the certificate ended on ${day(validToDate)}`,
      'Have it renewed for the same key, or create a new identity and hand its fingerprint to those who trust you.',
    )
}

/** Who signs, for the seal. Throws IdentityError where the certificate is not in date at `now`, or not for signing. */
export function makeSigner(identity: Identity, now: Date): Signer {
  holdInDate(identity, now)
  holdForSigning(identity.certificate)
  const algorithm = tellAlgorithm(identity.key)
  return {
    certificate: identity.certificate,
    issuers: identity.issuers,
    algorithm,
    digest: digestOf(algorithm),
    sign: (bytes) => signWith(identity.key, bytes),
  }
}
