/** By which identity a desk seals, and whom it trusts. */
import type { DeskSealing } from '../../src/desk/index.ts'
import { archives, type CertificateDescription, describeCertificate, makeSigner } from '../../src/index.ts'
import { now } from '../../src/io/clock.ts'
import { prepareSealing } from '../archive/seal.ts'
import { inFile, openIdentityFile } from '../identity-file.ts'
import type { SealerOptions } from '../seal.ts'
import type { RulebookChoice } from '../shipped-data.ts'
import type { Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'

export interface SealingOptions extends RulebookChoice, SealerOptions {}

/** Undefined where no identity is named. Throws UserError for one that cannot be opened, or cannot sign today. */
export async function openSealing(options: SealingOptions, terminal: Terminal): Promise<DeskSealing | undefined> {
  const { identity: path } = options
  if (path === undefined) {
    const idle = (['key', 'time-stamp', 'organization'] as const).find((name) => options[name] !== undefined)
    if (idle === undefined) return
    throw new UserError(
      `--${idle} is about sealing, and no identity seals`,
      null,
      'Add --identity FILE, or leave it out.',
    )
  }
  const { identity } = await openIdentityFile(path, options, terminal)
  await inFile(path, async () => makeSigner(identity, now()))
  return {
    ...(await prepareSealing(options, lost)),
    sealer: nameOf(describeCertificate(identity.certificate)),
    signer: () => makeSigner(identity, now()),
  }
}

/** The person first, as people are named. */
const nameOf = ({ subject }: CertificateDescription): string =>
  [...subject]
    .reverse()
    .map(({ text }) => text)
    .join(', ')

/** Told to whoever seals at the page. */
const lost = (_packet: string, rulebook: string): archives.ArchiveError =>
  new archives.ArchiveError(
    'incomplete',
    `The rulebook ${rulebook}, by which it was checked, is to be sealed with it and was not found`,
    'Check the packet again, by a rulebook that the desk has, and seal it then.',
  )
