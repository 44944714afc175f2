/** Opens what a desk works with, for as long as it lasts. */
import { existsSync } from 'node:fs'
import { mkdtemp, readdir, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import manifest from '../../package.json' with { type: 'json' }
import { closeDesk, type Desk, openDesk } from '../../src/desk/index.ts'
import { archives, type Rulebook, receiveTaken, takePacket } from '../../src/index.ts'
import { openRegisterFile } from '../../src/io/archive/register-file.ts'
import { now } from '../../src/io/clock.ts'
import { startDrawing } from '../../src/io/drawing-process.ts'
import { fileSystem } from '../../src/io/files.ts'
import { desks, readReportFonts } from '../../src/io/shipped.ts'
import { outsideOf } from '../archive/place.ts'
import { openReading, type PictureOptions } from '../picture-words.ts'
import { loadRulebook, loadVocabulary } from '../shipped-data.ts'
import type { Terminal } from '../terminal.ts'
import { loadVouching, type VouchingOptions } from '../trust.ts'
import { UserError } from '../user-error.ts'
import { openSealing, type SealingOptions } from './sealing.ts'

/** What is closed at the end, the last first. */
export type Closing = (() => Promise<unknown>)[]

export interface OpenOptions extends PictureOptions, SealingOptions, VouchingOptions {
  examples?: true
  origin?: string
  rulebook?: string
  vocabulary?: string
}

/** The desk over the archive in `folder`, or over a new one of the examples. `name`: who opens it, for the custody log. */
export async function openPlace(
  folder: string | undefined,
  options: OpenOptions,
  name: string,
  terminal: Terminal,
  closing: Closing,
): Promise<Desk> {
  const [sealing, vouching] = [await openSealing(options, terminal), await loadVouching(options)]
  const temporary = folder === undefined ? await mkdtemp(join(tmpdir(), 'witnessmark-desk-')) : null
  const place = folder ?? join(temporary ?? '', 'archive')
  if (temporary !== null) closing.push(() => rm(temporary, { recursive: true, force: true }))
  const archive = await openOrBegin(place, options, name, terminal)
  closing.push(() => archives.closeArchive(archive))
  const rulebooks = await loadRulebooks(options)
  const [reading, drawing] = [openReading(options), startDrawing()]
  closing.push(reading.close, drawing.close)
  const vocabulary = await loadVocabulary(options.vocabulary)
  const outside = {
    read: reading.read,
    draw: drawing.draw,
    fonts: readReportFonts,
    register: () => openRegisterFile(join(place, 'desk.sqlite')),
    now,
    today: () => terminal.today(),
  }
  const desk = await openDesk(outside, {
    archive,
    rulebooks,
    vocabulary,
    program: manifest.version,
    vouching,
    ...(sealing === undefined ? {} : { sealing }),
  })
  closing.push(() => closeDesk(desk))
  if (temporary !== null) await receiveExamples(desk, name)
  return desk
}

async function openOrBegin(place: string, { origin, examples }: OpenOptions, name: string, terminal: Terminal) {
  const outside = outsideOf(place)
  if (existsSync(join(place, 'archive.json'))) return archives.openArchive(outside)
  const standing = await readdir(place).catch(() => [])
  if (standing.length > 0)
    throw new UserError(`${place} holds something, and no archive`, place, 'Name an archive, or an empty folder.')
  const archive = await archives.initArchive(outside, origin ?? 'localhost/desk', { by: { name } })
  if (!examples) terminal.tell(`An archive was begun in ${place}.\n`)
  return archive
}

/** The user's own first, then those that ship. */
async function loadRulebooks(options: OpenOptions): Promise<Map<string, Rulebook>> {
  const own = options.rulebook === undefined ? [] : [await loadRulebook(options)]
  const shipped = await Promise.all(desks.map((desk) => loadRulebook({ for: desk })))
  return new Map([...own, ...shipped].map((rulebook) => [rulebook.name, rulebook]))
}

/** Received before the desk is opened; they are checked while one looks on. */
async function receiveExamples({ archive }: Desk, name: string): Promise<void> {
  const folder = join(import.meta.dirname, '..', '..', 'examples', 'packets')
  const packets = await readdir(folder).catch(() => {
    throw new UserError('the examples are not here', folder, 'Run it in a clone of the repository.')
  })
  for (const packet of packets.sort()) {
    const taken = await takePacket(join(folder, packet), fileSystem, archive.outside.storage.objects)
    await receiveTaken(archive, { by: { name } }, taken, {})
  }
}
