/** By which OpenID Connect provider people sign in at a desk. */
import { dirname, resolve } from 'node:path'
import { type OpenIdSettings, parseOpenId } from '../../src/desk/index.ts'
import { formatFaults } from '../../src/index.ts'
import { readPassphrase } from '../passphrase.ts'
import { readNamedFile } from '../shipped-data.ts'
import { UserError } from '../user-error.ts'

export interface OpenIdAccess {
  settings: OpenIdSettings
  /** Of the client; null for one without. */
  secret: string | null
}

/** Null where no provider is named. Throws UserError, with every fault of the file. */
export async function openSignIn({
  openid: path,
  users,
}: {
  openid?: string
  users?: true
}): Promise<OpenIdAccess | null> {
  if (path === undefined) return null
  if (!users)
    throw new UserError(
      '--openid is about signing in, and nobody signs in',
      null,
      'Add --users, or leave --openid out.',
    )
  const { settings, faults } = parseOpenId(await readNamedFile(path, 'provider'))
  if (settings === null)
    throw new UserError(
      `the provider file ${path} cannot be used:\n${formatFaults(faults)}`,
      path,
      'Correct the lines named. What it may hold is stated in schemas/openid.schema.json.',
    )
  return { settings, secret: await readClientSecret(settings, path) }
}

async function readClientSecret({ secret }: OpenIdSettings, path: string): Promise<string | null> {
  if (secret === undefined) return null
  if ('file' in secret) return readPassphrase(resolve(dirname(path), secret.file), 'secret')
  const { [secret.environment]: text = '' } = process.env
  if (text !== '') return text
  throw new UserError(
    `the variable ${secret.environment}, in which the secret should stand, is not set`,
    path,
    `Set ${secret.environment}, or name a file: secret: { file: … }`,
  )
}
