/** What a certificate says of whoever holds it, and what it may be used for. */
import { createHash, createPublicKey } from 'node:crypto'
import { BitString, fromBER } from 'asn1js'
import { Certificate, ExtKeyUsage } from 'pkijs'
import { copy, members, octetsOf, parseBer } from '../ber.ts'
import { IdentityError } from './errors.ts'
import { describeKey } from './keys.ts'
import { type NamePart, readName, readSubject, type Subject } from './subject.ts'

export interface CertificateDescription {
  subject: NamePart[]
  issuer: NamePart[]
  /** Of the subject alternative name, else of the subject; null where there is none. */
  email: string | null
  /** Lower-case hexadecimal. */
  serial: string
  validFrom: Date
  validUntil: Date
  /** `rsa-3072`, `ecdsa-p256`. */
  key: string
  /** SHA-256 of the DER, lower-case hexadecimal. */
  fingerprint: string
  /** Issuer and subject are the same: nobody but its holder vouches for it. */
  isSelfIssued: boolean
}

/** Throws RangeError, or pkijs's errors, for bytes that are no certificate. */
export function describeCertificate(der: Uint8Array): CertificateDescription {
  const certificate = parseCertificate(der)
  const { subject, issuer, serialNumber, notBefore, notAfter, subjectPublicKeyInfo } = certificate
  const info = Buffer.from(subjectPublicKeyInfo.toSchema().toBER())
  const parts = readName(subject)
  return {
    subject: parts,
    issuer: readName(issuer),
    email: readEmail(certificate) ?? parts.find(({ label }) => label === 'e-mail')?.text ?? null,
    serial: Buffer.from(serialNumber.valueBlock.valueHexView).toString('hex'),
    validFrom: notBefore.value,
    validUntil: notAfter.value,
    key: describeKey(createPublicKey({ key: info, format: 'der', type: 'spki' })),
    fingerprint: createHash('sha256').update(der).digest('hex'),
    isSelfIssued: Buffer.from(subject.valueBeforeDecode).equals(Buffer.from(issuer.valueBeforeDecode)),
  }
}

/** The subject, as a request for another certificate repeats it; null where it has no common name. */
export function subjectOf(der: Uint8Array): Subject | null {
  const certificate = parseCertificate(der)
  return readSubject(certificate.subject, describeCertificate(der).email)
}

const parseCertificate = (der: Uint8Array): Certificate => new Certificate({ schema: fromBER(copy(der)).result })

function readExtension(certificate: Certificate, oid: string): Uint8Array | null {
  const extension = certificate.extensions?.find(({ extnID }) => extnID === oid)
  return extension === undefined ? null : new Uint8Array(extension.extnValue.valueBlock.valueHexView)
}

/** The first rfc822Name [1] of the subject alternative name. */
function readEmail(certificate: Certificate): string | null {
  const value = readExtension(certificate, '2.5.29.17')
  if (value === null) return null
  const name = members(parseBer(value)).find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === 1)
  return name === undefined ? null : Buffer.from(octetsOf(name)).toString('latin1')
}

/** emailProtection, documentSigning (RFC 9336), any. With other purposes alone, a signature does not verify by default. */
const signingPurposes: ReadonlySet<string> = new Set(['1.3.6.1.5.5.7.3.4', '1.3.6.1.5.5.7.3.36', '2.5.29.37.0'])

/**
 * Throws IdentityError `certificate-not-for-signing` where the key usages (RFC 5280, 4.2.1.3) name neither
 * digitalSignature nor nonRepudiation, or the extended ones (4.2.1.12) none that covers documents.
 */
export function holdForSigning(der: Uint8Array): void {
  const certificate = parseCertificate(der)
  const usage = readExtension(certificate, '2.5.29.15')
  const purposes = readExtension(certificate, '2.5.29.37')
  if (usage !== null && !mayAuthenticate(usage)) throw notForSigning('its key usage')
  if (purposes === null) return
  const { keyPurposes } = ExtKeyUsage.fromBER(copy(purposes))
  if (!keyPurposes.some((purpose) => signingPurposes.has(purpose))) throw notForSigning('its extended key usage')
}

/** Bits 0 and 1 of KeyUsage: digitalSignature, nonRepudiation. */
function mayAuthenticate(usage: Uint8Array): boolean {
  const bits = parseBer(usage)
  return bits instanceof BitString && ((bits.valueBlock.valueHexView[0] ?? 0) & 0b1100_0000) !== 0
}

const notForSigning = (what: string): IdentityError =>
  new IdentityError(
    'certificate-not-for-signing',
    `the certificate is not for signing documents: ${what} says otherwise`,
    'Ask the authority for a certificate with digital signature as its usage, and e-mail protection or none as its purpose.',
  )
