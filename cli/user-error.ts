/** Something that the user can mend: what is wrong, where, and how to mend it. */
import {
  archives,
  DeclarationError,
  IdentityError,
  IntakeError,
  neutralise,
  SealError,
  VocabularyError,
} from '../src/index.ts'
import { StampClientError } from '../src/io/stamp-client.ts'

export class UserError extends Error {
  override name = 'UserError'
  readonly where: string | null
  readonly mend: string

  constructor(what: string, where: string | null, mend: string) {
    super(what)
    this.where = where
    this.mend = mend
  }
}

/** What the user is told of an error, lines ended; null for one that only we can mend. */
export function explainError(error: unknown): string | null {
  if (error instanceof UserError) return tellUser(error)
  if (error instanceof SealError || error instanceof StampClientError)
    return tell(error.message, error.where, error.mend)
  if (error instanceof IntakeError) return tell(error.message, error.where, error.mend)
  if (error instanceof IdentityError || error instanceof archives.ArchiveError)
    return tell(error.message, null, error.mend)
  if (error instanceof DeclarationError)
    return tell(
      `packet.yaml cannot be used:\n${error.message}`,
      'packet.yaml',
      'Correct the lines named. What packet.yaml may hold is stated in schemas/packet.schema.json.',
    )
  if (error instanceof VocabularyError)
    return tell(`the vocabulary cannot be used:\n${error.message}`, null, 'Correct the lines named.')
  return null
}

/** The same of what a command itself has to tell; text from files and servers is neutralised. */
export const tellUser = ({ message, where, mend }: UserError): string => tell(message, where, mend)

function tell(what: string, where: string | null, mend: string): string {
  const [first = '', ...others] = what.split('\n')
  // Where the message names its place already, a line of its own would only repeat it.
  const place = where === null || what.includes(where) ? [] : [`  where: ${where}`]
  return [`witnessmark: ${first}`, ...others.map((line) => `  ${line}`), ...place, `  to mend it: ${mend}`]
    .map((line) => `${/^ */.exec(line)?.[0] ?? ''}${neutralise(line.trim())}\n`)
    .join('')
}
