/** `archive init`, `archive add` */
import { readdir } from 'node:fs/promises'
import { join } from 'node:path'
import manifest from '../../package.json' with { type: 'json' }
import {
  archives,
  checkKept,
  type Report,
  type Rulebook,
  receiveTaken,
  takePacket,
  type Vocabulary,
} from '../../src/index.ts'
import { fileSystem } from '../../src/io/files.ts'
import type { ReadingPool } from '../../src/io/reading-process.ts'
import { openReading, type PictureOptions, pictureOptions } from '../picture-words.ts'
import { startProgress } from '../progress.ts'
import { loadRulebook, loadVocabulary, rulebookOptions } from '../shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from '../terminal.ts'
import { explainError, UserError } from '../user-error.ts'
import { type Action, actorOptions } from './action.ts'
import { type ActorOptions, inArchive, outsideOf, readActor } from './place.ts'

interface InitOptions extends ActorOptions {
  origin?: string
}

async function init(folder: string, options: InitOptions, terminal: Terminal): Promise<ExitStatus> {
  const { origin } = options
  if (origin === undefined || !/^[a-z0-9.-]+(\/[A-Za-z0-9._-]+)*$/.test(origin))
    throw new UserError(
      origin === undefined ? 'an archive needs a name for its log' : `${origin} cannot name a log`,
      null,
      'Write --origin HOST/NAME, such as archive.example/bay: a host of yours and a name, without spaces.',
    )
  const archive = await archives.initArchive(outsideOf(folder), origin, readActor(options, terminal))
  await archives.closeArchive(archive)
  await terminal.print(
    [
      `An archive was begun in ${folder}.`,
      'Its log is verified by this key; keep it, and give it to whoever is to verify:',
      `  ${archives.formatKey(archive.key)}`,
      `What signs the log is ${join(folder, 'log-key.pem')}: whoever has it can write the log anew. Keep checkpoints elsewhere`,
      '("custody checkpoint"), so that this would be seen.',
      '',
    ].join('\n'),
  )
  return exit.fine
}

interface AddOptions extends ActorOptions, PictureOptions {
  from?: string
  shop?: string
  job?: string
  claim?: string
  follows?: string
  each?: true
  depth?: string
  'no-check'?: true
  'accept-incomplete'?: true
  for?: string
  rulebook?: string
  vocabulary?: string
}

/** Everything that receiving one packet takes. */
interface Receiving {
  archive: archives.Archive
  actor: archives.Actor
  options: AddOptions
  terminal: Terminal
  reviewer: Reviewer | null
}

/** By what packets are checked. */
export interface Reviewer {
  reading: ReadingPool
  rulebook: Rulebook
  vocabulary: Vocabulary
}

/** Starts what checking takes, for as long as `work` lasts. */
export async function withReviewer<Result>(
  options: PictureOptions & { for?: string; rulebook?: string; vocabulary?: string },
  work: (reviewer: Reviewer) => Promise<Result>,
): Promise<Result> {
  const reading = openReading(options)
  try {
    const [rulebook, vocabulary] = await Promise.all([loadRulebook(options), loadVocabulary(options.vocabulary)])
    return await work({ reading, rulebook, vocabulary })
  } finally {
    await reading.close()
  }
}

async function add(
  [folder = '', ...paths]: readonly string[],
  options: AddOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const depth = readDepth(options.depth)
  const found = options.each ? await Promise.all(paths.map((path) => findPackets(path, depth))) : [paths]
  const packets = found.flat()
  const one = ['job', 'claim', 'follows'] as const
  const misused = one.find((name) => packets.length > 1 && options[name] !== undefined)
  if (misused !== undefined)
    throw new UserError(
      `--${misused} is of one packet, and there are ${packets.length}`,
      null,
      'Add that packet alone.',
    )
  const receive = (reviewer: Reviewer | null) =>
    inArchive(folder, async (archive) => {
      let failed = 0
      for (const path of packets)
        if (!(await addOne(path, { archive, actor, options, terminal, reviewer }, packets.length > 1))) failed++
      return failed
    })
  const failed = options['no-check'] ? await receive(null) : await withReviewer(options, receive)
  return failed > 0 ? exit.notRun : exit.fine
}

/** Every folder and zip that lies so many folders deep. */
async function findPackets(folder: string, depth: number): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((error: NodeJS.ErrnoException) => {
    throw new UserError(`${folder} cannot be listed (${error.code})`, folder, 'Name a folder that holds packets.')
  })
  const found: string[] = []
  for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const path = join(folder, entry.name)
    const isFolder = entry.isDirectory() && !entry.name.startsWith('.')
    if (isFolder && depth > 1) found.push(...(await findPackets(path, depth - 1)))
    else if (isFolder || (entry.isFile() && /\.zip$/i.test(entry.name))) found.push(path)
  }
  return found
}

