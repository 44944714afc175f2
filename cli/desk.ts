/** `witnessmark desk ARCHIVE` */
import { existsSync } from 'node:fs'
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import manifest from '../package.json' with { type: 'json' }
import {
  beginSession,
  buildApp,
  closeDesk,
  type Desk,
  everyRole,
  follow,
  isSame,
  listRoutes,
  makeSecret,
  openDesk,
  openUploads,
  type Person,
  resumeChecks,
  startJobs,
} from '../src/desk/index.ts'
import { archives, type Rulebook, receiveTaken, takePacket } from '../src/index.ts'
import { openRegisterFile } from '../src/io/archive/register-file.ts'
import { now } from '../src/io/clock.ts'
import { startDrawing } from '../src/io/drawing-process.ts'
import { fileSystem } from '../src/io/files.ts'
import { readPageFiles } from '../src/io/page-files.ts'
import { desks } from '../src/io/shipped.ts'
import { actorOptions } from './archive/action.ts'
import { outsideOf, readActor } from './archive/place.ts'
import type { CommandDeclaration } from './arguments.ts'
import { openReading, type PictureOptions, pictureOptions } from './picture-words.ts'
import { loadRulebook, loadVocabulary } from './shipped-data.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

export const deskCommand: CommandDeclaration = {
  name: 'desk',
  summary: 'Look at packets in a browser: what is wrong, and the words on the page that prove it.',
  operands: '[ARCHIVE]',
  least: 0,
  most: 1,
  details: [
    'Opens the archive in the folder ARCHIVE, which is begun where there is none, to a browser on this machine. The link',
    'that is printed lets one browser in, once. With --examples: a new archive of the example packets, which is gone when',
    'the desk ends.',
    '',
    'Whatever is done at the desk stands in the custody log of the archive: what was received, checked and looked at,',
    'and what was decided on a finding. Notes, states and who looks after a packet stand in desk.sqlite beside it.',
  ].join('\n'),
  options: {
    examples: { type: 'boolean', help: 'With the example packets, in an archive that is gone afterwards.' },
    ...(actorOptions.by === undefined ? {} : { by: actorOptions.by }),
    port: { type: 'string', value: 'N', help: 'The port of 127.0.0.1 to listen on; 8571 when left out, 0 for any.' },
    origin: { type: 'string', value: 'NAME', help: 'Names the log of an archive that is begun: archive.example/bay.' },
    rulebook: { type: 'string', value: 'FILE', help: 'Weigh by the rules in FILE (YAML) first; it may extend others.' },
    vocabulary: { type: 'string', value: 'FILE', help: 'Know the words in FILE (YAML) too.' },
    'tls-key': { type: 'string', value: 'FILE', help: 'Speak TLS with the private key in FILE (PEM).' },
    'tls-certificate': { type: 'string', value: 'FILE', help: 'And the certificate chain in FILE (PEM).' },
    ...pictureOptions,
  },
}

interface DeskChoice extends PictureOptions {
  examples?: true
  by?: string
  port?: string
  origin?: string
  rulebook?: string
  vocabulary?: string
  'tls-key'?: string
  'tls-certificate'?: string
}

/** Serves until the process is told to end. `serving`: told the link as soon as it answers. */
export async function runDesk(
  [folder]: readonly string[],
  options: DeskChoice,
  terminal: Terminal,
): Promise<ExitStatus> {
  if ((folder === undefined) === (options.examples === undefined))
    throw new UserError(
      folder === undefined ? 'a desk needs an archive' : '--examples goes without an archive',
      null,
      'Write: witnessmark desk ARCHIVE --by NAME, or witnessmark desk --examples',
    )
  const port = readPort(options.port)
  const tls = await readTls(options)
  const page = await readPageFiles()
  if (page === null)
    throw new UserError('the desk’s page was not built', null, 'Run: npm run build:page (npm start does it too)')
  const { name } = readActor(options.examples ? { by: 'Example Reviewer', ...options } : options, terminal).by
  const person: Person = { name, roles: everyRole, shop: null }
  const temporary = folder === undefined ? await mkdtemp(join(tmpdir(), 'witnessmark-desk-')) : null
  const place = folder ?? join(temporary ?? '', 'archive')
  const closing: (() => Promise<unknown>)[] = []
  if (temporary !== null) closing.push(() => rm(temporary, { recursive: true, force: true }))
  try {
    const archive = await openOrBegin(place, options, name, terminal)
    closing.push(() => archives.closeArchive(archive))
    const rulebooks = await loadRulebooks(options)
    const [reading, drawing] = [openReading(options), startDrawing()]
    closing.push(reading.close, drawing.close)
    const vocabulary = await loadVocabulary(options.vocabulary)
    const outside = {
      read: reading.read,
      draw: drawing.draw,
      register: () => openRegisterFile(join(place, 'desk.sqlite')),
      now,
      today: () => terminal.today(),
    }
    const desk = await openDesk(outside, { archive, rulebooks, vocabulary, program: manifest.version })
    closing.push(() => closeDesk(desk))
    if (temporary !== null) await receiveExamples(desk, name)
    await serve(desk, { person, page, port, ...(tls === null ? {} : { tls }) }, terminal, closing)
    return exit.fine
  } finally {
    for (const close of closing.reverse()) await close()
  }
}

