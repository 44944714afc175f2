/** `archive list`, `archive show`, `archive check` */
import { archives, formatJson, renderPacket, renderPackets } from '../../src/index.ts'
import type { OptionDeclaration } from '../arguments.ts'
import { checkWidth } from '../check.ts'
import { deliver } from '../deliver.ts'
import { rulebookOptions } from '../shipped-data.ts'
import { chooseWidth, type ExitStatus, exit, type Options, type Terminal, wantsColor } from '../terminal.ts'
import { UserError } from '../user-error.ts'
import { type Action, actorOptions, sheetOptions } from './action.ts'
import { type ActorOptions, inArchive, readActor } from './place.ts'
import { checkStored, withReviewer } from './receive.ts'

export interface SheetChoice extends Options {
  json?: true
}

/** How text looks on this terminal. */
export const lookOf = (options: SheetChoice, terminal: Terminal) => {
  checkWidth(options.width)
  return { width: chooseWidth(options, terminal), color: wantsColor(options, terminal) }
}

/** Options that say which packets are meant, of those whose files are kept. */
export const keptSearchOptions: Record<string, OptionDeclaration> = {
  vin: { type: 'string', value: 'VIN', help: 'Packets about this vehicle.' },
  plate: { type: 'string', value: 'PLATE', help: 'Packets about a vehicle with this licence plate.' },
  job: { type: 'string', value: 'NUMBER', help: 'Packets of this job.' },
  claim: { type: 'string', value: 'NUMBER', help: 'Packets of this claim.' },
  shop: { type: 'string', value: 'NAME', help: 'Packets of this shop.' },
  technician: { type: 'string', value: 'NAME', help: 'Packets in which this technician is named.' },
  instrument: {
    type: 'string',
    value: 'NAME',
    help: 'Packets with records of this instrument: its name or serial number.',
  },
  software: { type: 'string', value: 'VERSION', help: 'Packets with records made by this version of an instrument.' },
  sensor: {
    type: 'string',
    value: 'SENSOR',
    help: 'Packets with a calibration of this sensor: front-radar, front-camera, …',
  },
  code: { type: 'string', value: 'CODE', help: 'Packets in which this trouble code stands.' },
  verdict: { type: 'string', value: 'VERDICT', help: 'Packets whose last report says pass, warn or fail.' },
  finding: { type: 'string', value: 'CHECK', help: 'Packets that this check fails or warns of.' },
  'received-from': { type: 'string', value: 'DATE', help: 'Received on that day, YYYY-MM-DD, or later.' },
  'received-to': { type: 'string', value: 'DATE', help: 'Received on that day or earlier.' },
  'calibrated-from': {
    type: 'string',
    value: 'DATE',
    help: 'With a calibration on that day or later, as its record states it.',
  },
  'calibrated-to': { type: 'string', value: 'DATE', help: 'With a calibration on that day or earlier.' },
  words: { type: 'string', value: 'WORDS', help: 'Packets in whose name, people, numbers or codes these words stand.' },
}

/** The same where destroyed packets can be meant as well. */
export const searchOptions: Record<string, OptionDeclaration> = {
  ...keptSearchOptions,
  disposed: { type: 'boolean', help: 'Destroyed packets, too: what the archive still knows of them.' },
}

const days = ['received-from', 'received-to', 'calibrated-from', 'calibrated-to'] as const
const verdicts = ['pass', 'warn', 'fail'] as const

/** What is searched for. Throws UserError for what is no day or no verdict. */
export function readSearch(options: Record<string, string | true>): archives.Search {
  for (const name of days) {
    const value = options[name]
    if (value !== undefined && !/^\d{4}-\d{2}-\d{2}$/.test(String(value)))
      throw new UserError(`--${name} ${value} is no day`, null, 'Write it as YYYY-MM-DD.')
  }
  const { verdict } = options
  if (verdict !== undefined && !verdicts.some((one) => one === verdict))
    throw new UserError(`there is no verdict "${verdict}"`, null, `Write one of ${verdicts.join(', ')}.`)
  const named = Object.keys(searchOptions).flatMap((name) => {
    const value = options[name]
    return value === undefined ? [] : [[name.replace(/-(.)/, (_, letter) => letter.toUpperCase()), value] as const]
  })
  return Object.fromEntries(named)
}

async function list(folder: string, options: Record<string, string | true>, terminal: Terminal): Promise<ExitStatus> {
  const search = readSearch(options)
  const look = lookOf(options as SheetChoice, terminal)
  const rows = await inArchive(folder, ({ db }) => collect(db, search))
  await deliver(
    options.json ? formatJson(rows) : renderPackets(rows, look),
    options.output as string | undefined,
    terminal,
  )
  return exit.fine
}

