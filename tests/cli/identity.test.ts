/** The command `identity`, as a person at a terminal and a script use it. */
import { spawn, spawnSync } from 'node:child_process'
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeEach, expect, onTestFinished, test, vi } from 'vitest'
import { openSigner } from '../../cli/identity-file.ts'
import { run as runWords } from '../../cli/run.ts'
import type { Terminal } from '../../cli/terminal.ts'
import { root } from '../source-file.ts'

// Each run of the program takes a second or two, most of it the derivation of keys.
vi.setConfig({ testTimeout: 60_000 })

const passphrase = 'quillwort gable otter tin'
let folder = ''

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'identity-command-'))
  onTestFinished(() => rmSync(folder, { recursive: true }))
  writeFileSync(join(folder, 'pass'), `${passphrase}\n`, { mode: 0o600 })
})

/** Runs the command in this process, files taken from the folder: a process each would cost a second each. */
async function run(...words: string[]) {
  const { terminal, printed, told } = makeTerminal()
  const isFile = /(\.(p12|pem|csr|key)|^pass|^none)$/
  const located = words.map((word) => (isFile.test(word) ? join(folder, word) : word))
  const status = await runWords(['identity', ...located], terminal)
  const bare = (texts: string[]) => texts.join('').replaceAll(`${folder}/`, '')
  return { status, stdout: bare(printed), stderr: bare(told) }
}

function makeTerminal() {
  const printed: string[] = []
  const told: string[] = []
  const terminal: Terminal = {
    print: async (content) => void printed.push(String(content)),
    tell: (text) => void told.push(text),
    environment: {},
    output: { isTerminal: false, columns: undefined },
    errorsAreShown: false,
    today: () => '2026-11-25',
  }
  return { terminal, printed, told }
}
const fromFile = ['--passphrase-file', 'pass']
const create = (file: string, ...words: string[]) =>
  run('create', file, '--name', 'Tamsin Orrell', '--kind', 'ecdsa-p256', ...words)
const openssl = (...words: string[]) => spawnSync('openssl', words, { cwd: folder, encoding: 'utf8' })

interface Step {
  /** What must show before anything is typed. */
  wait: string
  type: string
}

/** Types at a pseudo-terminal (util-linux `script`); everything that it showed. */
function typeAtTerminal(words: string[], steps: Step[]): Promise<{ shown: string; status: number | null }> {
  const quote = (word: string) => `'${word.replaceAll("'", "'\\''")}'`
  const command = [process.execPath, join(root, 'cli', 'main.ts'), ...words].map(quote).join(' ')
  return new Promise((resolve, reject) => {
    const child = spawn('script', ['-qec', command, '/dev/null'], { cwd: folder, stdio: ['pipe', 'pipe', 'pipe'] })
    const left = [...steps]
    let shown = ''
    let seen = 0
    child.stdout.on('data', (chunk: Buffer) => {
      shown += chunk.toString()
      const [next] = left
      const at = next === undefined ? -1 : shown.indexOf(next.wait, seen)
      if (next === undefined || at < 0) return
      seen = at + next.wait.length
      left.shift()
      child.stdin.write(next.type)
    })
    child.on('error', (cause) =>
      reject(new Error('These tests need "script" of util-linux (Debian: apt-get install bsdutils).', { cause })),
    )
    child.on('close', (status) => resolve({ shown, status }))
  })
}

test('at a terminal the passphrase is asked for twice, and nothing of it shows', async () => {
  const { shown, status } = await typeAtTerminal(
    ['identity', 'create', 'bay3.p12', '--name', 'Tamsin Orrell', '--kind', 'ecdsa-p256'],
    [
      { wait: 'or more: ', type: 'fernhollow\r' },
      { wait: 'or more: ', type: `${passphrase}\r` },
      { wait: 'again: ', type: 'quillwort gable otter ton\r' },
      { wait: 'or more: ', type: `${passphrase}\r` },
      { wait: 'again: ', type: `quillwort gable otter tim\u007fn\r` },
    ],
  )
  expect(shown).toMatch(/too easy to guess: it has 10 characters/)
  expect(shown).toContain('the two passphrases differ')
  expect(shown).toContain('Tamsin Orrell')
  for (const word of ['fernhollow', 'quillwort', 'gable', 'otter', '*']) expect(shown).not.toContain(word)
  expect(status).toBe(0)
  expect(openssl('pkcs12', '-in', 'bay3.p12', '-passin', `pass:${passphrase}`, '-noout').status).toBe(0)

  const again = await typeAtTerminal(
    ['identity', 'show', 'bay3.p12'],
    [
      { wait: 'bay3.p12: ', type: 'quillwort\r' },
      { wait: 'bay3.p12: ', type: `${passphrase}\r` },
    ],
  )
  expect(again.status).toBe(0)
  expect(again.shown).toContain('That passphrase does not open it.')
  expect(again.shown).toMatch(/Private key\s+bay3\.p12/)
  expect(again.shown).not.toContain('quillwort')
})