function readPort(text = '8571'): number {
  if (/^\d{1,5}$/.test(text) && Number(text) <= 65_535) return Number(text)
  throw new UserError(`--port ${text} is no port`, null, 'Give a whole number up to 65535; 0 takes any that is free.')
}

async function readTls(options: DeskChoice): Promise<{ key: Uint8Array; cert: Uint8Array } | null> {
  const { 'tls-key': key, 'tls-certificate': certificate } = options
  if (key === undefined && certificate === undefined) return null
  if (key === undefined || certificate === undefined)
    throw new UserError('TLS needs a key and a certificate', null, 'Give both --tls-key and --tls-certificate.')
  const read = (path: string) =>
    readFile(path).catch((error: NodeJS.ErrnoException) => {
      throw new UserError(`${path} cannot be read (${error.code})`, path, 'Name a PEM file that you may read.')
    })
  return { key: await read(key), cert: await read(certificate) }
}

async function openOrBegin(place: string, { origin }: DeskChoice, name: string, terminal: Terminal) {
  const outside = outsideOf(place)
  if (existsSync(join(place, 'archive.json'))) return archives.openArchive(outside)
  const standing = await readdir(place).catch(() => [])
  if (standing.length > 0)
    throw new UserError(`${place} holds something, and no archive`, place, 'Name an archive, or an empty folder.')
  const archive = await archives.initArchive(outside, origin ?? 'localhost/desk', { by: { name } })
  terminal.tell(`An archive was begun in ${place}.\n`)
  return archive
}

/** The user's own first, then those that ship. */
async function loadRulebooks(options: DeskChoice): Promise<Map<string, Rulebook>> {
  const own = options.rulebook === undefined ? [] : [await loadRulebook(options)]
  const shipped = await Promise.all(desks.map((desk) => loadRulebook({ for: desk })))
  return new Map([...own, ...shipped].map((rulebook) => [rulebook.name, rulebook]))
}

/** Received before the desk is opened; they are checked while one looks on. */
async function receiveExamples({ archive }: Desk, name: string): Promise<void> {
  const folder = join(import.meta.dirname, '..', 'examples', 'packets')
  const packets = await readdir(folder).catch(() => {
    throw new UserError('the examples are not here', folder, 'Run it in a clone of the repository.')
  })
  for (const packet of packets.sort()) {
    const taken = await takePacket(join(folder, packet), fileSystem, archive.outside.storage.objects)
    await receiveTaken(archive, { by: { name } }, taken, {})
  }
}

interface Serving {
  person: Person
  page: ReadonlyMap<string, Uint8Array>
  port: number
  tls?: { key: Uint8Array; cert: Uint8Array }
}

async function serve(
  desk: Desk,
  { person, page, port, tls }: Serving,
  terminal: Terminal,
  closing: (() => Promise<unknown>)[],
): Promise<void> {
  const log = (error: unknown) =>
    terminal.tell(
      `witnessmark: a fault of the desk: ${error instanceof Error ? (error.stack ?? error.message) : error}\n`,
    )
  const jobs = startJobs(desk, log)
  let once: string | null = makeSecret()
  const origins: string[] = []
  const app = await buildApp(desk, {
    routes: listRoutes(desk, jobs, openUploads(desk)),
    page,
    origins: () => origins,
    accounts: null,
    async enter(shown) {
      if (once === null || !isSame(shown, once)) return null
      once = null
      return beginSession(desk, person)
    },
    seals: false,
    log,
    ...(tls === undefined ? {} : { tls }),
  })
  await app.listen({ host: '127.0.0.1', port }).catch((error: NodeJS.ErrnoException) => {
    if (error.code !== 'EADDRINUSE' && error.code !== 'EACCES') throw error
    throw new UserError(`port ${port} is not free (${error.code})`, null, 'Give another: --port N, or --port 0.')
  })
  const scheme = tls === undefined ? 'http' : 'https'
  const { port: own } = app.server.address() as AddressInfo
  origins.push(`${scheme}://127.0.0.1:${own}`, `${scheme}://localhost:${own}`)
  closing.push(async () => {
    await app.close()
    await jobs.settled()
  })
  await follow(desk)
  const [rulebook] = desk.rulebooks.values()
  if (rulebook !== undefined) await resumeChecks(desk, jobs, person, rulebook)
  await terminal.print(
    `The desk is open. This link lets one browser in, once:\n  ${origins[0]}/enter?once=${once}\nCtrl-C closes it.\n`,
  )
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve())
  })
}
