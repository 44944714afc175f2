/** `archive seal`, `archive stamp` */
import manifest from '../../package.json' with { type: 'json' }
import { type KeptSealing, sealKept, stampKept } from '../../src/index.ts'
import { openSigner } from '../identity-file.ts'
import { attach, describeSealed, type SealerOptions, sealerOptions, tagsOf } from '../seal.ts'
import { loadRulebook, type RulebookChoice, readRulebookFiles, rulebookOptionsFor } from '../shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from '../terminal.ts'
import { loadVouching, makeStamp, stampOption, type VouchingOptions, vouchingOptions } from '../trust.ts'
import { tellUser, UserError } from '../user-error.ts'
import { type Action, actorOptions } from './action.ts'
import { keptSearchOptions, readPackets } from './look.ts'
import { type ActorOptions, inArchive, readActor } from './place.ts'

type Given = Record<string, string | true>

interface SealOptions extends ActorOptions, SealerOptions, RulebookChoice {}

/** How packets that are kept are sealed, but for who signs. `missing`: thrown where a packet's rulebook is not found. */
export async function prepareSealing(
  options: SealerOptions & RulebookChoice,
  missing: (packet: string, rulebook: string) => Error,
): Promise<Omit<KeptSealing, 'signer'>> {
  const { 'time-stamp': address } = options
  return {
    agent: `witnessmark ${manifest.version}`,
    tags: tagsOf(options),
    stamp: address === undefined ? null : makeStamp(address, await loadRulebook(options)),
    attach: async (report, packet) => {
      const lacking = (rulebook: string) => missing(packet.name, rulebook)
      return attach(report, await readRulebookFiles(report.rulebook, options, lacking), packet)
    },
  }
}

async function seal(
  [folder = '', ...accessions]: readonly string[],
  options: SealOptions & Given,
  terminal: Terminal,
): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const choose = readPackets('"archive seal"', accessions, options)
  const { identity } = options
  if (identity === undefined)
    throw new UserError('"archive seal" needs to know who seals', null, 'Write --identity FILE.')
  const sealing = { ...(await prepareSealing(options, lost)), signer: await openSigner(identity, options, terminal) }
  return inArchive(folder, async (archive) => {
    let unstamped = 0
    for (const { accession, name } of await choose(archive)) {
      const sealed = await sealKept(archive, actor, accession, sealing)
      if (sealed.again) {
        await terminal.print(`${accession}  ${name}  is sealed already, by entry ${sealed.index}\n`)
        continue
      }
      const { report, filled, index } = sealed
      await terminal.print(
        describeSealed(`${accession}  ${name}, by entry ${index}`, report, filled, sealing.stamp !== null),
      )
      if (filled.unstamped === null) continue
      unstamped++
      const mend = `Stamp it later: witnessmark archive stamp ${folder} ${accession} --time-stamp URL`
      const what = `${accession} is sealed without a time stamp: ${filled.unstamped.message}`
      terminal.tell(tellUser(new UserError(what, null, mend)))
    }
    return unstamped === 0 ? exit.fine : exit.fails
  })
}

const lost = (packet: string, rulebook: string): UserError =>
  new UserError(
    `${packet} was checked by the rulebook ${rulebook}, which is to be sealed with it and was not found`,
    null,
    'Write --rulebook FILE with that very file, or check the packet again: witnessmark archive check.',
  )

interface StampOptions extends ActorOptions, RulebookChoice, VouchingOptions {
  'time-stamp'?: string
  renew?: true
}

async function stamp(
  [folder = '', ...accessions]: readonly string[],
  options: StampOptions & Given,
  terminal: Terminal,
): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const choose = readPackets('"archive stamp"', accessions, options)
  const address = options['time-stamp']
  if (address === undefined)
    throw new UserError('"archive stamp" needs an authority to ask', null, 'Write --time-stamp URL.')
  const [rulebook, { trust, evidence }] = await Promise.all([loadRulebook(options), loadVouching(options)])
  const stamping = {
    stamp: makeStamp(address, rulebook),
    algorithms: rulebook.algorithms,
    trust,
    evidence,
    renew: options.renew ?? false,
  }
  return inArchive(folder, async (archive) => {
    for (const { accession, name } of await choose(archive)) {
      const { index, added } = await stampKept(archive, actor, accession, stamping)
      await terminal.print(`${accession}  ${name}  stamped by entry ${index}: ${added.join(', ')}\n`)
    }
    return exit.fine
  })
}

export const sealActions: Record<string, Action> = {
  seal: {
    operands: 'ARCHIVE [NUMBER…] --identity FILE',
    least: 1,
    most: 10_000,
    summary: 'seal packets with their last report, and keep the seals; run again, it goes on',
    options: {
      ...actorOptions,
      ...keptSearchOptions,
      ...sealerOptions,
      ...rulebookOptionsFor(
        'the algorithms that a time stamp may rest on',
        ', which is sealed too where packets were checked by it',
      ),
    },
    run: (operands, options, terminal) => seal(operands, options, terminal),
  },
  stamp: {
    operands: 'ARCHIVE [NUMBER…] --time-stamp URL',
    least: 1,
    most: 10_000,
    summary: 'have an authority vouch for the time of seals; with --renew, carry the proof on',
    options: {
      ...actorOptions,
      ...keptSearchOptions,
      'time-stamp': stampOption,
      renew: { type: 'boolean', help: 'Add a further stamp over all that the seal holds, earlier stamps too.' },
      ...vouchingOptions,
      ...rulebookOptionsFor('the algorithms that seals and stamps may rest on'),
    },
    run: (operands, options, terminal) => stamp(operands, options, terminal),
  },
}
