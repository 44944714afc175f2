/** Whom the user trusts, and whom to ask for a time stamp. */
import { readdir, readFile, stat } from 'node:fs/promises'
import { join } from 'node:path'
import {
  acceptStamp,
  createStampQuery,
  type Evidence,
  nobody,
  type Rulebook,
  readRevocationFiles,
  readTrustFiles,
  type TrustList,
} from '../src/index.ts'
import { now } from '../src/io/clock.ts'
import { askAuthority, makeNonce, readAddress } from '../src/io/stamp-client.ts'
import type { OptionDeclaration } from './arguments.ts'
import { UserError } from './user-error.ts'

/** For every command that judges seals or signatures. */
export const vouchingOptions: Record<string, OptionDeclaration> = {
  trust: {
    type: 'string',
    value: 'PATH',
    help: 'Trust the certificates (PEM, DER) and fingerprints in PATH, a file or a folder of files.',
  },
  revocation: {
    type: 'string',
    value: 'PATH',
    help: 'Look up revocations in PATH: lists (CRL) and OCSP responses, a file or a folder of files.',
  },
}

export interface VouchingOptions {
  trust?: string
  revocation?: string
}

/**
 * Nobody and nothing, where nothing is named. Throws UserError for a path that cannot be read, SealError for what is no
 * trust list, and for what tells of no revocation.
 */
export async function loadVouching(options: VouchingOptions): Promise<{ trust: TrustList; evidence: Evidence[] }> {
  const { trust, revocation } = options
  return {
    trust:
      trust === undefined
        ? nobody
        : readTrustFiles(await loadFiles(trust, 'trust list', 'certificates or fingerprints')),
    evidence:
      revocation === undefined
        ? []
        : readRevocationFiles(await loadFiles(revocation, 'revocation file', 'revocation lists or answers')),
  }
}

/** One file, or those of a folder in order. Throws UserError for what cannot be read. */
async function loadFiles(path: string, what: string, contents: string): Promise<{ path: string; data: Uint8Array }[]> {
  try {
    const isFolder = (await stat(path)).isDirectory()
    const names = isFolder ? (await readdir(path, { withFileTypes: true })).filter((entry) => entry.isFile()) : []
    const paths = isFolder ? names.map(({ name }) => join(path, name)).sort() : [path]
    if (paths.length === 0)
      throw new UserError(`the ${what} ${path} is an empty folder`, path, `Put ${contents} into it.`)
    return await Promise.all(paths.map(async (file) => ({ path: file, data: await readFile(file) })))
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === undefined || !/^E[A-Z]+$/.test(code)) throw error
    const reason = code === 'ENOENT' ? 'does not exist' : `cannot be read (${code})`
    throw new UserError(`the ${what} ${path} ${reason}`, path, 'Name a file or folder that you may read.')
  }
}

/** For every command that may have something stamped. */
export const stampOption: OptionDeclaration = {
  type: 'string',
  value: 'URL',
  help: 'Have the time-stamp authority (RFC 3161) at URL vouch for the time.',
}

/** Has bytes stamped by the authority at `url`; rejects with SealError or StampClientError, at once for what is no address. */
export function makeStamp(url: string, rulebook: Rulebook): (bytes: Uint8Array) => Promise<Uint8Array> {
  readAddress(url)
  return async (bytes) => {
    const query = createStampQuery(bytes, makeNonce())
    const answer = await askAuthority(url, query.der)
    return acceptStamp(answer, query, bytes, { where: url, policy: rulebook.algorithms, at: now() })
  }
}
