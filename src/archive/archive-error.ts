/** Why an archive could not do what it was asked to. */
export type ArchiveErrorCode =
  | 'no-archive'
  | 'not-empty'
  | 'busy'
  | 'damaged'
  | 'unknown'
  | 'held'
  | 'not-due'
  | 'not-approved'
  | 'same-person'
  | 'incomplete'
  | 'gone'
  | 'too-many'
  | 'full'
  | 'read-only'
  | 'in-the-way'
  | 'unfinished'
  | 'newer'

/** A person can mend it: `message` says what and where, `mend` how. */
export class ArchiveError extends Error {
  override name = 'ArchiveError'
  readonly code: ArchiveErrorCode
  readonly mend: string

  constructor(code: ArchiveErrorCode, message: string, mend: string, options?: ErrorOptions) {
    super(message, options)
    this.code = code
    this.mend = mend
  }
}
