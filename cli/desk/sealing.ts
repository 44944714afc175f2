/** By which identity a desk seals, and whom it trusts. */
import manifest from '../../package.json' with { type: 'json' }
import type { DeskSealing } from '../../src/desk/index.ts'
import { archives, type CertificateDescription, describeCertificate, makeSigner } from '../../src/index.ts'
import { now } from '../../src/io/clock.ts'
import { inFile, openIdentityFile } from '../identity-file.ts'
import { attach, type SealerOptions, tagsOf } from '../seal.ts'
import { loadRulebook, type RulebookChoice, readRulebookFiles } from '../shipped-data.ts'
import type { Terminal } from '../terminal.ts'
import { makeStamp } from '../trust.ts'
import { UserError } from '../user-error.ts'

export interface SealingOptions extends RulebookChoice, SealerOptions {}

/** Undefined where no identity is named. Throws UserError for one that cannot be opened, or cannot sign today. */
export async function openSealing(options: SealingOptions, terminal: Terminal): Promise<DeskSealing | undefined> {
  const { identity: path, 'time-stamp': address } = options
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
  const stamp = address === undefined ? null : makeStamp(address, await loadRulebook(options))
  return {
    sealer: nameOf(describeCertificate(identity.certificate)),
    signer: () => makeSigner(identity, now()),
    agent: `witnessmark ${manifest.version}`,
    tags: tagsOf(options),
    stamp,
    attach: async (report, packet) => attach(report, await rulesOf(report.rulebook, options), packet),
  }
}

/** The person first, as people are named. */
const nameOf = ({ subject }: CertificateDescription): string =>
  [...subject]
    .reverse()
    .map(({ text }) => text)
    .join(', ')

/** As `readRulebookFiles`, told to whoever seals at the page. */
async function rulesOf(rulebook: Parameters<typeof readRulebookFiles>[0], options: RulebookChoice) {
  try {
    return await readRulebookFiles(rulebook, options)
  } catch (error) {
    if (!(error instanceof UserError)) throw error
    throw new archives.ArchiveError(
      'incomplete',
      `The rulebook ${rulebook.name}, by which it was checked, is to be sealed with it and was not found`,
      'Check the packet again, by a rulebook that the desk has, and seal it then.',
    )
  }
}
