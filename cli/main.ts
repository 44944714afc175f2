#!/usr/bin/env node
/** The program: hands its command line to `run`, and ends with the status that it gives. */
import { openTerminal } from './process-terminal.ts'
import { run } from './run.ts'

const terminal = openTerminal()

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
