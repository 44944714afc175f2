#!/usr/bin/env node
/** The program: hands its command line to `run`, and ends with the status that it gives. */
import { once } from 'node:events'
import { today } from '../src/io/clock.ts'
import { run } from './run.ts'
import type { Terminal } from './terminal.ts'

let unread = false
// Whoever reads may stop early (`… | head`). That is no error of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error
  unread = true
})
process.stderr.on('error', () => {})

const terminal: Terminal = {
  async print(text) {
    if (unread || process.stdout.write(text)) return
    await Promise.race([once(process.stdout, 'drain'), once(process.stdout, 'close')]).catch(() => {})
  },
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
