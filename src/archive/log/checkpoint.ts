/**
 * Checkpoints (C2SP tlog-checkpoint): the text of a signed note that says how long a log is and what it holds:
 *
 *     <origin>
 *     <number of entries, decimal>
 *     <root hash, base64>
 *
 * Lines after these are other people's extensions: signed, kept, and not looked at.
 */
import { hashBytes } from './merkle.ts'
import { decode, NoteError } from './note.ts'

export interface Checkpoint {
  /** Which log: the name of its key. */
  origin: string
  size: number
  /** 32 bytes. */
  root: Uint8Array
}

/** The text of a checkpoint, to be signed. */
export const formatCheckpoint = ({ origin, size, root }: Checkpoint): string =>
  `${origin}\n${size}\n${Buffer.from(root).toString('base64')}\n`

/** Throws NoteError for a text that is no checkpoint. */
export function parseCheckpoint(text: string): Checkpoint {
  const [origin = '', written = '', encoded = '', ...rest] = text.split('\n')
  const size = Number(written)
  const root = decode(encoded)
  const isDecimal = /^(0|[1-9]\d*)$/.test(written) && Number.isSafeInteger(size)
  const areLines = rest.at(-1) === '' && rest.slice(0, -1).every((line) => line !== '')
  if (origin === '' || !isDecimal || root?.length !== hashBytes || !areLines)
    throw new NoteError('This is no checkpoint: it lacks its origin, its size or its root hash')
  return { origin, size, root: new Uint8Array(root) }
}