test('giving up at the terminal writes nothing, and says so', async () => {
  const words = ['identity', 'create', 'bay3.p12', '--name', 'Tamsin Orrell']
  const { shown, status } = await typeAtTerminal(words, [{ wait: 'or more: ', type: 'quill\u0003' }])
  expect(status).toBe(2)
  expect(shown).toContain('stopped before the passphrase was given')
  expect(shown).not.toContain('quill')
  expect(existsSync(join(folder, 'bay3.p12'))).toBe(false)
})

test('a script creates one by a passphrase file, for nobody else to read, replacing nothing', async () => {
  const made = await create('bay3.p12', ...fromFile, '--certificate', 'bay3.pem', '--email', 'bay3@fernhollow.example')
  expect(made).toMatchObject({ status: 0, stderr: '' })
  expect(statSync(join(folder, 'bay3.p12')).mode & 0o777).toBe(0o600)
  const [, first, second] = /SHA-256 +([0-9a-f ]{35})\n +([0-9a-f ]{35})\n/.exec(made.stdout) ?? []
  const printed = openssl('x509', '-in', 'bay3.pem', '-noout', '-fingerprint', '-sha256').stdout
  expect(printed.toLowerCase().replaceAll(':', '')).toContain(`${first}${second}`.replaceAll(' ', ''))
  expect(made.stdout).toMatch(/^Valid +\S+ to \S+: 1094 days left$/m)
  expect(made.stdout).toMatch(/^E-mail +bay3@fernhollow\.example$/m)

  const before = readFileSync(join(folder, 'bay3.p12'))
  const again = await create('bay3.p12', ...fromFile)
  expect(again.status).toBe(2)
  expect(again.stderr).toContain('bay3.p12 exists already, and is not replaced')
  expect(readFileSync(join(folder, 'bay3.p12'))).toEqual(before)
  const elsewhere = await create('other.p12', ...fromFile, '--certificate', 'bay3.pem')
  expect(elsewhere.stderr).toContain('bay3.pem exists already')
  expect(existsSync(join(folder, 'other.p12'))).toBe(false)

  const shown = await run('show', 'bay3.pem')
  expect(shown.stdout).toBe(made.stdout.replace(/^(Private key +).*/m, '$1not in this file'))
})

test('an authority’s answer is joined to the key', async () => {
  await create('bay3.p12', ...fromFile)
  expect((await run('request', 'bay3.p12', '--output', 'bay3.csr', ...fromFile)).status).toBe(0)
  const authority = '-newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes -keyout ca.key -out ca.pem -days 99'.split(' ')
  openssl('req', '-x509', ...authority, '-subj', '/CN=Quarry Authority')
  const files = 'x509 -req -in bay3.csr -CA ca.pem -CAkey ca.key -days 90 -out answer.pem'.split(' ')
  expect(openssl(...files).status).toBe(0)
  // OpenSSL dates it to the second in which it was asked.
  const adopted = await run('adopt', 'bay3.p12', 'answer.pem', '--output', 'certified.p12', ...fromFile)
  expect(adopted).toMatchObject({ status: 0, stderr: '' })
  expect(adopted.stdout).toMatch(/^Vouched for by +Quarry Authority \(its certificate is not in the file\)$/m)
  expect(statSync(join(folder, 'certified.p12')).mode & 0o777).toBe(0o600)
  const shown = await run('show', 'certified.p12', ...fromFile)
  expect(shown.stdout).toBe(adopted.stdout)

  const foreign = await run('adopt', 'bay3.p12', 'ca.pem', '--output', 'foreign.p12', ...fromFile)
  expect(foreign.status).toBe(2)
  expect(foreign.stderr).toContain('ca.pem: no certificate in it belongs to the private key')
  expect(existsSync(join(folder, 'foreign.p12'))).toBe(false)
})

