/** Where passphrases come from: a person at the terminal, or a file that nobody else may read. Never the command line. */
import { holdPassphrase, IdentityError, type IdentitySubject } from '../src/index.ts'
import { readSecret } from '../src/io/secret-file.ts'
import type { OptionDeclaration } from './arguments.ts'
import type { Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

export interface PassphraseOptions {
  'passphrase-file'?: string
}

export const passphraseOptions: Record<string, OptionDeclaration> = {
  'passphrase-file': {
    type: 'string',
    value: 'FILE',
    help: 'Take the passphrase from FILE (mode 0600), /dev/stdin or /dev/fd/N instead of asking.',
  },
}

/** How often a person may try. */
const mostTries = 3

/**
 * Opens with the passphrase in the file, or with what a person types, who is asked again when `open` rejects with
 * IdentityError `passphrase-wrong`.
 */
export async function openWithPassphrase<Opened>(
  what: string,
  options: PassphraseOptions,
  terminal: Terminal,
  open: (passphrase: string) => Promise<Opened>,
): Promise<Opened> {
  const file = options['passphrase-file']
  if (file !== undefined) return open(await readPassphrase(file))
  const ask = holdAsking(terminal)
  for (let left = mostTries - 1; ; left--)
    try {
      return await open(await ask(`Passphrase of ${what}: `))
    } catch (error) {
      if (left === 0 || !(error instanceof IdentityError) || error.code !== 'passphrase-wrong') throw error
      terminal.tell('That passphrase does not open it.\n')
    }
}

/** A passphrase for a new identity: typed twice alike, or from the file. One that is too weak is asked for again. */
export async function choosePassphrase(
  options: PassphraseOptions,
  subject: IdentitySubject,
  terminal: Terminal,
): Promise<string> {
  const file = options['passphrase-file']
  if (file !== undefined) {
    const passphrase = await readPassphrase(file)
    holdPassphrase(passphrase, subject)
    return passphrase
  }
  const ask = holdAsking(terminal)
  terminal.tell('The passphrase guards the key that signs for you. Lost, it cannot be recovered.\n')
  for (let left = mostTries - 1; ; left--)
    try {
      const passphrase = await ask('New passphrase, 12 characters or more: ')
      holdPassphrase(passphrase, subject)
      if ((await ask('The same again: ')) === passphrase) return passphrase
      throw new IdentityError('passphrase-wrong', 'the two passphrases differ', 'Type the same passphrase twice.')
    } catch (error) {
      if (left === 0 || !(error instanceof IdentityError)) throw error
      terminal.tell(`${error.message}. ${error.mend}\n`)
    }
}

/** Asks without showing what is typed. Throws UserError where nobody can be asked. */
export function holdAsking(terminal: Terminal): (question: string) => Promise<string> {
  if (terminal.askHidden !== undefined) return terminal.askHidden
  throw new UserError(
    'a passphrase is needed, and there is no terminal to ask at',
    null,
    'Run the command at a terminal, or give --passphrase-file FILE.',
  )
}

/** The file's one line; `what` it is. Throws UserError for a file that others may read, or of another form. */
export async function readPassphrase(path: string, what = 'passphrase'): Promise<string> {
  const { bytes, isShared } = await readSecret(path).catch((error: NodeJS.ErrnoException) => {
    const reason = error.code === 'EFBIG' ? `is longer than any ${what}` : `cannot be read (${error.code})`
    throw new UserError(`the ${what} file ${path} ${reason}`, path, 'Name a file of one line that you may read.')
  })
  if (isShared)
    throw new UserError(
      `others than you may open the ${what} file ${path}`,
      path,
      `Run "chmod 600" on it. If others may have read it, choose another ${what}.`,
    )
  const text = decode(bytes, path, what).replace(/\r?\n$/, '')
  if (text !== '' && !/[\r\n]/.test(text)) return text.normalize('NFC')
  throw new UserError(
    `the ${what} file ${path} ${text === '' ? 'is empty' : 'has several lines'}`,
    path,
    `Write the ${what} into it, and nothing else.`,
  )
}

function decode(bytes: Uint8Array, path: string, what: string): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw new UserError(`the ${what} file ${path} is not UTF-8`, path, 'Save it as UTF-8 text.')
  }
}
