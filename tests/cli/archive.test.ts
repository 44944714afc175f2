/** An archive and its custody log, as their keepers use them: each command as a process of its own. */
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const scratch = mkdtempSync(join(tmpdir(), 'archive-cli-'))
const at = (...steps: string[]) => join(scratch, ...steps)
const run = (...words: string[]) =>
  runProgram(words, { cwd: scratch, environment: { WITNESSMARK_BY: 'Ada Quill', XDG_CACHE_HOME: at('cache') } })
const reasons = ['--why', 'Letter before claim', '--authority', 'General counsel']

let key = ''

// Each test starts several processes.
vi.setConfig({ testTimeout: 60_000 })

beforeAll(async () => {
  const made = await run('archive', 'init', 'kept', '--origin', 'archive.example/bay')
  expect(made).toMatchObject({ status: 0, stderr: '' })
  key = /archive\.example\/bay\+\S+/.exec(made.stdout)?.[0] ?? ''
  mkdirSync(at('inbox'))
  writeFileSync(at('a-file'), 'Not an archive.')
  mkdirSync(at('turned', 'archive.json'), { recursive: true })
  mkdirSync(at('others', 'letters'), { recursive: true })
  writeFileSync(at('others', 'notes.txt'), 'Not of an archive.')
  for (const name of ['quick-drive', 'bumper-and-radar'])
    cpSync(join(root, 'examples', 'packets', name), at('inbox', name), { recursive: true })
  const added = await run('archive', 'add', 'kept', 'inbox', '--each', '--from', 'Mossgate front desk')
  expect(added).toMatchObject({ status: 0, stderr: '' })
  expect(added.stdout.split('\n').filter((line) => /checked: (pass|warn|fail)$/.test(line))).toHaveLength(2)
}, 120_000)
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

const objects = () =>
  readdirSync(at('kept', 'objects'), { recursive: true })
    .map(String)
    .filter((path) => /[0-9a-f]{64}$/.test(path))

