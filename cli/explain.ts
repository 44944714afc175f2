/** `witnessmark explain PACKET CHECK` */
import { checks, explainCheck, formatJson, readPacket, renderExplanation } from '../src/index.ts'
import { fileSystem } from '../src/io/files.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth, readDay } from './check.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { unknownCheck } from './rules.ts'
import { loadRulebook, loadVocabulary, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { loadVouching, type VouchingOptions, vouchingOptions } from './trust.ts'

export const explainCommand: CommandDeclaration = {
  name: 'explain',
  summary: 'Explain what one check found in a packet, and what would change it.',
  operands: 'PACKET CHECK',
  least: 2,
  most: 2,
  details: [
    'The facts used with their places, the rule with its values and sources, the steps from the one to the other, and what',
    'would change the verdict: tried out by running the check again without each file and with other values of the rule.',
    '"witnessmark rules" lists the checks.',
  ].join('\n'),
  options: {
    json: { type: 'boolean', help: 'Print JSON, as schemas/explanation.schema.json states it.' },
    'as-of': { type: 'string', value: 'DATE', help: 'The day of review, YYYY-MM-DD. Today when left out.' },
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
    ...vouchingOptions,
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface ExplainOptions extends RulebookChoice, VouchingOptions, PictureOptions {
  json?: boolean
  'as-of'?: string
  vocabulary?: string
  width?: string
  'no-color'?: boolean
}

/** Explains one check over one packet. Ends with 0 whatever the verdict. Throws what `explainError` explains. */
export async function runExplain(
  path: string,
  name: string,
  options: ExplainOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const reviewed = readDay(options['as-of']) ?? terminal.today()
  checkWidth(options.width)
  const check = checks.find(({ id }) => id === name)
  if (check === undefined) throw unknownCheck(name)
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const [rulebook, vocabulary, { trust, evidence }] = await Promise.all([
      loadRulebook(options),
      loadVocabulary(options.vocabulary),
      loadVouching(options),
    ])
    const { algorithms } = rulebook
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const packet = await readPacket(path, outside, { vocabulary, reviewed, algorithms, trust, evidence })
    progress.end()
    const explanation = explainCheck(packet, check, rulebook)
    const look = { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) }
    await terminal.print(options.json ? formatJson(explanation) : renderExplanation(explanation, look))
    return exit.fine
  } finally {
    progress.end()
    await reading.close()
  }
}
