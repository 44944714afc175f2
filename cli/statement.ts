/** `witnessmark statement BAG` */
import manifest from '../package.json' with { type: 'json' }
import {
  drawUpStatement,
  renderStatement,
  renderStatementPdf,
  type Verification,
  verifyBag,
  verifyingCommands,
} from '../src/index.ts'
import { now } from '../src/io/clock.ts'
import { fileSystem } from '../src/io/files.ts'
import { readReportFonts } from '../src/io/shipped.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth } from './check.ts'
import { deliver, refuseOutput } from './deliver.ts'
import { loadRulebook, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { loadVouching, type VouchingOptions, vouchingOptions } from './trust.ts'
import { tellUser, UserError } from './user-error.ts'

export const statementCommand: CommandDeclaration = {
  name: 'statement',
  summary: 'Draw up a certification of a sealed packet for a court, for a person to complete and sign.',
  operands: 'BAG',
  least: 1,
  most: 1,
  details: [
    'Verifies BAG and writes a form after the kind that Federal Rules of Evidence 902(11), (13), (14) and 28 U.S.C. 1746',
    'expect: every file with its digests, how it was examined, what was found, and what it does not show. It is not legal',
    'advice: have counsel look at it, and let local law rule. Nothing is drawn up for a bag that does not verify.',
    '',
    'Exit status: 0 when it was drawn up, 1 when a part of the seal is broken, 2 when the bag could not be examined.',
  ].join('\n'),
  options: {
    ...vouchingOptions,
    format: { type: 'string', value: 'FORM', help: 'text or pdf. Without it the ending of --output decides.' },
    ...rulebookOptions,
    output: { type: 'string', value: 'FILE', help: 'Write it to FILE, whole or not at all.' },
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
  },
}

export interface StatementOptions extends RulebookChoice, VouchingOptions {
  format?: string
  output?: string
  width?: string
}

/** Draws up one statement. Throws what `explainError` explains. */
export async function runStatement(path: string, options: StatementOptions, terminal: Terminal): Promise<ExitStatus> {
  checkWidth(options.width)
  const isPdf = choosePdf(options, terminal)
  if (options.output !== undefined) await refuseOutput(options.output, path)
  const [rulebook, { trust, evidence }] = await Promise.all([loadRulebook(options), loadVouching(options)])
  const found = await verifyBag(path, fileSystem, { trust, evidence, algorithms: rulebook.algorithms, at: now() })
  const broken = found.examination.parts.filter(({ state }) => state === 'broken')
  if (broken.length > 0 || found.examination.form !== 'sealed') {
    const because = broken.map(({ text }) => text).join('; ') || 'it is not sealed'
    terminal.tell(tellUser(new UserError(`nobody may certify ${path}: ${because}`, path, 'Find a copy that verifies.')))
    return exit.fails
  }
  const statement = drawUpStatement(describeSource(found))
  const day = found.at.toISOString().slice(0, 10)
  const subject = `${found.name}, SHA-256 of the tag manifest ${found.manifestDigest}`
  const content = isPdf
    ? await renderStatementPdf(statement, { fonts: await readReportFonts(), day, subject })
    : renderStatement(statement, { width: Number(options.width ?? 80), color: false })
  await deliver(content, options.output, terminal)
  return exit.fine
}

function choosePdf({ format, output }: StatementOptions, terminal: Terminal): boolean {
  if (format !== undefined && format !== 'text' && format !== 'pdf')
    throw new UserError(`there is no form ${format} of a statement`, null, 'Forms are text, pdf.')
  const isPdf = format === 'pdf' || (format === undefined && /\.pdf$/i.test(output ?? ''))
  if (isPdf && output === undefined && terminal.output.isTerminal)
    throw new UserError('a PDF is nothing for a terminal', null, 'Name a file: --output statement.pdf')
  return isPdf
}

function describeSource({ name, files, manifestDigest, info, examination, at }: Verification) {
  const examiner = `witnessmark ${manifest.version} on Node.js ${process.versions.node} with OpenSSL ${process.versions.openssl}`
  const maker = info.get('Bag-Software-Agent')
  return {
    bag: name,
    files,
    manifestDigest: manifestDigest ?? '',
    baggedOn: info.get('Bagging-Date') ?? null,
    tools: [...(maker === undefined ? [] : [`${maker} (made the bag)`]), examiner],
    examination,
    examined: at.toISOString(),
    commands: verifyingCommands(examination.claimedTime ?? at.toISOString()),
  }
}
