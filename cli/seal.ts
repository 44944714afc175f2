/** `witnessmark seal PACKET --identity FILE --output BAG` */
import manifest from '../package.json' with { type: 'json' }
import { type FilledBag, type Report, receivePacket, reviewIntake, type Storage } from '../src/index.ts'
import { now } from '../src/io/clock.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration, OptionDeclaration } from './arguments.ts'
import { writeBag } from './bag-output.ts'
import { readDay } from './check.ts'
import { refuseExisting, refuseOutput } from './deliver.ts'
import { type KeyOptions, keyOptions, openSigner } from './identity-file.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { renderReport } from './report-form.ts'
import {
  loadRulebook,
  loadVocabulary,
  type RulebookChoice,
  type RulebookFile,
  readRulebookFiles,
  rulebookOptions,
} from './shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { makeStamp, stampOption } from './trust.ts'
import { tellUser, UserError } from './user-error.ts'

/** For every command that seals. */
export const sealerOptions: Record<string, OptionDeclaration> = {
  identity: { type: 'string', value: 'FILE', help: 'Who seals: an identity, as "witnessmark identity" makes it.' },
  'time-stamp': stampOption,
  organization: { type: 'string', value: 'NAME', help: 'Who hands the files over, for bag-info.txt.' },
  ...keyOptions,
}

export interface SealerOptions extends KeyOptions {
  identity?: string
  'time-stamp'?: string
  organization?: string
}

/** Tags of bag-info.txt that say who hands the files over. */
export const tagsOf = ({ organization }: SealerOptions): readonly { label: string; value: string }[] =>
  organization === undefined ? [] : [{ label: 'Source-Organization', value: organization }]

export const sealCommand: CommandDeclaration = {
  name: 'seal',
  summary: 'Seal a packet with its report, so that anybody can prove later that nothing moved.',
  operands: 'PACKET',
  least: 1,
  most: 1,
  details: [
    'Checks PACKET, then writes BAG: a BagIt bag (RFC 8493) with the files as they were received, the report and the rules,',
    'lists of digests, a signature over them (CMS) and, with --time-stamp, an authority’s word on the time (RFC 3161).',
    'BAG is a folder, or one file when its name ends in .zip. It is written whole or not at all, and replaces nothing.',
    'Its README.txt tells how anybody verifies it without this program.',
    '',
    'Exit status: 0 when it is sealed, whatever the verdict; 1 when it is sealed without the time stamp that was asked for;',
    '2 when it could not be sealed.',
  ].join('\n'),
  options: {
    ...sealerOptions,
    output: { type: 'string', value: 'BAG', help: 'The bag to write: a folder, or a file that ends in .zip.' },
    'as-of': { type: 'string', value: 'DATE', help: 'The day of review, YYYY-MM-DD. Today when left out.' },
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
  },
}

export interface SealOptions extends RulebookChoice, SealerOptions, PictureOptions {
  output?: string
  'as-of'?: string
  vocabulary?: string
}

/** Checks and seals one packet. Throws what `explainError` explains. */
export async function runSeal(path: string, options: SealOptions, terminal: Terminal): Promise<ExitStatus> {
  const { identity, output } = options
  if (identity === undefined)
    throw new UserError('"witnessmark seal" needs to know who seals', null, 'Write --identity FILE.')
  if (output === undefined) throw new UserError('"witnessmark seal" needs a bag to write', null, 'Write --output BAG.')
  const reviewed = readDay(options['as-of']) ?? terminal.today()
  await refuseOutput(output, path)
  await refuseExisting(output)
  const [rulebook, vocabulary] = await Promise.all([loadRulebook(options), loadVocabulary(options.vocabulary)])
  const stamp = options['time-stamp'] === undefined ? null : makeStamp(options['time-stamp'], rulebook)
  const signer = await openSigner(identity, options, terminal)
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const { report, sealed } = await writeBag(output, async (sink) => {
      const { intake, finish } = await receivePacket(path, fileSystem, sink)
      const report = await reviewIntake(intake, outside, { vocabulary, reviewed, rulebook })
      progress.end()
      for (const { path: left, reason } of intake.ignored) terminal.tell(`left out: ${left} (${reason})\n`)
      const sealed = await finish({
        attachments: await attach(report, await readRulebookFiles(rulebook, options), {
          name: path,
          storage: fileSystem,
        }),
        tags: tagsOf(options),
        agent: `witnessmark ${manifest.version}`,
        signed: now(),
        signer,
        stamp,
      })
      return { report, sealed }
    })
    await terminal.print(describeSealed(output, report, sealed, stamp !== null))
    if (sealed.unstamped === null) return exit.fine
    const [because, mend] = [sealed.unstamped.message, `Stamp it later: witnessmark stamp ${output} --time-stamp URL`]
    terminal.tell(tellUser(new UserError(`sealed without a time stamp: ${because}`, output, mend)))
    return exit.fails
  } finally {
    progress.end()
    await reading.close()
  }
}

/** The report in three forms, and the rules by which it came about. `name`: the packet's on `storage`. */
export async function attach(
  report: Report,
  rules: readonly RulebookFile[],
  { name: path, storage }: { name: string; storage: Storage },
) {
  const look = { width: 80, color: false }
  const forms = ['json', 'html', 'pdf'] as const
  const reports = await Promise.all(
    forms.map(async (form) => ({
      path: `report/report.${form}`,
      content: toBytes(await renderReport(form, report, path, look, storage)),
    })),
  )
  return [...reports, ...rules.map(({ name, bytes }) => ({ path: `report/rulebook/${name}.yaml`, content: bytes }))]
}

const toBytes = (content: string | Uint8Array): Uint8Array =>
  typeof content === 'string' ? new TextEncoder().encode(content) : content

/** What was sealed, for people; `asked`: whether a time stamp was asked for. */
export function describeSealed(
  output: string,
  report: Report,
  { files, bytes, manifestDigest, fingerprint, unstamped }: FilledBag,
  asked: boolean,
): string {
  return [
    `Sealed: ${output}`,
    `  Files         ${files}, ${bytes} bytes`,
    `  Verdict       ${report.verdict}, as of ${report.reviewed}`,
    `  Tag manifest  SHA-256 ${manifestDigest}`,
    `  Signer        fingerprint (SHA-256) ${fingerprint}`,
    `  Time stamp    ${asked && unstamped === null ? 'seal.tsr' : 'none: the time is the word of the signer alone'}`,
    '',
  ].join('\n')
}
