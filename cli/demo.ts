/** `npm start`: reviews two invented jobs, one clean and one flawed, and says what there is to see. */
import { dirname, join, relative } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { openTerminal } from './process-terminal.ts'
import { run } from './run.ts'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
/** After the last date of the example jobs, so that the same reports come out on every day. */
const reviewed = '2026-11-25'

const shows = [
  {
    packet: 'bumper-and-radar',
    says: [
      'First a job in order: a new front bumper, and the radar behind it calibrated on',
      'the road. The report says what was compared, what could not be, and in which',
      'order things happened.',
    ],
  },
  {
    packet: 'windshield-camera',
    says: [
      'Then one that is not: a new windshield, and the camera behind it calibrated on',
      'the road. The last scan was taken before that drive, one record shows a VIN with',
      'an S for a 5, and a calibration is charged that left no record. Each finding',
      'says what, where it stands, by which rule, and what would settle it.',
    ],
  },
]

const terminal = openTerminal()
const { print } = terminal

await print('witnessmark reviews what a shop saved about one vehicle.\nAll names in these two jobs are invented.\n')
for (const { packet, says } of shows) {
  const path = join(root, 'examples', 'packets', packet)
  const shown = relative(process.cwd(), path)
  await print(`\n${'-'.repeat(80)}\n${says.join('\n')}\n\n$ witnessmark check ${shown} --as-of ${reviewed}\n\n`)
  // A packet that fails is what is to be shown; only one that cannot be checked is a failure of the demonstration.
  if ((await run(['check', path, '--as-of', reviewed], terminal)) === 2) process.exitCode = 2
}
await print(
  [
    '',
    '-'.repeat(80),
    'Try it on files of your own:   npm run --silent witnessmark -- check PATH',
    'What one file says:            npm run --silent witnessmark -- read FILE',
    'The checks, and one of them:   npm run --silent witnessmark -- rules [NAME]',
    '',
  ].join('\n'),
)
