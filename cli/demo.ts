/** `npm start`: reviews two invented jobs, one clean and one flawed, seals one, and says what there is to see. */
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, relative } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { startTimeAuthority } from '../examples/time-authority.ts'
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

const sealingSays = [
  'Last, the job in order is sealed, so that anybody can prove later that nothing in it',
  'moved. The signer, and the authority that stamps the time (openssl ts, on this machine',
  'alone), are made for this demonstration; nobody should trust them.',
]
const tamperedSays = ['Then one character of one sealed file is changed.']

/** What a command says, under the line that one would type. Gives its exit status. */
async function show(says: readonly string[], words: readonly string[]): Promise<number> {
  const heading = says.length === 0 ? '' : `\n${'-'.repeat(80)}\n${says.join('\n')}\n`
  await print(`${heading}\n$ witnessmark ${words.join(' ')}\n\n`)
  return run(words, terminal)
}

/** Without OpenSSL there is nobody to stamp the time. */
const hasOpenssl = (): boolean => spawnSync('openssl', ['version']).error === undefined

/** Seals a packet in a folder of its own, which is gone afterwards. */
async function showSealing(packet: string): Promise<void> {
  const [cwd, folder] = [process.cwd(), mkdtempSync(join(tmpdir(), 'witnessmark-'))]
  const authority = hasOpenssl() ? await startTimeAuthority() : null
  process.chdir(folder)
  try {
    cpSync(packet, 'job', { recursive: true })
    writeFileSync('passphrase', 'quillwort overtone gable 71\n', { mode: 0o600 })
    const opening = ['--passphrase-file', 'passphrase']
    const [created, sealing] = [
      ['identity', 'create', 'desk.p12', '--name', 'Desk', ...opening, '--certificate', 'trusted.pem'],
      ['seal', 'job', '--identity', 'desk.p12', ...opening, '--output', 'sealed', '--as-of', reviewed],
    ]
    const stamping = authority === null ? [] : ['--time-stamp', authority.url]
    const verifying = ['verify', 'sealed', '--trust', 'trusted.pem']
    hold(await show(sealingSays, created), 0)
    if (authority === null) await print('\nThere is no openssl on this machine, so that nobody stamps the time.\n')
    else writeFileSync('trusted.pem', readFileSync(authority.root), { flag: 'a' })
    hold(await show([], [...sealing, ...stamping]), 0)
    hold(await show([], verifying), 0)
    const path = 'sealed/data/packet.yaml'
    writeFileSync(path, readFileSync(path, 'latin1').replace('1', '2'), 'latin1')
    hold(await show(tamperedSays, verifying), 1)
  } finally {
    process.chdir(cwd)
    rmSync(folder, { recursive: true, force: true })
    await authority?.close()
  }
}

/** A demonstration that shows something else than it says has failed. */
function hold(status: number, expected: number): void {
  if (status !== expected) process.exitCode = 2
}

await print('witnessmark reviews what a shop saved about one vehicle.\nAll names in these jobs are invented.\n')
const packets = join(root, 'examples', 'packets')
for (const { packet, says } of shows) {
  const path = relative(process.cwd(), join(packets, packet))
  // A packet that fails is what is to be shown; only one that cannot be checked is a failure of the demonstration.
  if ((await show(says, ['check', path, '--as-of', reviewed])) === 2) process.exitCode = 2
}
await showSealing(join(packets, 'bumper-and-radar'))
await print(
  [
    '',
    '-'.repeat(80),
    'Try it on files of your own:   npm run --silent witnessmark -- check PATH',
    'Seal a packet of yours:        npm run --silent witnessmark -- seal --help',
    'What one file says:            npm run --silent witnessmark -- read FILE',
    'The checks, and one of them:   npm run --silent witnessmark -- rules [NAME]',
    '',
  ].join('\n'),
)
