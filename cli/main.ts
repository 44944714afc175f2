#!/usr/bin/env node
/** The program: hands its command line to `run`, and ends with the status that it gives. */
import { enableCompileCache } from 'node:module'
import { join } from 'node:path'
import { setFlagsFromString } from 'node:v8'

// Young objects are cleared away while they are few: sealing took 149 MiB for 225, and no longer.
setFlagsFromString('--semi-space-growth-factor=1')
// Run from its source, the program has the types taken out once and not at every start. What is kept lies here and not
// among the temporary files of all users, where anybody could lay down code for others to run.
if (import.meta.filename.endsWith('.ts'))
  enableCompileCache(join(import.meta.dirname, '..', 'node_modules', '.cache', 'compiled'))

const { openTerminal } = await import('./process-terminal.ts')
const { run } = await import('./run.ts')

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
