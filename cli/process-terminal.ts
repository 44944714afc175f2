/** This process's own streams, as a command sees them. */
import { today } from '../src/io/clock.ts'
import { HiddenLineError, readHiddenLine } from '../src/io/hidden-line.ts'
import type { Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

/** Whoever reads may stop early (`… | head`). That is no error of ours. */
const isUnread = (error: NodeJS.ErrnoException): boolean =>
  error.code === 'EPIPE' || error.code === 'ERR_STREAM_DESTROYED'

/** Call once. From then on a failed write is told to whoever wrote, and does not end the process by itself. */
export function openTerminal(): Terminal {
  process.stdout.on('error', () => {})
  process.stderr.on('error', () => {})
  return {
    print: (content) =>
      new Promise((resolve, reject) => {
        process.stdout.write(content, (error: NodeJS.ErrnoException | null | undefined) => {
          if (!error || isUnread(error)) resolve()
          else
            reject(
              new UserError(
                `standard output cannot be written (${error.code})`,
                null,
                'Make room, or write elsewhere.',
              ),
            )
        })
      }),
    tell: (text) => void process.stderr.write(text),
    environment: process.env,
    output: { isTerminal: process.stdout.isTTY === true, columns: process.stdout.columns },
    errorsAreShown: process.stderr.isTTY === true,
    today,
    ...(process.stdin.isTTY && process.stderr.isTTY ? { askHidden } : {}),
  }
}

async function askHidden(question: string): Promise<string> {
  try {
    return await readHiddenLine(question, process.stdin, process.stderr)
  } catch (error) {
    if (!(error instanceof HiddenLineError)) throw error
    throw new UserError('stopped before the passphrase was given', null, 'Run the command again when it is at hand.')
  }
}
