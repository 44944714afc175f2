/** Identities: whose key signs a seal, how it is kept, and how an authority comes to vouch for it. */
export { createCertificate, createRequest } from './certificate.ts'
export {
  type CertificateDescription,
  describeCertificate,
  holdForSigning,
  subjectOf,
} from './describe.ts'
export { IdentityError, type IdentityErrorCode } from './errors.ts'
export {
  adoptCertificates,
  createIdentity,
  type Identity,
  makeSigner,
  openIdentity,
  readCertificates,
  wantsPassphrase,
} from './identity.ts'
export { type KeyKind, keyKinds } from './keys.ts'
export { holdPassphrase } from './passphrase.ts'
export { formatPem } from './pem.ts'
export { packPkcs12 } from './pkcs12.ts'
export { holdSubject, type NamePart, type Subject } from './subject.ts'