test('another command signs with it', async () => {
  await create('bay3.p12', ...fromFile, '--certificate', 'bay3.pem')
  const at = (name: string) => join(folder, name)
  const signer = await openSigner(at('bay3.p12'), { 'passphrase-file': at('pass') }, makeTerminal().terminal)
  writeFileSync(at('text'), 'a manifest')
  writeFileSync(at('signature'), await signer.sign(Buffer.from('a manifest')))
  writeFileSync(at('public.pem'), openssl('x509', '-in', 'bay3.pem', '-noout', '-pubkey').stdout)
  const verify = ['dgst', '-sha256', '-verify', 'public.pem', '-signature', 'signature', 'text']
  expect(openssl(...verify).stdout).toBe('Verified OK\n')
})

test('certificate and key in files of their own are opened, and a passphrase is asked for only where there is one', async () => {
  const request = '-x509 -newkey ec -pkeyopt ec_paramgen_curve:P-384 -nodes -keyout own.key -out own.pem -days 9'
  openssl('req', ...request.split(' '), '-subj', '/CN=Own')
  const shown = await run('show', 'own.pem', '--key', 'own.key')
  expect(shown.status).toBe(0)
  expect(shown.stdout).toMatch(/^Key +ECDSA, P-384$/m)
  const requested = await run('request', 'own.pem', '--key', 'own.key')
  writeFileSync(join(folder, 'own.csr'), requested.stdout)
  expect(openssl('req', '-in', 'own.csr', '-noout', '-verify').stderr).toContain('verify OK')
})

test.each([
  [['create', 'x.p12', ...fromFile], '"identity create" needs to know who signs'],
  [['create', 'x.p12', '--name', 'x'.repeat(65), ...fromFile], 'the common name has more than 64 characters'],
  [['create', 'x.p12', '--name', 'x', '--kind', 'rsa-1024', ...fromFile], 'there is no kind of key "rsa-1024"'],
  [['create', 'x.p12', '--name', 'x', '--days', '0', ...fromFile], '--days 0 is no such number'],
  [['create', 'x.p12', '--name', 'x'], 'there is no terminal to ask at'],
  [['create', 'x.p12', '--name', 'x', '--passphrase-file', 'none'], 'none cannot be read (ENOENT)'],
  [['create', 'x.p12', '--name', 'Quillwort Gable Otter Tin', ...fromFile], 'little more than a name'],
  [['create', 'none/x.p12', '--name', 'x', '--kind', 'ecdsa-p256', ...fromFile], 'none/x.p12 cannot be written'],
  [['show', 'none.p12', ...fromFile], 'none.p12 does not exist'],
  [['show', 'pass', ...fromFile], 'pass: there is no certificate or private key in the file'],
  [['show', 'x.p12', '--name', 'x'], '"identity show" has no option --name'],
  [['show', 'x.p12', 'y.pem'], '"identity show" has no use for: y.pem'],
  [['adopt', 'x.p12'], '"identity adopt" needs the authority’s answer'],
  [['adopt', 'x.p12', 'pass'], '"identity adopt" needs a new file to write'],
  [['burn', 'x.p12'], '"witnessmark identity" cannot burn'],
])('%j is refused in words', async (words, because) => {
  const { status, stderr, stdout } = await run(...words)
  expect([status, stdout]).toEqual([2, ''])
  expect(stderr).toContain(because)
  expect(stderr).toContain('to mend it:')
  expect(existsSync(join(folder, 'x.p12'))).toBe(false)
})

test.each([
  ['', 'is empty'],
  ['\n', 'is empty'],
  ['quillwort gable\notter tin here\n', 'has several lines'],
  ['\u00ff', 'is not UTF-8'],
])('a passphrase file that holds %j is refused', async (content, because) => {
  writeFileSync(join(folder, 'pass'), Buffer.from(content, 'latin1'))
  expect((await create('x.p12', ...fromFile)).stderr).toContain(because)
})

test.skipIf(process.platform === 'win32')('a passphrase file that others may read is refused', async () => {
  chmodSync(join(folder, 'pass'), 0o640)
  const { status, stderr } = await create('x.p12', ...fromFile)
  expect(status).toBe(2)
  expect(stderr).toContain('others than you may open the passphrase file pass')
  expect(stderr).not.toContain('quillwort')
})

test('a wrong passphrase says so and no more', async () => {
  await create('bay3.p12', ...fromFile)
  writeFileSync(join(folder, 'pass'), 'quillwort gable otter ton\n', { mode: 0o600 })
  const { status, stderr } = await run('show', 'bay3.p12', ...fromFile)
  expect(status).toBe(2)
  expect(stderr).toContain('bay3.p12: the passphrase does not open the identity')
  expect(stderr).not.toContain('quillwort')
})
