/** `npm start`: reviews two invented jobs, one clean and one flawed, and says what there is to see. */
import { existsSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { run } from './run.ts'
import type { Terminal } from './terminal.ts'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
/** After the last date of the example jobs, so that the same reports come out on every day. */
const reviewed = '2026-11-25'

const shows = [
  {
    packet: 'bumper-and-radar',
    says: [
      'First a clean job: a new front bumper cover, a front radar calibrated on the road. The records agree, and everything',
      'that the work calls for is there.',
    ],
  },
  {
    packet: 'windshield-camera',
    says: [
      'Then a flawed one: a new windshield and its camera. Each record looks fine by itself; laid side by side they do not',
      'agree. Each finding says what, where it stands, by which rule, and what would settle it.',
    ],
  },
]

const print = (text: string) => void process.stdout.write(text)

const terminal: Terminal = {
  print: async (text) => print(text),
  tell: (text) => void process.stderr.write(text),
  environment: process.env,
  output: { isTerminal: process.stdout.isTTY === true, columns: process.stdout.columns },
  errorsAreShown: process.stderr.isTTY === true,
  today: () => reviewed,
}

print('witnessmark reviews what a shop saved about one vehicle. All names in these two jobs are invented.\n')
for (const { packet, says } of shows) {
  const path = join(root, 'examples', 'packets', packet)
  const shown = relative(process.cwd(), path)
  print(`\n${'-'.repeat(80)}\n${says.join('\n')}\n\n$ witnessmark check ${shown} --as-of ${reviewed}\n\n`)
  if (!existsSync(path)) print(`${shown} is not in this copy of the project, so there is nothing to show of it.\n`)
  // A packet that fails is what is to be shown; only one that cannot be checked is a failure of the demonstration.
  else if ((await run(['check', path, '--as-of', reviewed], terminal)) === 2) process.exitCode = 2
}
print(
  [
    '',
    '-'.repeat(80),
    'Try it on files of your own:   npm run --silent witnessmark -- check PATH',
    'What one file says:            npm run --silent witnessmark -- read FILE',
    'The checks, and one of them:   npm run --silent witnessmark -- rules [NAME]',
    '',
  ].join('\n'),
)
