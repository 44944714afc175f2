/** `witnessmark stamp BAG --time-stamp URL` */
import { basename } from 'node:path'
import { planStamp } from '../src/index.ts'
import { addToBagFolder } from '../src/io/bag-writer.ts'
import { now } from '../src/io/clock.ts'
import { fileSystem } from '../src/io/files.ts'
import { writeBagZip } from '../src/io/zip-writer.ts'
import type { CommandDeclaration } from './arguments.ts'
import { loadRulebook, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { loadVouching, makeStamp, stampOption, type VouchingOptions, vouchingOptions } from './trust.ts'
import { UserError } from './user-error.ts'

export const stampCommand: CommandDeclaration = {
  name: 'stamp',
  summary: 'Have an authority vouch for the time of a sealed packet; carry the proof on later.',
  operands: 'BAG',
  least: 1,
  most: 1,
  details: [
    'Adds a time stamp (RFC 3161) to a sealed packet that has none. With --renew, adds a new one over everything so far: do',
    'that before a certificate of the last stamp or an algorithm ages; "witnessmark rules" lists the days.',
    'A bag that does not verify is not stamped.',
    '',
    'Exit status: 0 when it was stamped, 2 when not.',
  ].join('\n'),
  options: {
    'time-stamp': stampOption,
    renew: { type: 'boolean', help: 'Add a further stamp over all that the bag holds, earlier stamps too.' },
    ...vouchingOptions,
    ...rulebookOptions,
  },
}

export interface StampOptions extends RulebookChoice, VouchingOptions {
  'time-stamp'?: string
  renew?: boolean
}

/** Stamps one bag. Throws what `explainError` explains. */
export async function runStamp(path: string, options: StampOptions, terminal: Terminal): Promise<ExitStatus> {
  const url = options['time-stamp']
  if (url === undefined)
    throw new UserError('"witnessmark stamp" needs an authority to ask', null, 'Write --time-stamp URL.')
  const [rulebook, { trust, evidence }] = await Promise.all([loadRulebook(options), loadVouching(options)])
  const stamp = makeStamp(url, rulebook)
  const { form, held, files } = await planStamp(path, fileSystem, stamp, {
    trust,
    evidence,
    algorithms: rulebook.algorithms,
    at: now(),
    renew: options.renew ?? false,
  })
  if (form === 'folder') await addToBagFolder(path, files)
  else
    await writeBagZip(
      path,
      basename(path).replace(/\.zip$/i, ''),
      async (sink) => {
        for (const { path: own, chunks } of held) await sink.put(own, chunks())
        for (const { path: own, content } of files) await sink.put(own, content)
      },
      { replace: true },
    )
  await terminal.print(`Stamped: ${files.map(({ path: own }) => own).join(', ')} added to ${path}\n`)
  return exit.fine
}