describe('an archive', () => {
  test('finds what an instrument calibrated between two days, and where its evidence stands', async () => {
    const search = ['--instrument', 'rf-43306', '--calibrated-from', '2026-06-01', '--calibrated-to', '2026-06-30']
    const found = await run('archive', 'list', 'kept', ...search)
    expect(found.status).toBe(0)
    expect(found.stdout).toMatch(/^\d{4}-0001 \w+ bumper-and-radar/m)
    expect(found.stdout).toContain('VIN 7XMTD4FE4PA207483')
    expect(found.stdout).toContain('1 packet.')
    const none = await run('archive', 'list', 'kept', '--instrument', 'rf-43306', '--calibrated-from', '2026-07-01')
    expect(none.stdout).toContain('No packet fits.')
    const rows = JSON.parse((await run('archive', 'list', 'kept', '--json')).stdout) as { name: string; job: string }[]
    expect(rows.map(({ name, job }) => [name, job])).toEqual([
      ['bumper-and-radar', 'RO 26-1183'],
      ['quick-drive', 'RO 26-1266'],
    ])
  })

  test('receives nothing twice, and goes on where it was ended', async () => {
    const before = objects().length
    const again = await run('archive', 'add', 'kept', 'inbox', '--each')
    expect(again.stdout.match(/is here already/g)).toHaveLength(2)
    expect(again.stdout).not.toContain('checked:')
    expect(objects()).toHaveLength(before)
  })

  test('shows a packet, and logs that somebody looked', async () => {
    const [number] = numbers(await run('archive', 'list', 'kept', '--job', 'ro26-1266'))
    const shown = await run('archive', 'show', 'kept', number ?? '')
    expect(shown.status).toBe(0)
    expect(shown.stdout).toMatch(/received \d{4}-\d{4} from Mossgate front desk:\s+quick-drive, 8 files/)
    expect(shown.stdout).toMatch(/looked at \d{4}-\d{4}, by\s+Ada Quill/)
    expect(await run('archive', 'show', 'kept', '1999-0001')).toMatchObject({ status: 2 })
  })

  test('holds, tells holds, and releases with a reason', async () => {
    const placed = await run('archive', 'hold', 'kept', '--job', 'RO 26-1266', '--matter', 'Ortega', ...reasons)
    expect(placed.stdout).toContain('H-0001 is in force. Packets that it holds now: 1')
    expect((await run('archive', 'holds', 'kept')).stdout).toContain('Authority: General counsel')
    expect((await run('archive', 'release', 'kept', 'H-0001')).stderr).toContain('this needs a reason')
    expect(await run('archive', 'release', 'kept', 'H-0001', ...reasons)).toMatchObject({ status: 0 })
    expect((await run('archive', 'holds', 'kept')).stdout).toBe('No hold is in force.\n')
  })

  test('is checked again by another rulebook, which names whose verdict changes', async () => {
    const again = await run('archive', 'check', 'kept', '--shop', 'Mossgate Collision Center', '--for', 'hold')
    expect(again.stdout).toMatch(/Checked: 2\. Verdicts that changed: \d\./)
  })

  test('is backed up, damaged, mended and restored', async () => {
    expect(await run('archive', 'backup', 'kept', 'copy')).toMatchObject({ status: 0 })
    const [victim = ''] = objects()
    rmSync(at('kept', 'objects', victim))
    const found = await run('archive', 'verify', 'kept')
    expect(found.status).toBe(1)
    expect(found.stdout).toContain('FAIL')
    expect((await run('archive', 'repair-plan', 'kept')).stdout).toContain('Mend the damaged contents from a copy')
    expect(await run('archive', 'mend', 'kept', 'copy')).toMatchObject({
      status: 0,
      stdout: 'Mended from copy: 1. Damaged still: 0.\n',
    })
    expect(await run('archive', 'fixity', 'kept')).toMatchObject({ status: 0 })
    expect((await run('archive', 'verify', 'kept')).stdout).not.toContain('FAIL')
    expect(await run('archive', 'restore', 'copy', 'again')).toMatchObject({ status: 0 })
    expect(numbers(await run('archive', 'list', 'again'))).toHaveLength(2)
  })

  test.each([
    [['archive', 'add', 'kept'], 'needs more'],
    [['archive', 'ad', 'kept'], 'Did you mean "add"?'],
    [['archive', 'list', 'kept', '--since', '2026-01-01'], 'has no option --since'],
    [['archive', 'list', 'nowhere'], 'There is no archive in nowhere'],
    [['archive', 'restore', 'nowhere', 'new'], 'There is no copy of an archive in nowhere'],
    [['custody', 'log', 'kept', '1999-0001'], 'the archive has no packet 1999-0001'],
    [['archive', 'backup', 'kept', 'kept'], 'one lies in the other'],
    [['archive', 'backup', 'kept', 'kept/copies/new'], 'one lies in the other'],
    [['archive', 'backup', 'kept', '.'], 'one lies in the other'],
    [['archive', 'init', 'a-file', '--origin', 'archive.example/two'], 'At a-file, in it or on the way to it'],
    [['archive', 'init', 'a-file/in', '--origin', 'archive.example/two'], 'a file where a folder belongs'],
    [['archive', 'backup', 'kept', 'a-file'], 'At a-file, in it or on the way to it'],
    [['archive', 'restore', 'copy', 'a-file'], 'At a-file, in it or on the way to it'],
    ...[
      ['init', 'others', '--origin', 'archive.example/two'],
      ['restore', 'copy', 'others'],
      ['backup', 'kept', 'others'],
    ].map((words): [string[], string] => [['archive', ...words], 'Other things stand in others: letters and 1 more']),
    [['archive', 'list', 'turned'], 'a folder where a file does'],
    [['archive', 'list', 'kept', '--verdict', 'good'], 'there is no verdict "good"'],
    [['archive', 'list', 'kept', '--received-from', 'May'], 'is no day'],
    ...['check', 'seal', 'stamp', 'export'].map((action): [string[], string] => [
      ['archive', action, 'kept', '--disposed'],
      'has no option --disposed',
    ]),
    [['archive', 'hold', 'kept', '--matter', 'x', ...reasons], 'which packets it is for'],
    [['archive', 'init', 'other', '--origin', 'two words'], 'cannot name a log'],
    [['custody', 'prove', 'kept', '9999', '--output', 'x.json'], 'none of number 9999'],
    [['custody', 'verify', 'x.json'], 'whoever knows the key'],
    [['custody', 'verify', 'kept', '--log-key', 'a'], 'kept is a folder: a log is verified by a checkpoint'],
    [['custody', 'verify', 'a-file', '--log-key', 'a', '--since', 'b'], 'a-file is a file, and no log'],
    [['custody', 'verify', 'gone', '--log-key', 'a', '--since', 'b'], 'gone does not exist'],
    [['custody', 'verify', 'gone.json', '--log-key', 'a'], 'gone.json does not exist'],
    [['custody', 'verify', 'a-file', '--log-key', 'bay+1234'], '"bay+1234" is no verifier key, nor a file'],
    [['custody', 'verify', 'a-file', '--log-key', 'a-file'], 'a-file: This is no verifier key'],
    [['custody', 'trust', 'kept', 'mistyped'], '"mistyped" is no verifier key, nor a file'],
  ])('%j is answered with what to mend', async (words, said) => {
    const answer = await run(...words)
    expect(answer.status).toBe(2)
    expect(answer.stderr).toContain(said)
    expect(answer.stderr).toContain('to mend it:')
  })

  test('has help of its own for each action', async () => {
    const add = await run('archive', 'add', '--help')
    expect(add.stdout).toContain('--accept-incomplete')
    expect(add.stdout).not.toContain('--calibrated-from')
    const all = (await run('archive', '--help')).stdout
    expect(all).toContain('witnessmark archive init --help')
    expect(all).toMatch(/receive, find, seal, hold/)
    expect(all).toMatch(/Exit status: 0 .* 1 when something is damaged, when a seal does not hold/)
    const sealing = (await run('archive', 'seal', '--help')).stdout
    expect(sealing).toContain('Take the algorithms that a time stamp may rest on from the rulebook')
    expect(sealing).not.toContain('Weigh')
  })

  test('asks who acts', async () => {
    const answer = await runProgram(['archive', 'show', 'kept', '2026-0001'], { cwd: scratch })
    expect(answer.stderr).toContain('needs to know who acts')
  })
})