function readDepth(text = '1'): number {
  if (/^[1-9]$/.test(text)) return Number(text)
  throw new UserError(`--depth ${text} is no number of folders`, null, 'Give a whole number from 1 to 9.')
}

/** Whether it was received. Of many, a packet that cannot be is told, and the rest goes on. */
async function addOne(path: string, receiving: Receiving, isOneOfMany: boolean): Promise<boolean> {
  try {
    await receiveOne(path, receiving)
    return true
  } catch (error) {
    const explained = isOneOfMany ? explainError(error) : null
    if (explained === null) throw error
    receiving.terminal.tell(`${path}:\n${explained}`)
    return false
  }
}

async function receiveOne(path: string, { archive, actor, options, terminal, reviewer }: Receiving): Promise<void> {
  const taken = await takePacket(path, fileSystem, archive.outside.storage.objects)
  const { packet } = taken
  if (packet.notKept > 0 && !options['accept-incomplete']) {
    const named = packet.left.map(({ path: own, reason }) => `${own}: ${reason}`)
    throw new UserError(
      [`${packet.notKept} of what stands in ${path} cannot be kept:`, ...named].join('\n'),
      path,
      'Mend it, or add the packet with --accept-incomplete: the archive then notes what is lacking.',
    )
  }
  const receipt = pick(options, ['from', 'follows', 'shop', 'job', 'claim'])
  const received = await receiveTaken(archive, actor, taken, receipt)
  const follows = received.follows === null ? '' : `, follows ${received.follows}`
  const said = received.again ? 'is here already' : `received, files: ${packet.files.length}${follows}`
  await terminal.print(`${received.accession}  ${packet.name}  ${said}\n`)
  if (reviewer === null) return
  if (received.again && (await wasChecked(archive, received.accession, reviewer.rulebook))) return
  const verdict = await checkStored(archive, actor, received.accession, reviewer, terminal)
  await terminal.print(`${received.accession}  ${packet.name}  checked: ${verdict}\n`)
}

function pick<Name extends string>(
  from: { [Key in Name]?: string | undefined },
  names: readonly Name[],
): { [Key in Name]?: string } {
  const given: { [Key in Name]?: string } = {}
  for (const name of names) {
    const value = from[name]
    if (value !== undefined) given[name] = value
  }
  return given
}

/** A run that was ended between receipt and check goes on with the check. */
async function wasChecked({ db }: archives.Archive, accession: string, { sha256 }: Rulebook): Promise<boolean> {
  const found = await db
    .selectFrom('reports')
    .select('idx')
    .where('accession', '=', accession)
    .where('rulebook_sha256', '=', sha256)
    .executeTakeFirst()
  return found !== undefined
}

/** Checks a packet that the archive keeps, keeps the report, and logs that it was checked. */
export async function checkStored(
  archive: archives.Archive,
  actor: archives.Actor,
  accession: string,
  { reading, rulebook, vocabulary }: Reviewer,
  terminal: Terminal,
): Promise<Report['verdict']> {
  const progress = startProgress(terminal)
  const [reviewed, program] = [terminal.today(), manifest.version]
  const review = { read: reading.read, progress: progress.show, vocabulary, rulebook, reviewed, program }
  try {
    return (await checkKept(archive, actor, accession, review)).verdict
  } finally {
    progress.end()
  }
}

const addOptions = {
  from: { type: 'string', value: 'NAME', help: 'Who handed the packet over.' },
  shop: { type: 'string', value: 'NAME', help: 'Whose work it is, where packet.yaml does not say.' },
  job: { type: 'string', value: 'NUMBER', help: 'The job; a later packet of the same job follows the earlier one.' },
  claim: { type: 'string', value: 'NUMBER', help: 'The claim.' },
  follows: { type: 'string', value: 'NUMBER', help: 'The earlier packet that this one continues or replaces.' },
  each: { type: 'boolean', help: 'Every PACKET is a folder of packets: add each folder and zip in it.' },
  depth: { type: 'string', value: 'N', help: 'With --each: packets lie N folders deep; 1 when left out.' },
  'no-check': { type: 'boolean', help: 'Receive it without checking it.' },
  'accept-incomplete': { type: 'boolean', help: 'Receive it even if some of it cannot be kept, and note what.' },
} as const

export const initAction: Action = {
  operands: 'ARCHIVE --origin HOST/NAME',
  least: 1,
  most: 1,
  summary: 'begin one, in a folder of its own',
  options: {
    ...actorOptions,
    origin: { type: 'string', value: 'NAME', help: 'Names the log: a host of yours and a name, archive.example/bay.' },
  },
  run: ([folder = ''], options, terminal) => init(folder, options as InitOptions, terminal),
}

export const addAction: Action = {
  operands: 'ARCHIVE PACKET…',
  least: 2,
  most: 10_000,
  summary: 'receive and check packets; run again, it goes on',
  options: {
    ...actorOptions,
    ...addOptions,
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    ...pictureOptions,
  },
  run: (operands, options, terminal) => add(operands, options as AddOptions, terminal),
}
