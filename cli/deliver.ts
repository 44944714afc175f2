/** Puts a result where the user wants it. */
import { lstat, realpath } from 'node:fs/promises'
import { basename, dirname, isAbsolute, join, relative, sep } from 'node:path'
import { writeAtomically } from '../src/io/atomic-write.ts'
import type { Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

/** Prints the content, or writes it to `path`, whole or not at all. */
export async function deliver(
  content: string | Uint8Array,
  path: string | undefined,
  terminal: Terminal,
): Promise<void> {
  if (path === undefined) return terminal.print(content)
  try {
    await writeAtomically(path, content)
  } catch (error) {
    throw unwritable(path, (error as NodeJS.ErrnoException).code ?? String(error))
  }
}

/** Refuses, before the work, an output that cannot be: a report must neither replace evidence nor become part of it. */
export async function refuseOutput(output: string, packet: string): Promise<void> {
  const folder = await realpath(dirname(output)).catch(() => null)
  if (folder === null) throw unwritable(output, 'its folder does not exist')
  const evidence = await realpath(packet).catch(() => null)
  if (evidence === null) return
  const place = join(folder, basename(output))
  if (!isWithin(evidence, place)) return
  throw new UserError(
    place === evidence ? `--output ${output} would replace the packet` : `--output ${output} lies inside the packet`,
    output,
    'Name a file outside the packet, so that the evidence stays as it is.',
  )
}

/** Whether a path is a folder's own or lies in it; both without links. */
export function isWithin(folder: string, path: string): boolean {
  const way = relative(folder, path)
  return !(way === '..' || way.startsWith(`..${sep}`) || isAbsolute(way))
}

/** For an output that cannot be. */
export const unwritable = (path: string, because: string): UserError =>
  new UserError(
    `the report cannot be written to ${path}: ${because}`,
    path,
    'Name a file in a folder that exists and that you may write to.',
  )

/** Refuses, before the work, an output that replaces nothing where something stands, be it a link that leads nowhere. */
export async function refuseExisting(path: string): Promise<void> {
  const isThere = await lstat(path).then(
    () => true,
    () => false,
  )
  if (isThere) throw inTheWay(path)
}

/** For an output that would have to replace something. */
export const inTheWay = (path: string): UserError =>
  new UserError(`${path} exists already, and is not replaced`, path, 'Name one that does not exist.')