/** The numbers at the beginning of lines. */
const numbers = ({ stdout }: { stdout: string }): string[] => stdout.match(/^\d{4}-\d{4,}/gm) ?? []

describe('a custody log', () => {
  test('proves an entry to whoever knows its key', async () => {
    expect(await run('custody', 'prove', 'kept', '1', '--output', 'entry.json')).toMatchObject({ status: 0 })
    const holds = await run('custody', 'verify', 'entry.json', '--log-key', key)
    expect(holds).toMatchObject({ status: 0 })
    expect(holds.stdout).toMatch(/^PASS {2}entry\.json is entry 1 of the log archive\.example\/bay/)
    const mistyped = await run(
      'custody',
      'verify',
      'entry.json',
      '--log-key',
      key.replace('+', '+0').replace(/.\+/, '+'),
    )
    expect(mistyped).toMatchObject({ status: 2, stdout: '' })
    expect(mistyped.stderr).toContain('Copy the key whole')
    const entry = readFileSync(at('entry.json'), 'utf8')
    writeFileSync(at('entry.json'), entry.replace('Ada Quill', 'Ida Quill'))
    expect(await run('custody', 'verify', 'entry.json', '--log-key', key)).toMatchObject({
      status: 1,
      stdout: 'FAIL  The entry is not number 1 of the log that the checkpoint is of.\n',
    })
  })

  test('is watched by a witness, who sees that it was written anew', async () => {
    const made = await run('custody', 'witness', 'witness.pem', '--name', 'witness.example/north')
    const witness = /witness\.example\/north\+\S+/.exec(made.stdout)?.[0] ?? ''
    expect(await run('custody', 'trust', 'kept', witness)).toMatchObject({ status: 0 })
    await run('custody', 'checkpoint', 'kept', '--output', 'seen')
    const signing = ['--witness-key', 'witness.pem', '--name', 'witness.example/north', '--since', 'seen']
    expect((await run('custody', 'cosign', 'kept', ...signing)).stdout).toContain('continues the one it saw last')
    await run('archive', 'hold', 'kept', '--job', 'RO 26-1266', '--matter', 'x', ...reasons)
    const verifying = ['--since', 'seen', '--log-key', key, '--witness', witness]
    const holds = await run('custody', 'verify', 'kept', ...verifying)
    expect(holds).toMatchObject({ status: 0 })
    // The same archive with its own key, and another past.
    cpSync(at('kept'), at('forged'), { recursive: true })
    for (const name of ['register.sqlite', 'log']) rmSync(at('forged', name), { recursive: true })
    rmSync(at('forged', 'archive.json'))
    await run('archive', 'init', 'forged', '--origin', 'archive.example/bay')
    for (let number = 0; number < 4; number++)
      await run('archive', 'hold', 'forged', '--vin', `${number}`, '--matter', 'x', ...reasons)
    expect(await run('custody', 'verify', 'forged', ...verifying)).toMatchObject({ status: 1 })
    await run('custody', 'trust', 'forged', witness)
    const refused = await run('custody', 'cosign', 'forged', ...signing)
    expect(refused.stderr).toContain('does not continue')
  })

  test('tells all that was done, and what was done with one packet', async () => {
    const all = await run('custody', 'log', 'kept')
    expect(all.stdout).toContain('began the archive archive.example/bay')
    const one = await run('custody', 'log', 'kept', `${new Date().getFullYear()}-0001`)
    expect(one.stdout).not.toContain('began the archive')
    expect(one.stdout).toContain('received')
    const json = JSON.parse((await run('custody', 'log', 'kept', '--json')).stdout) as { index: number }[]
    expect(json.map(({ index }) => index)).toEqual(json.map((_, index) => index))
  })
})

