/** `witnessmark compare BEFORE AFTER` */
import { compareSubmissions, packetAt, readSubmission } from '../src/index.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth, readDay } from './check.ts'
import { chooseComparisonForm, comparisonFormWords, renderComparisonForm } from './comparison-form.ts'
import { deliver, refuseOutput } from './deliver.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { loadRulebook, loadVocabulary, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { loadVouching, type VouchingOptions, vouchingOptions } from './trust.ts'

export const compareCommand: CommandDeclaration = {
  name: 'compare',
  summary: 'Tell what changed between two submissions of a packet.',
  operands: 'BEFORE AFTER',
  least: 2,
  most: 2,
  details: [
    'Each is a folder, a .zip, a sealed packet or a single file. Both are read, and weighed by one rulebook as of one day.',
    'Told are files added, removed, changed and renamed; facts and words that changed, with both places; and findings that',
    'are new, settled, worse or unchanged. Facts that findings rest on come first. A change is not an accusation.',
    '',
    'Exit status: 0 when they were compared, whatever changed; 2 when they could not be.',
  ].join('\n'),
  options: {
    format: { type: 'string', value: 'FORM', help: `How to write the comparison: ${comparisonFormWords}.` },
    json: { type: 'boolean', help: 'Short for --format json: as schemas/comparison.schema.json states it.' },
    'as-of': { type: 'string', value: 'DATE', help: 'The day of review of both, YYYY-MM-DD. Today when left out.' },
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
    ...vouchingOptions,
    output: { type: 'string', value: 'FILE', help: 'Write the comparison to FILE, whole or not at all.' },
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface CompareOptions extends RulebookChoice, VouchingOptions, PictureOptions {
  format?: string
  json?: boolean
  'as-of'?: string
  vocabulary?: string
  output?: string
  width?: string
  'no-color'?: boolean
}

/** Compares two packets. Ends with 0 whatever changed. Throws what `explainError` explains. */
export async function runCompare(
  [before = '', after = '']: readonly string[],
  options: CompareOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const reviewed = readDay(options['as-of']) ?? terminal.today()
  checkWidth(options.width)
  const form = chooseComparisonForm(options)
  for (const path of [before, after]) if (options.output !== undefined) await refuseOutput(options.output, path)
  const { trust, evidence } = await loadVouching(options)
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const [rulebook, vocabulary] = await Promise.all([loadRulebook(options), loadVocabulary(options.vocabulary)])
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const read = (path: string) =>
      readSubmission(packetAt(fileSystem, path), outside, { vocabulary, reviewed, rulebook, trust, evidence })
    // One after the other, so that no more is in memory at once than for one packet.
    const comparison = compareSubmissions(await read(before), await read(after))
    progress.end()
    const look = { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) }
    await deliver(renderComparisonForm(form, comparison, look), options.output, terminal)
    return exit.fine
  } finally {
    progress.end()
    await reading.close()
  }
}
