/**
 * The desk under load: a server as it is shipped, clients at addresses of their own on this machine who hand packets over
 * and look around, and the memory of the server meanwhile, beside a bare server's answers in the same run.
 * `--clients 50 --minutes 5 --pause 500` (mean milliseconds between two requests of a client).
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { root } from '../../source-file.ts'
import { makeChance } from '../defects/chance.ts'
import { median } from '../timing.ts'
import { makeCaller } from './caller.ts'
import { type Client, makeClient } from './client.ts'
import { formatTimes, type Measures, makeMeasures } from './measures.ts'
import { readExamples } from './packets.ts'
import { runToEnd, startServer, type Weight, weigh } from './processes.ts'

const password = 'a password of the bench'
const program = join(root, 'cli', 'main.ts')
const say = (text: string) => process.stdout.write(text)

/** A desk with accounts: the first administrator's from the command line, those of the clients over the API. */
async function openDesk(folder: string, names: readonly string[]) {
  const [archive, secret] = [join(folder, 'archive'), join(folder, 'password')]
  writeFileSync(secret, `${password}\n`, { mode: 0o600 })
  const added = ['--add', 'Bench Administrator', '--roles', 'administrator', '--passphrase-file', secret]
  await runToEnd([program, 'desk', archive, ...added])
  const desk = await startServer([program, 'desk', archive, '--users', '--port', '0', '--by', 'Bench'], {
    XDG_CACHE_HOME: join(folder, 'cache'),
  })
  const measures = makeMeasures()
  const caller = makeCaller('127.0.0.1', measures)
  const ask = async (method: string, path: string, body?: unknown) => {
    const answer = await caller.ask(`${method} ${path}`, method, `${desk.address}${path}`, body)
    if (answer === null) throw new Error([...measures.errors.keys()].join('; '))
    return answer
  }
  const signedIn = await ask('POST', '/api/session', { name: 'Bench Administrator', password })
  caller.headers.cookie = signedIn.headers['set-cookie']?.[0]?.split(';')[0] ?? ''
  const { token } = JSON.parse((await ask('GET', '/api/session')).body.toString()) as { token: string }
  caller.headers['x-desk-token'] = token
  for (const name of names)
    await ask('PUT', `/api/people/${encodeURIComponent(name)}`, { roles: ['reviewer'], password })
  caller.close()
  return desk
}

function tellMemory(weights: readonly Weight[]): void {
  const tell = (what: string, of: (weight: Weight) => number) => {
    const minutes = Array.from({ length: Math.floor(weights.length / 60) }, (_, at) =>
      median(weights.slice(at * 60, at * 60 + 60).map(of)).toFixed(0),
    )
    const [start, peak, end] = [weights.slice(0, 1), weights, weights.slice(-1)].map((some) =>
      Math.max(...some.map(of)),
    )
    const byMinute = minutes.length === 0 ? '' : `; median of each minute ${minutes.join(', ')}`
    say(
      `  ${what}: ${start?.toFixed(0)} at the start, ${peak?.toFixed(0)} at most, ${end?.toFixed(0)} at the end${byMinute}\n`,
    )
  }
  say('\nResident memory, MiB\n\n')
  tell('the desk', ({ own }) => own)
  tell('its reading and drawing processes together', ({ children }) => children)
}

function tellRequests(measures: Measures, clients: readonly Client[], seconds: number): void {
  const sum = (of: (client: Client) => number) => clients.reduce((total, client) => total + of(client), 0)
  const requests = [...measures.times.values()].reduce((total, { length }) => total + length, 0)
  const errors = [...measures.errors.values()].reduce((total, count) => total + count, 0)
  say(
    `\n${clients.length} clients, ${seconds.toFixed(0)} s: ${requests} requests, ${errors} errors; ${sum(({ done }) => done.checked)} packets handed over and checked; ${sum(({ done }) => done.heard)} pieces of events heard.\n\n`,
  )
  say(formatTimes(measures, 'a bare answer (the reference)'))
  for (const [what, count] of measures.errors) say(`  ${count} × ${what}\n`)
}

async function main(): Promise<boolean> {
  const { values } = parseArgs({
    options: {
      clients: { type: 'string', default: '50' },
      minutes: { type: 'string', default: '5' },
      pause: { type: 'string', default: '500' },
    },
  })
  const [count, minutes] = [Number(values.clients), Number(values.minutes)]
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-bench-desk-'))
  const stops: (() => Promise<unknown>)[] = [async () => rmSync(folder, { recursive: true, force: true })]
  try {
    const names = Array.from({ length: count }, (_, at) => `Client ${at + 1}`)
    const desk = await openDesk(folder, names)
    stops.push(desk.stop)
    const reference = await startServer([join(import.meta.dirname, 'reference.ts')])
    stops.push(reference.stop)
    const [measures, examples, chance] = [makeMeasures(), readExamples(), makeChance(7)]
    const clients = names.map((name, at) =>
      makeClient({
        ...{ number: at + 1, name, password, desk: desk.address, reference: reference.address, examples, measures },
        ...{ chance: chance.branch(at), pause: Number(values.pause) },
      }),
    )
    const scale = weigh(desk.process)
    await Promise.all(clients.map((client) => client.signIn()))
    const begun = performance.now()
    await Promise.all(clients.map((client) => client.work(begun + minutes * 60_000)))
    tellRequests(measures, clients, (performance.now() - begun) / 1000)
    tellMemory(scale.stop())
    say(desk.complaints() === '' ? '\nThe desk had no fault.\n' : `\nThe desk complained:\n${desk.complaints()}\n`)
    return measures.errors.size === 0 && desk.complaints() === ''
  } finally {
    for (const stop of stops.reverse()) await stop()
  }
}

process.exitCode = (await main()) ? 0 : 1
