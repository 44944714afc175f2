/** `witnessmark desk --openid` as a process: it opens while the provider is down, and lets people in once it is there. */
import { type ChildProcessByStdio, spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import type { IncomingMessage } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { type ProviderPlace, startProvider } from '../desk/server/openid-provider.ts'
import { root } from '../source-file.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-desk-openid-'))
const secret = 'known to the provider'
let provider: ProviderPlace
let desk: ChildProcessByStdio<null, Readable, Readable>
let origin = ''
let told = ''

beforeAll(async () => {
  provider = await startProvider()
  const file = join(scratch, 'openid.yaml')
  writeFileSync(join(scratch, 'secret'), `${secret}\n`, { mode: 0o600 })
  const values = '[{ value: review, roles: [reviewer] }]'
  writeFileSync(
    file,
    `openid: 1\nissuer: ${provider.server.issuer.url}\nclient: desk\nsecret: { file: secret }\nlabel: Brook & Finch\nroles: { claim: groups, values: ${values} }\n`,
  )
  await provider.server.stop()
  const words = ['desk', join(scratch, 'archive'), '--by', 'Ada Quill', '--port', '0', '--no-ocr', '--users']
  desk = spawn(process.execPath, [join(root, 'cli', 'main.ts'), ...words, '--openid', file], {
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  desk.stderr.on('data', (piece) => {
    told += piece
  })
  let said = ''
  for await (const piece of desk.stdout) {
    said += piece
    if (said.includes('Ctrl-C')) break
  }
  origin = /http:\S+/.exec(said)?.[0] ?? ''
})

afterAll(async () => {
  const ended = new Promise((resolve) => desk.once('exit', resolve))
  desk.kill('SIGTERM')
  expect(await ended).toBe(0)
  await provider.server.stop()
  rmSync(scratch, { recursive: true, force: true })
})

const begin = () => fetch(`${origin}/api/session/openid`, { method: 'POST', headers: { origin } })
const cookieOf = (response: Response) => response.headers.getSetCookie().at(-1)?.split(';')[0] ?? ''

test('while the provider is down, the page opens, and whoever runs the desk is told what is wrong', async () => {
  expect((await fetch(origin)).status).toBe(200)
  const reply = await begin()
  expect([reply.status, ((await reply.json()) as { title: string }).title]).toEqual([
    503,
    'Brook & Finch does not answer',
  ])
  expect(told).toMatch(
    /^witnessmark: sign-in: Brook & Finch: 127\.0\.0\.1:\d+: it cannot be reached \(ECONNREFUSED\)$/m,
  )
})

test('once it is there it lets somebody in, and takes the desk for what it is by the secret', async () => {
  await provider.start()
  provider.claims = { sub: 's-bo', name: 'Bo Lind', groups: ['review'] }
  let shown = ''
  provider.server.service.once('beforeResponse', (_: unknown, { headers }: IncomingMessage) => {
    shown = headers.authorization ?? ''
  })
  const begun = await begin()
  const { address } = (await begun.json()) as { address: string }
  const back = await fetch(address, { redirect: 'manual' })
  const entered = await fetch(back.headers.get('location') ?? '', {
    redirect: 'manual',
    headers: { cookie: cookieOf(begun) },
  })
  expect([entered.status, entered.headers.get('location')]).toEqual([303, '/'])
  // RFC 6749, section 2.3.1: encoded as in a form.
  const credentials = `desk:${secret.replaceAll(' ', '+')}`
  expect(shown).toBe(`Basic ${Buffer.from(credentials).toString('base64')}`)
  const session = await fetch(`${origin}/api/session`, { headers: { cookie: cookieOf(entered) } })
  expect(await session.json()).toMatchObject({ name: 'Bo Lind', roles: ['reviewer'], provider: 'Brook & Finch' })
  expect(told).not.toContain(secret)
})
