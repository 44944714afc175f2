/**
 * Runs `seal` over and over until it is killed: `bag-0`, `bag-1`, … in the folder that is named first, each with the rest
 * of the words and the ending that is named second. Says `ready`, then the name of each when it is finished, a line each.
 */
import { join } from 'node:path'
import { run } from '../../cli/run.ts'
import type { Terminal } from '../../cli/terminal.ts'

const [, , folder = '', ending = '', ...words] = process.argv

const terminal: Terminal = {
  print: async () => {},
  tell: (text) => void process.stderr.write(text),
  environment: {},
  output: { isTerminal: false, columns: undefined },
  errorsAreShown: false,
  today: () => '2026-11-25',
}

process.stdout.write('ready\n')
for (let number = 0; ; number++) {
  const status = await run(['seal', ...words, '--output', join(folder, `bag-${number}${ending}`)], terminal)
  if (status !== 0) process.exit(status)
  process.stdout.write(`bag-${number}\n`)
}
