/** The folder of an archive, opened and closed again. */
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { archives } from '../../src/index.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { openRegisterFile, troubleOf } from '../../src/io/archive/register-file.ts'
import { now } from '../../src/io/clock.ts'
import type { Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'

export function outsideOf(folder: string): archives.ArchiveOutside {
  return {
    storage: archiveFolder(folder),
    register: () => openRegisterFile(join(folder, 'register.sqlite')),
    now,
    pause: (milliseconds) => setTimeout(milliseconds),
    troubleOf,
  }
}

/** Opens the archive in `folder` for as long as `work` lasts. */
export async function inArchive<Result>(
  folder: string,
  work: (archive: archives.Archive) => Promise<Result>,
): Promise<Result> {
  const archive = await archives.openArchive(outsideOf(folder))
  try {
    return await work(archive)
  } finally {
    await archives.closeArchive(archive)
  }
}

export interface ActorOptions {
  by?: string
  why?: string
  authority?: string
}

/** Who acts: `--by`, or WITNESSMARK_BY in the environment. Throws UserError where nobody is named. */
export function readActor({ by, why, authority }: ActorOptions, terminal: Terminal): archives.Actor {
  const name = (by ?? terminal.environment.WITNESSMARK_BY ?? '').trim()
  if (name === '')
    throw new UserError('the custody log needs to know who acts', null, 'Write --by NAME, or set WITNESSMARK_BY.')
  return { by: { name }, ...(why === undefined ? {} : { why }), ...(authority === undefined ? {} : { authority }) }
}

/** The same, of an act that nobody does without a reason and an authority. */
export function readReasons(options: ActorOptions, terminal: Terminal) {
  const { by } = readActor(options, terminal)
  const { why, authority } = options
  if (why === undefined || authority === undefined)
    throw new UserError(
      `this needs ${why === undefined ? 'a reason' : 'an authority'}`,
      null,
      'Write --why TEXT and --authority TEXT: what it is done for, and what allows or orders it.',
    )
  return { by, why, authority }
}
