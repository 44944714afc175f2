/** Why an identity could not be made, opened or used. */
export type IdentityErrorCode =
  | 'subject-unusable'
  | 'validity-unusable'
  | 'passphrase-weak'
  | 'passphrase-wrong'
  | 'passphrase-missing'
  | 'file-unreadable'
  | 'encryption-unsupported'
  | 'key-missing'
  | 'key-ambiguous'
  | 'key-unsupported'
  | 'certificate-missing'
  | 'certificate-unusable'
  | 'certificate-of-another-key'
  | 'certificate-not-yet-valid'
  | 'certificate-expired'
  | 'certificate-not-for-signing'

/** `message` says what is wrong, without a full stop; `mend` tells the user what to do, in sentences. */
export class IdentityError extends Error {
  override readonly name = 'IdentityError'
  readonly code: IdentityErrorCode
  readonly mend: string

  constructor(code: IdentityErrorCode, message: string, mend: string, options?: ErrorOptions) {
    super(message, options)
    this.code = code
    this.mend = mend
  }
}
