/** The files that identities are kept in. */
import { readFile } from 'node:fs/promises'
import { type Identity, IdentityError, makeSigner, openIdentity, type Signer, wantsPassphrase } from '../src/index.ts'
import { writeNewAtomically } from '../src/io/atomic-write.ts'
import { now } from '../src/io/clock.ts'
import type { OptionDeclaration } from './arguments.ts'
import { inTheWay } from './deliver.ts'
import { openWithPassphrase, type PassphraseOptions, passphraseOptions } from './passphrase.ts'
import type { Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

export interface KeyOptions extends PassphraseOptions {
  key?: string
}

/** For every command that opens an identity. */
export const keyOptions: Record<string, OptionDeclaration> = {
  key: { type: 'string', value: 'FILE', help: 'The private key (PEM), where the certificate is in a file of its own.' },
  ...passphraseOptions,
}

export interface OpenedIdentity {
  identity: Identity
  /** What it was opened with; null where it lies unencrypted. */
  passphrase: string | null
}

/** Opens the identity in `path`, asking for its passphrase where it has one. */
export async function openIdentityFile(path: string, options: KeyOptions, terminal: Terminal): Promise<OpenedIdentity> {
  const paths = options.key === undefined ? [path] : [path, options.key]
  const files = await Promise.all(paths.map(readIdentityFile))
  const open = async (passphrase: string | null) => ({
    identity: await openIdentity(files, passphrase, now()),
    passphrase,
  })
  return inFile(path, () => (wantsPassphrase(files) ? openWithPassphrase(path, options, terminal, open) : open(null)))
}

/** Who signs with the identity in `path`; throws UserError where it cannot sign today. */
export async function openSigner(path: string, options: KeyOptions, terminal: Terminal): Promise<Signer> {
  const { identity } = await openIdentityFile(path, options, terminal)
  return inFile(path, async () => makeSigner(identity, now()))
}

export async function readIdentityFile(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    const reason = code === 'ENOENT' ? 'does not exist' : code === 'EISDIR' ? 'is a folder' : `cannot be read (${code})`
    throw new UserError(`${path} ${reason}`, path, 'Name a file that you may read.')
  }
}

/** Says of what fails in which file it did. */
export async function inFile<Result>(path: string, work: () => Promise<Result>): Promise<Result> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof IdentityError)) throw error
    throw new UserError(`${path}: ${error.message}`, path, error.mend)
  }
}

/** Writes a file that nobody but its owner may read, and that replaces nothing. */
export const writeSecret = (path: string, data: Uint8Array): Promise<void> => writeNew(path, data, 0o600)

/** Writes a file that replaces nothing. */
export async function writeNew(path: string, data: Uint8Array | string, mode?: number): Promise<void> {
  try {
    await writeNewAtomically(path, data, mode)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'EEXIST') throw inTheWay(path)
    throw new UserError(
      `${path} cannot be written (${code ?? String(error)})`,
      path,
      'Name a file in a folder that exists and that you may write to.',
    )
  }
}