/** Every packet that fits, oldest first. */
export async function collect(db: archives.Archive['db'], search: archives.Search): Promise<archives.PacketRow[]> {
  const rows: archives.PacketRow[] = []
  for (;;) {
    const after = rows.at(-1)?.accession ?? ''
    const page = await archives.searchPackets(db, search, { after })
    rows.push(...page)
    if (page.length < 1000) return rows
  }
}

async function show(
  [folder = '', accession = '']: readonly string[],
  options: SheetChoice & ActorOptions,
  terminal: Terminal,
): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const look = lookOf(options, terminal)
  const shown = await inArchive(folder, async (archive) => {
    const [row] = await archives.searchPackets(archive.db, { accessions: [accession], disposed: true })
    if (row === undefined) throw archives.noSuch(accession)
    await noteViewed(archive, actor, accession)
    const { manifest } = await archive.db
      .selectFrom('packets')
      .select('manifest')
      .where('accession', '=', accession)
      .executeTakeFirstOrThrow()
    return {
      row,
      files: await archives.filesOf(archive.db, manifest),
      seals: await archives.listSeals(archive, accession),
      submissions: await archives.submissionsOf(archive.db, accession),
      acts: await readActs(archive, accession),
    }
  })
  const { row, files, seals, submissions, acts } = shown
  const content = options.json
    ? formatJson({ ...row, contents: files, seals, submissions, custody: acts })
    : renderPacket(shown, look)
  await deliver(content, options.output, terminal)
  return exit.fine
}

/** Logs that somebody looked. */
export const noteViewed = (archive: archives.Archive, actor: archives.Actor, accession: string): Promise<void> =>
  archives.act(archive, actor, async () => ({ entries: [{ act: 'viewed', accession }], result: undefined }))

/** What the log says was done with one packet. */
export const readActs = async (archive: archives.Archive, accession: string): Promise<archives.LoggedEntry[]> =>
  archives.findEntries(archive, await archives.entriesAbout(archive.db, accession))

/** Which packets are meant: those whose numbers are named, or those that fit a search; one of the two. Throws UserError. */
export function readPackets(
  what: string,
  accessions: readonly string[],
  options: Record<string, string | true>,
): (archive: archives.Archive) => Promise<archives.PacketRow[]> {
  const search = readSearch(options)
  const isSearch = Object.keys(search).length > 0
  if ((accessions.length === 0) !== isSearch)
    throw new UserError(
      `${what} needs to know which packets are meant`,
      null,
      'Name their numbers, or search for them: --verdict pass, --received-from 2000-01-01, …; one of the two.',
    )
  return async ({ db }) => {
    const rows = await collect(db, isSearch ? search : { accessions })
    const known = new Set(rows.map(({ accession }) => accession))
    const missing = accessions.find((accession) => !known.has(accession))
    if (missing !== undefined) throw archives.noSuch(missing)
    return rows
  }
}

interface RecheckOptions extends ActorOptions {
  for?: string
  rulebook?: string
  vocabulary?: string
}

/** Checks packets again, and says whose verdict changes. */
async function recheck(
  [folder = '', ...accessions]: readonly string[],
  options: RecheckOptions & Record<string, string | true>,
  terminal: Terminal,
): Promise<ExitStatus> {
  const actor = readActor(options, terminal)
  const choose = readPackets('"archive check"', accessions, options)
  return withReviewer(options, (reviewer) =>
    inArchive(folder, async (archive) => {
      const rows = await choose(archive)
      let changed = 0
      for (const { accession, name, verdict: before } of rows) {
        const verdict = await checkStored(archive, actor, accession, reviewer, terminal)
        const change = before === null || before === verdict ? '' : `, was ${before}`
        if (change !== '') changed++
        await terminal.print(`${accession}  ${name}  ${verdict}${change}\n`)
      }
      await terminal.print(`Checked: ${rows.length}. Verdicts that changed: ${changed}.\n`)
      return exit.fine
    }),
  )
}

export const listAction: Action = {
  operands: 'ARCHIVE',
  least: 1,
  most: 1,
  summary: 'packets that fit what is asked for, and where their evidence stands',
  options: { ...searchOptions, ...sheetOptions },
  run: ([folder = ''], options, terminal) => list(folder, options, terminal),
}

export const showAction: Action = {
  operands: 'ARCHIVE NUMBER',
  least: 2,
  most: 2,
  summary: 'one packet, its files, and what was done with it; the look is logged',
  options: { ...actorOptions, ...sheetOptions },
  run: (operands, options, terminal) => show(operands, options, terminal),
}

export const checkAction: Action = {
  operands: 'ARCHIVE [NUMBER…]',
  least: 1,
  most: 10_000,
  summary: 'check packets again, by a newer rulebook, and say whose verdict changes',
  options: {
    ...actorOptions,
    ...keptSearchOptions,
    ...rulebookOptions,
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
  },
  run: (operands, options, terminal) => recheck(operands, options, terminal),
}
