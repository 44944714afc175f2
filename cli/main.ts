#!/usr/bin/env node
/** The program: hands its command line to `run`, and ends with the status that it gives. */
import { today } from '../src/io/clock.ts'
import { run } from './run.ts'
import type { Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

// Failed writes are told to whoever wrote; without a listener they would end the process first.
process.stdout.on('error', () => {})
process.stderr.on('error', () => {})

/** Whoever reads may stop early (`… | head`). That is no error of ours. */
const isUnread = (error: NodeJS.ErrnoException): boolean =>
  error.code === 'EPIPE' || error.code === 'ERR_STREAM_DESTROYED'

const terminal: Terminal = {
  print: (text) =>
    new Promise((resolve, reject) => {
      process.stdout.write(text, (error: NodeJS.ErrnoException | null | undefined) => {
        if (!error || isUnread(error)) resolve()
        else
          reject(
            new UserError(`standard output cannot be written (${error.code})`, null, 'Make room, or write elsewhere.'),
          )
      })
    }),
  tell: (text) => void process.stderr.write(text),
  environment: process.env,
  output: { isTerminal: process.stdout.isTTY === true, columns: process.stdout.columns },
  errorsAreShown: process.stderr.isTTY === true,
  today,
}

try {
  process.exitCode = await run(process.argv.slice(2), terminal)
} catch (error) {
  process.exitCode = 2
  terminal.tell(
    [
      `witnessmark: a fault of the program, not of the packet: ${error instanceof Error ? error.message : String(error)}`,
      error instanceof Error ? (error.stack ?? '') : '',
      '  to mend it: report it with these lines; the packet was not judged.',
      '',
    ].join('\n'),
  )
}
