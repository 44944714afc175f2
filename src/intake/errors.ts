/** Why a whole packet was refused. */
export type IntakeErrorCode =
  | 'not-found'
  | 'unreadable'
  | 'not-a-packet'
  | 'empty'
  | 'changed'
  | 'unsafe-path'
  | 'duplicate-path'
  | 'case-clash'
  | 'too-many-entries'
  | 'packet-too-large'
  | 'declaration-unusable'
  | 'not-a-zip'
  | 'zip-truncated'
  | 'zip-structure'
  | 'zip-overlap'
  | 'zip-headers-differ'
  | 'zip-size-lie'
  | 'zip-bomb'

/**
 * A packet, or one of its files, could not be taken. `where` is a path inside the packet, or the packet's own path;
 * `mend` tells the user what to do.
 */
export class IntakeError extends Error {
  override readonly name = 'IntakeError'
  readonly code: IntakeErrorCode
  readonly where: string
  readonly mend: string

  constructor(code: IntakeErrorCode, where: string, message: string, mend: string, options?: ErrorOptions) {
    super(message, options)
    this.code = code
    this.where = where
    this.mend = mend
  }
}
