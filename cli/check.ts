/** `witnessmark check PACKET` */
import {
  archives,
  checkPacket,
  type Outside,
  type Report,
  type ReviewOptions,
  type Rulebook,
  type Signer,
  signPdf,
} from '../src/index.ts'
import { now } from '../src/io/clock.ts'
import { fileSystem } from '../src/io/files.ts'
import { inArchive } from './archive/place.ts'
import type { CommandDeclaration } from './arguments.ts'
import { deliver, refuseOutput } from './deliver.ts'
import { type KeyOptions, keyOptions, openSigner } from './identity-file.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { startProgress } from './progress.ts'
import { chooseForm, formWords, type ReportForm, renderReport } from './report-form.ts'
import { loadRulebook, loadVocabulary, type RulebookChoice, rulebookOptions } from './shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Terminal, wantsColor } from './terminal.ts'
import { loadVouching, makeStamp, stampOption, type VouchingOptions, vouchingOptions } from './trust.ts'
import { UserError } from './user-error.ts'

export const checkCommand: CommandDeclaration = {
  name: 'check',
  summary: 'Check the files of one job: do they agree, and is everything there?',
  operands: 'PACKET',
  least: 1,
  most: 1,
  details: [
    'PACKET is a folder, a .zip, a sealed packet or a single file: what the shop saved about one vehicle. A packet.yaml in',
    'it may declare what no file says.',
    '',
    'The forms of the report: text for a terminal; json and csv for programs and spreadsheets; html and pdf, with',
    'pictures of the pages that findings rest on, for people. Without --format the ending of --output decides.',
    '',
    'With --archive the packet is compared with those that an archive keeps: files, reports, pictures and drives that stand',
    "in another vehicle's packet, and technicians and instruments that are in two places at once.",
    '',
    'With --sign the PDF carries a signature (PAdES baseline B-B; with --time-stamp B-T).',
    '',
    'Exit status: 0 when the verdict is pass or warn, 1 when it is fail, 2 when the check could not run.',
  ].join('\n'),
  options: {
    format: { type: 'string', value: 'FORM', help: `How to write the report: ${formWords}.` },
    json: { type: 'boolean', help: 'Short for --format json: as schemas/report.schema.json states it.' },
    'as-of': { type: 'string', value: 'DATE', help: 'The day of review, YYYY-MM-DD. Today when left out.' },
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
    ...vouchingOptions,
    archive: {
      type: 'string',
      value: 'FOLDER',
      help: 'Ask the archive in FOLDER what it has seen before; nothing is added to it.',
    },
    sign: { type: 'string', value: 'FILE', help: 'Sign the PDF with the identity in FILE.' },
    'time-stamp': stampOption,
    ...keyOptions,
    output: { type: 'string', value: 'FILE', help: 'Write the report to FILE, whole or not at all.' },
    width: { type: 'string', value: 'N', help: 'Columns of the text report, 40 to 400.' },
    'no-color': { type: 'boolean', help: 'Print without colour. NO_COLOR in the environment does the same.' },
  },
}

export interface CheckOptions extends RulebookChoice, KeyOptions, VouchingOptions, PictureOptions {
  sign?: string
  'time-stamp'?: string
  format?: string
  json?: boolean
  'as-of'?: string
  vocabulary?: string
  archive?: string
  output?: string
  width?: string
  'no-color'?: boolean
}

/** Checks one packet and delivers the report. Throws what `explainError` explains. */
export async function runCheck(path: string, options: CheckOptions, terminal: Terminal): Promise<ExitStatus> {
  const reviewed = readDay(options['as-of']) ?? terminal.today()
  checkWidth(options.width)
  const form = chooseForm(options, terminal)
  holdSigning(form, options)
  if (options.output !== undefined) await refuseOutput(options.output, path)
  const { trust, evidence } = await loadVouching(options)
  const signer = options.sign === undefined ? null : await openSigner(options.sign, options, terminal)
  // First, so that the reading process gets ready while this one reads the vocabulary.
  const reading = openReading(options)
  const progress = startProgress(terminal)
  try {
    const [rulebook, vocabulary] = await Promise.all([loadRulebook(options), loadVocabulary(options.vocabulary)])
    const outside = { storage: fileSystem, read: reading.read, progress: progress.show }
    const report = await check(path, outside, { vocabulary, reviewed, rulebook, trust, evidence }, options.archive)
    progress.end()
    const look = { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) }
    const content = await renderReport(form, report, path, look)
    const signed = signer === null ? content : await signReport(content, signer, rulebook, options)
    await deliver(signed, options.output, terminal)
    return report.verdict === 'fail' ? exit.fails : exit.fine
  } finally {
    progress.end()
    await reading.close()
  }
}

const check = (path: string, outside: Outside, options: ReviewOptions, archive: string | undefined): Promise<Report> =>
  archive === undefined
    ? checkPacket(path, outside, options)
    : inArchive(archive, (open) => checkPacket(path, { ...outside, archive: archives.askArchive(open) }, options))

function holdSigning(form: ReportForm, { sign, key, 'passphrase-file': passphrase, ...options }: CheckOptions): void {
  const stamp = options['time-stamp']
  if (sign !== undefined && form !== 'pdf')
    throw new UserError(
      `a report in the form ${form} is not signed`,
      null,
      'Add --format pdf, or seal the packet, which seals its report in every form: witnessmark seal.',
    )
  if (sign === undefined && [key, passphrase, stamp].some((one) => one !== undefined))
    throw new UserError(
      '--key, --passphrase-file and --time-stamp go with --sign',
      null,
      'Add --sign FILE, or leave them out.',
    )
}

async function signReport(
  content: string | Uint8Array,
  signer: Signer,
  rulebook: Rulebook,
  options: CheckOptions,
): Promise<Uint8Array> {
  const url = options['time-stamp']
  const stamp = url === undefined ? {} : { stamp: makeStamp(url, rulebook) }
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content
  return signPdf(bytes, { signer, time: now(), reason: 'This is the report as it was made', ...stamp })
}

/** The day of review; undefined when none is given. Throws UserError for what is no day. */
export function readDay(text: string | undefined): string | undefined {
  if (text === undefined || isDay(text)) return text
  throw new UserError(`--as-of ${text} is no day of the calendar`, null, 'Write it as YYYY-MM-DD: --as-of 2026-03-15')
}

/** Day 0 of the next month is the last day of this one. */
function isDay(text: string): boolean {
  const [, year, month, day] = (/^(\d{4})-(\d{2})-(\d{2})$/.exec(text) ?? []).map(Number)
  if (year === undefined || month === undefined || day === undefined || month < 1 || month > 12) return false
  return year >= 1000 && day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate()
}

export function checkWidth(text: string | undefined): void {
  if (text === undefined || (/^\d{2,3}$/.test(text) && Number(text) >= 40 && Number(text) <= 400)) return
  throw new UserError(`--width ${text} is no number of columns`, null, 'Give a whole number from 40 to 400.')
}
