/** `archive verify`, `repair-plan`, `fixity`, `mend`, `sweep`, `backup`, `restore` */
import { realpath } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'
import { Kysely } from 'kysely'
import {
  archives,
  concludeSeal,
  formatJson,
  openCandidates,
  renderArchiveAudit,
  renderFixity,
  verifyKept,
} from '../../src/index.ts'
import { copyDeskFile } from '../../src/io/archive/desk-file.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { openRegisterFile } from '../../src/io/archive/register-file.ts'
import { fileSystem } from '../../src/io/files.ts'
import { deliver, isWithin } from '../deliver.ts'
import { startProgress } from '../progress.ts'
import { loadRulebook, type RulebookChoice, rulebookOptionsFor } from '../shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from '../terminal.ts'
import { loadVouching, type VouchingOptions, vouchingOptions } from '../trust.ts'
import { UserError } from '../user-error.ts'
import { type Action, actorOptions, sheetOptions } from './action.ts'
import { lookOf, type SheetChoice } from './look.ts'
import { type ActorOptions, inArchive, outsideOf, readActor } from './place.ts'

async function freshRegister(): Promise<Kysely<archives.Register>> {
  const db = new Kysely<archives.Register>({ dialect: openRegisterFile(':memory:') })
  await archives.migrate(db)
  return db
}

/** Shows how far long work came. */
async function showing<Result>(
  terminal: Terminal,
  what: string,
  work: (progress: (done: number, of: number) => void) => Promise<Result>,
): Promise<Result> {
  const progress = startProgress(terminal)
  try {
    return await work((done, of) => progress.show(done, of, what))
  } finally {
    progress.end()
  }
}

type VerifyOptions = SheetChoice & RulebookChoice & VouchingOptions

/** Goes through the archive, and verifies the seals that it keeps. */
async function verify(folder: string, options: VerifyOptions, terminal: Terminal): Promise<ExitStatus> {
  const look = lookOf(options, terminal)
  const [{ algorithms }, { trust, evidence }] = await Promise.all([loadRulebook(options), loadVouching(options)])
  const { audit, seals } = await inArchive(folder, async (archive) => ({
    audit: await goThrough(archive, folder, terminal),
    seals: await showing(terminal, folder, (progress) =>
      verifyKept(archive, { algorithms, trust, evidence }, progress),
    ),
  }))
  const verdicts = seals.map(({ accession, index, parts }) => {
    const verdict = concludeSeal({ parts })
    const open = verdict === 'pass' ? [] : parts.filter(({ state }) => state !== 'holds').map(({ text }) => text)
    return { accession, index, verdict, open }
  })
  const content = options.json
    ? formatJson({ ...audit, seals: verdicts })
    : renderArchiveAudit(audit, { seals: verdicts, plan: false }, look)
  await deliver(content, options.output, terminal)
  return archives.isWhole(audit) && verdicts.every(({ verdict }) => verdict !== 'fail') ? exit.fine : exit.fails
}

const goThrough = (archive: archives.Archive, folder: string, terminal: Terminal): Promise<archives.ArchiveAudit> =>
  showing(terminal, folder, (progress) => archives.auditArchive(archive, freshRegister, progress))

async function planRepair(folder: string, options: SheetChoice, terminal: Terminal): Promise<ExitStatus> {
  const look = lookOf(options, terminal)
  const audit = await inArchive(folder, (archive) => goThrough(archive, folder, terminal))
  const content = options.json ? formatJson(audit) : renderArchiveAudit(audit, { seals: null, plan: true }, look)
  await deliver(content, options.output, terminal)
  return archives.isWhole(audit) ? exit.fine : exit.fails
}

interface FixityOptions extends ActorOptions, SheetChoice {
  rate?: string
  since?: string
}

async function fixity(folder: string, options: FixityOptions, terminal: Terminal): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const look = lookOf(options, terminal)
  const { rate, since } = options
  if (rate !== undefined && !/^\d{1,6}(\.\d+)?$/.test(rate))
    throw new UserError(`--rate ${rate} is no number of megabytes`, null, 'Give megabytes a second: --rate 20')
  if (since !== undefined && !/^\d{4}-\d{2}-\d{2}$/.test(since))
    throw new UserError(`--since ${since} is no day`, null, 'Write it as YYYY-MM-DD.')
  const result = await inArchive(folder, (archive) =>
    showing(terminal, folder, (progress) =>
      archives.checkFixity(archive, actor, {
        ...(rate === undefined ? {} : { bytesPerSecond: Number(rate) * 1e6 }),
        ...(since === undefined ? {} : { since: `${since}T00:00:00Z` }),
        progress,
      }),
    ),
  )
  await deliver(options.json ? formatJson(result) : renderFixity(result, look), options.output, terminal)
  return result.damaged.length === 0 ? exit.fine : exit.fails
}

