/** `witnessmark compare BEFORE AFTER`, `witnessmark compare NUMBER --archive ARCHIVE` */
import {
  archives,
  compareSubmissions,
  findKept,
  type PacketSource,
  packetAt,
  readSubmission,
  storedPacket,
} from '../src/index.ts'
import { fileSystem } from '../src/io/files.ts'
import { actorOptions } from './archive/action.ts'
import { noteViewed } from './archive/look.ts'
import { type ActorOptions, inArchive, readActor } from './archive/place.ts'
import type { CommandDeclaration } from './arguments.ts'
import { checkWidth, readDay } from './check.ts'
import {
  type ComparisonForm,
  chooseComparisonForm,
  comparisonFormWords,
  renderComparisonForm,
} from './comparison-form.ts'
import { deliver, refuseOutput } from './deliver.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { loadRulebook, loadVocabulary, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { loadVouching, type VouchingOptions, vouchingOptions } from './trust.ts'
import { UserError } from './user-error.ts'

export const compareCommand: CommandDeclaration = {
  name: 'compare',
  summary: 'Tell what changed between two submissions of a packet.',
  operands: '[BEFORE] AFTER',
  least: 1,
  most: 2,
  details: [
    'Each is a folder, a .zip, a sealed packet or a single file. Both are read, and weighed by one rulebook as of one day.',
    'Told are files added, removed, changed and renamed; facts and words that changed, with both places; and findings that',
    'are new, settled, worse or unchanged. Facts that findings rest on come first. A change is not an accusation.',
    '',
    'With --archive each may be the number of a packet that the archive keeps, such as 2026-0002; the look is logged. One',
    'number alone is compared with the packet of the job that it follows.',
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
    archive: { type: 'string', value: 'FOLDER', help: 'Take packets by their numbers from the archive in FOLDER.' },
    ...actorOptions,
    output: { type: 'string', value: 'FILE', help: 'Write the comparison to FILE, whole or not at all.' },
    width: { type: 'string', value: 'N', help: 'Columns of the text, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface CompareOptions extends RulebookChoice, VouchingOptions, PictureOptions, ActorOptions {
  archive?: string
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
  operands: readonly string[],
  options: CompareOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const { archive: folder, output } = options
  const given = { reviewed: readDay(options['as-of']) ?? terminal.today(), form: chooseComparisonForm(options) }
  checkWidth(options.width)
  if (folder !== undefined) {
    if (output !== undefined) await refuseOutput(output, folder)
    return inArchive(folder, async (archive) =>
      compare(await chooseKept(archive, operands, options, terminal), given, options, terminal),
    )
  }
  holdToPaths(operands, options)
  for (const path of operands) if (output !== undefined) await refuseOutput(output, path)
  return compare(
    operands.map((path) => packetAt(fileSystem, path)),
    given,
    options,
    terminal,
  )
}

function holdToPaths(operands: readonly string[], { by, why, authority }: CompareOptions): void {
  if (operands.length < 2)
    throw new UserError(
      '"witnessmark compare" needs BEFORE AFTER',
      null,
      'Write: witnessmark compare BEFORE AFTER, or with --archive FOLDER the number of one packet that it keeps.',
    )
  if ([by, why, authority].some((one) => one !== undefined))
    throw new UserError(
      '--by, --why and --authority go with --archive',
      null,
      'Add --archive FOLDER, or leave them out.',
    )
}

const isNumber = (word: string): boolean => /^\d{4}-\d{4,}$/.test(word)

/** The packets that are meant, of which at least one is kept. That somebody looked at those is logged. */
async function chooseKept(
  archive: archives.Archive,
  operands: readonly string[],
  options: CompareOptions,
  terminal: Terminal,
): Promise<PacketSource[]> {
  const actor = readActor(options, terminal)
  if (!operands.some(isNumber))
    throw new UserError(
      'no packet of the archive is named',
      null,
      'Give the number of one, such as 2026-0002: see "witnessmark archive list". Or leave --archive out.',
    )
  const [only = ''] = operands
  const words = operands.length > 1 ? operands : [await findEarlier(archive, only), only]
  const sources: PacketSource[] = []
  for (const word of words) sources.push(isNumber(word) ? await keptPacket(archive, word) : packetAt(fileSystem, word))
  for (const word of new Set(words)) if (isNumber(word)) await noteViewed(archive, actor, word)
  if (operands.length === 1) terminal.tell(`${words.join(' and then ')}: as the archive has them for this job\n`)
  return sources
}

/** The packet that another follows. */
async function findEarlier({ db }: archives.Archive, accession: string): Promise<string> {
  const chain = await archives.submissionsOf(db, accession)
  const own = chain.find((one) => one.accession === accession)
  if (own === undefined) throw archives.noSuch(accession)
  if (own.follows !== null) return own.follows
  const later = chain.find(({ follows }) => follows === accession)
  throw new UserError(
    `${accession} follows no other packet of its job`,
    null,
    later === undefined
      ? 'Name the packet to compare it with: its number, or its path.'
      : `${later.accession} follows it: witnessmark compare ${later.accession} --archive ARCHIVE`,
  )
}

async function keptPacket(archive: archives.Archive, accession: string): Promise<PacketSource> {
  const kept = await findKept(archive, accession)
  return packetAt(storedPacket(kept, archive.outside.storage.objects), kept.name)
}

async function compare(
  [before, after]: readonly PacketSource[],
  { reviewed, form }: { reviewed: string; form: ComparisonForm },
  options: CompareOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const { trust, evidence } = await loadVouching(options)
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const [rulebook, vocabulary] = await Promise.all([loadRulebook(options), loadVocabulary(options.vocabulary)])
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const read = (source: PacketSource) =>
      readSubmission(source, outside, { vocabulary, reviewed, rulebook, trust, evidence })
    if (before === undefined || after === undefined) throw new RangeError('two packets are compared')
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
