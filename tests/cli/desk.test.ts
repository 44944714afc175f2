/** `witnessmark desk` as a process: what it refuses to be, and that it opens, lets one browser in, and ends well. */
import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test, vi } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

vi.setConfig({ testTimeout: 180_000 })

const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-desk-test-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))
const archive = join(scratch, 'archive')
const secret = join(scratch, 'password')
writeFileSync(secret, 'a long enough password\n', { mode: 0o600 })
writeFileSync(join(scratch, 'shared'), 'a secret\n', { mode: 0o644 })
const [faulty, sharing, unset] = ['faulty', 'sharing', 'unset'].map((name) => join(scratch, `${name}.yaml`)) as [
  string,
  string,
  string,
]
const provider = 'openid: 1\nissuer: https://login.example\nclient: desk\nlabel: Brook & Finch\n'
writeFileSync(faulty, 'openid: 2\n')
writeFileSync(sharing, `${provider}secret: { file: shared }\n`)
writeFileSync(unset, `${provider}secret: { environment: WITNESSMARK_NOT_SET }\n`)

test.each([
  [[], 'a desk needs an archive'],
  [[archive, '--examples'], '--examples goes without an archive'],
  [[archive, '--by', 'A', '--port', 'http'], '--port http is no port'],
  [[archive, '--by', 'A', '--host', '0.0.0.0'], 'a desk that others reach needs accounts'],
  [[archive, '--by', 'A', '--host', '0.0.0.0', '--users'], 'a desk that others reach needs TLS'],
  [[archive, '--by', 'A', '--users', '--address', 'http://desk.example'], 'a desk that others reach needs TLS'],
  [[archive, '--by', 'A', '--address', 'desk.example'], '--address desk.example is no address of a desk'],
  [[archive, '--by', 'A', '--tls-key', 'x.pem'], 'TLS needs a key and a certificate'],
  [[scratch, '--by', 'A'], 'holds something, and no archive'],
  [[archive, '--by', 'A', '--organization', 'Bay'], '--organization is about sealing, and no identity seals'],
  [[archive, '--by', 'A', '--identity', 'none.p12'], 'none.p12 does not exist'],
  [[archive, '--add', 'Ada', '--roles', 'reviewer', '--identity', 'none.p12'], '--add makes an account'],
  [[archive, '--by', 'A', '--openid', faulty], '--openid is about signing in, and nobody signs in'],
  [[archive, '--by', 'A', '--users', '--openid', faulty], 'line 1, column 9: openid must be 1, not 2'],
  [[archive, '--by', 'A', '--users', '--openid', 'none.yaml'], 'none.yaml does not exist'],
  [[archive, '--by', 'A', '--users', '--openid', sharing], 'others than you may open the secret file'],
  [[archive, '--by', 'A', '--users', '--openid', unset], 'the variable WITNESSMARK_NOT_SET'],
  [[archive, '--add', 'Ada', '--roles', 'king'], '--roles king names something else than roles'],
  [[archive, '--add', 'Ada', '--roles', 'reviewer', '--passphrase-file', secret], 'must be an administrator'],
])('%j is refused, and says why and how to mend it', async (words, says) => {
  const { status, stdout, stderr } = await runProgram(['desk', ...words])
  expect(status).toBe(2)
  expect(stdout).toBe('')
  expect(stderr).toContain(says)
  expect(stderr).toContain('to mend it:')
})

test('the first account is made from the command line', async () => {
  const words = ['desk', archive, '--add', 'Ada Quill', '--roles', 'administrator', '--passphrase-file', secret]
  expect((await runProgram(words)).stdout).toBe('Ada Quill can sign in, as administrator.\n')
})

test('what an account cannot be is said, and how to mend it', async () => {
  const words = ['desk', archive, '--add', 'Bo Lind', '--roles', 'submitter', '--passphrase-file', secret]
  const { status, stderr } = await runProgram(words)
  expect(status).toBe(2)
  expect(stderr).toMatch(/^witnessmark: A submitter is of a shop\n {2}to mend it: .*shop/)
})

test('accounts go with the archive where it is backed up and restored', async () => {
  const [copy, again] = [join(scratch, 'copy'), join(scratch, 'again')]
  const own = ['--by', 'Ada Quill']
  expect((await runProgram(['archive', 'backup', archive, copy, ...own])).stdout).toContain(
    'Of its desk: notes, states',
  )
  expect((await runProgram(['archive', 'restore', copy, again, ...own])).stdout).toContain('Of its desk: notes, states')
  const words = ['desk', again, '--add', 'Bo Lind', '--roles', 'reviewer', '--passphrase-file', secret]
  expect(await runProgram(words)).toMatchObject({ status: 0, stdout: 'Bo Lind can sign in, as reviewer.\n' })
})

test('opens with the examples in one command, lets one browser in, seals, and leaves nothing behind', async () => {
  const identity = join(scratch, 'desk.p12')
  const sealing = [identity, '--passphrase-file', secret]
  expect((await runProgram(['identity', 'create', ...sealing, '--name', 'Records desk'])).status).toBe(0)
  const own = mkdtempSync(join(scratch, 'tmp-'))
  const words = [
    join(root, 'cli', 'main.ts'),
    'desk',
    '--examples',
    '--port',
    '0',
    '--no-ocr',
    '--identity',
    ...sealing,
  ]
  const desk = spawn(process.execPath, words, { env: { ...process.env, TMPDIR: own } })
  const ended = new Promise<number | null>((resolve) => desk.once('exit', resolve))
  let said = ''
  for await (const piece of desk.stdout) {
    said += piece
    if (said.includes('Ctrl-C')) break
  }
  const [link = ''] = /http\S+/.exec(said) ?? []
  const entered = await fetch(link, { redirect: 'manual' })
  const cookie = String(entered.headers.get('set-cookie')).split(';')[0] ?? ''
  const { origin } = new URL(link)
  const session = (await (await fetch(`${origin}/api/session`, { headers: { cookie } })).json()) as { token: string }
  expect(session).toMatchObject({ seals: true, sealer: 'Records desk' })
  const queue = await fetch(`${origin}/api/packets`, { headers: { cookie } })
  expect(await queue.json()).toMatchObject({ total: readdirSync(join(root, 'examples', 'packets')).length })
  expect((await fetch(link, { redirect: 'manual' })).headers.get('set-cookie')).toBeNull()
  expect(await (await fetch(origin)).text()).toContain('<div id="desk">')
  desk.kill('SIGTERM')
  expect(await ended).toBe(0)
  expect(readdirSync(own).filter((name) => existsSync(join(own, name, 'archive')))).toEqual([])
})