async function mend([folder = '', copy = '']: readonly string[], options: ActorOptions, terminal: Terminal) {
  const actor = readActor(options, terminal)
  const { mended, left } = await inArchive(folder, async (archive) =>
    archives.mend(archive, actor, await openCandidates(copy, fileSystem), copy),
  )
  await terminal.print(`Mended from ${copy}: ${mended.length}. Damaged still: ${left.length}.\n`)
  for (const sha256 of left) await terminal.print(`  ${sha256}\n`)
  return left.length === 0 ? exit.fine : exit.fails
}

async function sweep(folder: string, options: ActorOptions, terminal: Terminal): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const gone = await inArchive(folder, (archive) => archives.sweep(archive, actor))
  await terminal.print(`Contents that belonged to nothing and were taken away: ${gone}.\n`)
  return exit.fine
}

/** A copy that lies in the archive, or around it, is lost with it. Throws UserError. */
async function holdApart(folder: string, copy: string): Promise<void> {
  const [from, to] = [await realPlace(resolve(folder)), await realPlace(resolve(copy))]
  if (!isWithin(from, to) && !isWithin(to, from)) return
  throw new UserError(
    `${copy} is no place for a copy of ${folder}: one lies in the other`,
    copy,
    'Name a folder apart from the archive, on another disk if you can.',
  )
}

/** Without links, also where the end of the path does not exist yet. */
const realPlace = (path: string): Promise<string> =>
  realpath(path).catch(async () =>
    dirname(path) === path ? path : join(await realPlace(dirname(path)), basename(path)),
  )

async function backUp([folder = '', copy = '']: readonly string[], options: ActorOptions, terminal: Terminal) {
  const actor = readActor(options, terminal)
  await holdApart(folder, copy)
  const result = await inArchive(folder, (archive) =>
    showing(terminal, copy, (progress) => archives.backUp(archive, actor, archiveFolder(copy), copy, progress)),
  )
  return tellCopy(result, `copied to ${copy}`, await copyDeskFile(folder, copy), terminal)
}

async function restore([copy = '', folder = '']: readonly string[], options: ActorOptions, terminal: Terminal) {
  const actor = readActor(options, terminal)
  const result = await showing(terminal, folder, (progress) =>
    archives.restoreFrom(archiveFolder(copy), outsideOf(folder), actor, copy, progress),
  )
  return tellCopy(result, `restored into ${folder}`, await copyDeskFile(copy, folder), terminal)
}

async function tellCopy(
  { size, copied, bytes, lacking }: archives.BackupResult,
  where: string,
  withDesk: boolean,
  terminal: Terminal,
) {
  await terminal.print(
    `The archive was ${where}. Entries in its log: ${size}; contents copied: ${copied}, ${bytes} bytes.\n`,
  )
  if (withDesk)
    await terminal.print('Of its desk: notes, states, accounts and tokens. Whoever was signed in signs in anew.\n')
  for (const sha256 of lacking) await terminal.print(`  lost or damaged, and not copied: ${sha256}\n`)
  return lacking.length === 0 ? exit.fine : exit.fails
}

export const keepActions: Record<string, Action> = {
  verify: {
    operands: 'ARCHIVE',
    least: 1,
    most: 1,
    summary: 'go through all of it: log, register, every content, every seal',
    options: {
      ...sheetOptions,
      ...vouchingOptions,
      ...rulebookOptionsFor('the algorithms that seals may rest on'),
    },
    run: ([folder = ''], options, terminal) => verify(folder, options, terminal),
  },
  'repair-plan': {
    operands: 'ARCHIVE',
    least: 1,
    most: 1,
    summary: 'the same but the seals, and what can be done about damage; nothing is changed',
    options: sheetOptions,
    run: ([folder = ''], options, terminal) => planRepair(folder, options, terminal),
  },
  fixity: {
    operands: 'ARCHIVE',
    least: 1,
    most: 1,
    summary: 'read every content again, at a bounded rate; run again, it goes on',
    options: {
      ...actorOptions,
      ...sheetOptions,
      rate: { type: 'string', value: 'MB', help: 'At most so many megabytes a second.' },
      since: { type: 'string', value: 'DATE', help: 'Only what was not found sound on that day or later.' },
    },
    run: ([folder = ''], options, terminal) => fixity(folder, options, terminal),
  },
  mend: {
    operands: 'ARCHIVE COPY',
    least: 2,
    most: 2,
    summary: 'put good copies of damaged contents in their place',
    options: actorOptions,
    run: (operands, options, terminal) => mend(operands, options, terminal),
  },
  sweep: {
    operands: 'ARCHIVE',
    least: 1,
    most: 1,
    summary: 'take away contents that belong to nothing; not while packets are added',
    options: actorOptions,
    run: ([folder = ''], options, terminal) => sweep(folder, options, terminal),
  },
  backup: {
    operands: 'ARCHIVE COPY',
    least: 2,
    most: 2,
    summary: 'copy it while it is in use, or bring a copy up to date',
    options: actorOptions,
    run: (operands, options, terminal) => backUp(operands, options, terminal),
  },
  restore: {
    operands: 'COPY ARCHIVE',
    least: 2,
    most: 2,
    summary: 'make an archive from a copy, in an empty folder',
    options: actorOptions,
    run: (operands, options, terminal) => restore(operands, options, terminal),
  },
}