describe('a disposal', () => {
  test('is proposed by one custodian and done by another, when it is due', async () => {
    writeFileSync(at('passphrase'), 'quillwort övertone gable 71', { mode: 0o600 })
    const secret = ['--passphrase-file', 'passphrase']
    for (const [file, name] of [
      ['one', 'Noor Vance'],
      ['other', 'Ilse Brandt'],
    ] as const) {
      const who = ['--name', name, '--kind', 'ecdsa-p256', '--certificate', `${file}.pem`]
      await run('identity', 'create', `${file}.p12`, ...who, ...secret)
      expect(await run('archive', 'custodian', 'kept', `${file}.pem`)).toMatchObject({ status: 0 })
    }
    writeFileSync(
      at('short.yaml'),
      [
        'rulebook: 1\nname: short\nversion: 1.0.0\neffective: 2026-01-01\nextends: general\nretention:',
        '  - { name: ordinary, keepYears: 0, basis: "Invented." }',
        '  - { name: contested, verdicts: [fail], keepYears: 0, basis: "Invented." }\n',
      ].join('\n'),
    )
    const number = `${new Date().getFullYear()}-0001`
    const signed = (file: string) => ['--identity', `${file}.p12`, ...secret]
    const early = await run('archive', 'dispose', 'kept', number, ...signed('one'), ...reasons)
    expect(early.stderr).toContain('is kept until')
    const named = await run('archive', 'dispose', 'kept', number, '--by', 'Ada Quill', ...signed('one'), ...reasons)
    expect(named).toMatchObject({ status: 2, stdout: '' })
    expect(named.stderr).toContain('"archive dispose" has no option --by')
    const proposed = await run(
      'archive',
      'dispose',
      'kept',
      number,
      ...signed('one'),
      ...reasons,
      '--rulebook',
      'short.yaml',
    )
    const entry = /^Entry (\d+)/.exec(proposed.stdout)?.[1] ?? ''
    const alone = await run('archive', 'agree', 'kept', entry, ...signed('one'), '--rulebook', 'short.yaml')
    expect(alone.stderr).toContain('proposed it, and cannot agree to it')
    const done = await run('archive', 'agree', 'kept', entry, ...signed('other'), '--rulebook', 'short.yaml')
    expect(done).toMatchObject({ status: 0 })
    expect((await run('archive', 'list', 'kept')).stdout).not.toContain(number)
    expect((await run('archive', 'list', 'kept', '--disposed')).stdout).toContain('destroyed')
    expect((await run('archive', 'verify', 'kept')).status).toBe(0)
  })
})

test('a drive that stands in another vehicle’s packet is found when it is received', async () => {
  cpSync(join(root, 'examples', 'packets', 'windshield-camera'), at('copied'), { recursive: true })
  const drive =
    readdirSync(at('inbox', 'quick-drive')).find((name) => /\.(gpx|csv)$/.test(name) && name.includes('log')) ?? ''
  cpSync(at('inbox', 'quick-drive', drive), at('copied', 'road.csv'))
  expect(await run('archive', 'add', 'kept', 'copied')).toMatchObject({ status: 0 })
  const found = await run('archive', 'list', 'kept', '--finding', 'evidence-not-seen-before')
  expect(found.stdout).toContain('copied')
  expect(found.stdout).toContain('1 packet.')
})

test('a vehicle that packet.yaml alone names is found by its number', async () => {
  mkdirSync(at('told'))
  writeFileSync(at('told', 'packet.yaml'), 'packet: 1\nvehicle: { vin: 7XMTD4FE5RA300117 }\n')
  writeFileSync(at('told', 'note.txt'), 'Nothing of note\n')
  const vin = ['--vin', '7xmtd4fe5ra300117']
  for (const options of [['--no-check'], []]) {
    expect(await run('archive', 'add', 'kept', 'told', ...options)).toMatchObject({ status: 0 })
    const found = await run('archive', 'list', 'kept', ...vin, '--json')
    expect(JSON.parse(found.stdout)).toMatchObject([
      {
        name: 'told',
        vins: [],
        declaredVins: ['7XMTD4FE5RA300117'],
        verdict: options.length > 0 ? null : expect.any(String),
      },
    ])
  }
  expect((await run('archive', 'list', 'kept', '--vin', '7XMTD4FE5RA300118')).stdout).toContain('No packet fits.')
})
