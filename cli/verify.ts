/** `witnessmark verify BAG` */
import { concludeSeal, describeSeal, formatJson, renderSeal, verifyBag } from '../src/index.ts'
import { now } from '../src/io/clock.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth } from './check.ts'
import { deliver, refuseOutput } from './deliver.ts'
import { loadRulebook, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { loadVouching, type VouchingOptions, vouchingOptions } from './trust.ts'

export const verifyCommand: CommandDeclaration = {
  name: 'verify',
  summary: 'Verify a sealed packet: files, signature, signer, revocation, time stamp, renewals.',
  operands: 'BAG',
  least: 1,
  most: 1,
  details: [
    'BAG is a sealed packet, or any BagIt bag (RFC 8493): a folder or a .zip. Each part gets a verdict and a reason of its',
    'own. Nobody is trusted for standing inside the bag: name those whom you trust with --trust. The README.txt in the bag',
    'tells how to verify it without this program.',
    '',
    'Exit status: 0 when nothing is broken, 1 when a part is, 2 when it could not be examined.',
  ].join('\n'),
  options: {
    ...vouchingOptions,
    json: { type: 'boolean', help: 'Write it as schemas/seal.schema.json states it.' },
    ...rulebookOptions,
    output: { type: 'string', value: 'FILE', help: 'Write it to FILE, whole or not at all.' },
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface VerifyOptions extends RulebookChoice, VouchingOptions {
  json?: boolean
  output?: string
  width?: string
  'no-color'?: boolean
}

/** Examines one bag and delivers what was found. Throws what `explainError` explains. */
export async function runVerify(path: string, options: VerifyOptions, terminal: Terminal): Promise<ExitStatus> {
  checkWidth(options.width)
  if (options.output !== undefined) await refuseOutput(options.output, path)
  const [rulebook, { trust, evidence }] = await Promise.all([loadRulebook(options), loadVouching(options)])
  const found = await verifyBag(path, fileSystem, { trust, evidence, algorithms: rulebook.algorithms, at: now() })
  const examined = found.at.toISOString()
  const { examination, name, digest, manifestDigest } = found
  const content = options.json
    ? formatJson(describeSeal(examination, { name, digest, examined, manifestDigest }))
    : renderSeal(
        examination,
        { name, examined },
        { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) },
      )
  await deliver(content, options.output, terminal)
  return concludeSeal(examination) === 'fail' ? exit.fails : exit.fine
}
