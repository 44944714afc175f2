/** What keeps a packet from being sealed, stamped or examined: what, where, and how to mend it. */

export class SealError extends Error {
  override name = 'SealError'
  /** Kebab-case. */
  readonly code: string
  /** File or address that it is about. */
  readonly where: string
  /** What the user can do about it. */
  readonly mend: string

  constructor(code: string, where: string, message: string, mend: string, options?: ErrorOptions) {
    super(message, options)
    this.code = code
    this.where = where
    this.mend = mend
  }
}
