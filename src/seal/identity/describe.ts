/** What a certificate says of whoever holds it, and what it may be used for. */
import { members, octetsOf, parseBer } from '../ber.ts'
import { type Certificate, parseCertificate, readExtensions, same } from '../certificates/certificate.ts'
import { findPurposeFault } from '../certificates/path.ts'
import { IdentityError } from './errors.ts'
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

/** Throws IdentityError `certificate-unusable` for bytes that are no certificate by the strict reading of a verifier. */
export function describeCertificate(der: Uint8Array): CertificateDescription {
  const certificate = parse(der)
  const { facts, notBefore, notAfter } = certificate
  const subject = readName(parseBer(certificate.subject))
  return {
    subject,
    issuer: readName(parseBer(certificate.issuer)),
    email: readEmail(certificate) ?? subject.find(({ label }) => label === 'e-mail')?.text ?? null,
    serial: facts.serial,
    validFrom: notBefore,
    validUntil: notAfter,
    key: facts.key,
    fingerprint: facts.fingerprint,
    isSelfIssued: same(certificate.subject, certificate.issuer),
  }
}

/** The subject, as a request for another certificate repeats it; null where it has no common name. */
export const subjectOf = (der: Uint8Array): Subject | null =>
  readSubject(parseBer(parse(der).subject), describeCertificate(der).email)

function parse(der: Uint8Array): Certificate {
  try {
    return parseCertificate(der)
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause
    const mend = 'Ask the authority for a certificate that keeps to RFC 5280.'
    throw new IdentityError('certificate-unusable', cause.message, mend, { cause })
  }
}

/** The first rfc822Name [1] of the subject alternative name (RFC 5280, 4.2.1.6). */
function readEmail({ signed }: Certificate): string | null {
  const extensions = members(parseBer(signed)).find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === 3)
  const names = readExtensions(extensions).get('2.5.29.17')
  if (names === undefined) return null
  const email = members(parseBer(names.value)).find(({ idBlock }) => idBlock.tagNumber === 1)
  return email === undefined ? null : Buffer.from(octetsOf(email)).toString('latin1')
}

/** Throws IdentityError `certificate-not-for-signing` where a verifier would not take it for documents. */
export function holdForSigning(der: Uint8Array): void {
  const fault = findPurposeFault(parse(der), 'document')
  if (fault === null) return
  throw new IdentityError(
    'certificate-not-for-signing',
    `the certificate does not serve: ${fault.text}`,
    'Ask the authority for one with digital signature as its usage, and e-mail protection or none as its purpose.',
  )
}
