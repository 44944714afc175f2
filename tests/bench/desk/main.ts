/**
 * The desk under load: a server as it is shipped, clients at addresses of their own on this machine who hand packets over
 * and look around, the memory of the server meanwhile, and what somebody with a browser waits for, at rest and under that
 * load, beside a bare server's answers and page in the same run. It needs Chromium.
 * `--clients 50 --minutes 5 --pause 500` (mean milliseconds between two requests of a client).
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import type { Browser } from 'playwright-core'
import { launchChromium } from '../../report/chromium.ts'
import { root } from '../../source-file.ts'
import { makeChance } from '../defects/chance.ts'
import { median } from '../timing.ts'
import { makeCaller } from './caller.ts'
import { type Client, checkPacket, makeClient, signIn } from './client.ts'
import { barePaint, lookOnce } from './looker.ts'
import { formatTimes, type Measures, makeMeasures } from './measures.ts'
import { markedBy, readExamples } from './packets.ts'
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
  await signIn(caller, desk.address, 'Bench Administrator', password)
  for (const name of names) {
    const address = `${desk.address}/api/people/${encodeURIComponent(name)}`
    await caller.ask('PUT /api/people/:name', 'PUT', address, { roles: ['reviewer'], password })
  }
  caller.close()
  if (measures.errors.size > 0) throw new Error([...measures.errors.keys()].join('; '))
  return desk
}

const looker = 'Somebody who looks'

/** Somebody who looks at a packet in a browser: `times` with the desk at rest, and, by what it gives, until a moment under load. */
async function openLooker(
  browser: Browser,
  { desk, reference, measures }: { desk: string; reference: string; measures: Measures },
) {
  const caller = makeCaller('127.0.0.1', makeMeasures())
  await signIn(caller, desk, looker, password)
  const example = readExamples().find(({ name }) => name === 'windshield-camera')
  if (example === undefined) throw new Error('the example windshield-camera is not there')
  const accession = await checkPacket(caller, desk, markedBy(example, 'to be looked at'))
  caller.close()
  const look = (when: string) =>
    lookOnce(browser, { desk, reference, measures, accession, when, cookie: caller.headers.cookie ?? '' })
  return {
    async atRest(times: number) {
      for (let turn = 0; turn < times; turn++) await look('')
    },
    async underLoad(until: number) {
      while (performance.now() < until) await look('under load: ')
    },
  }
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
    const desk = await openDesk(folder, [...names, looker])
    stops.push(desk.stop)
    const reference = await startServer([join(import.meta.dirname, 'reference.ts')])
    stops.push(reference.stop)
    const addresses = { desk: desk.address, reference: reference.address }
    const browser = await launchChromium()
    stops.push(() => browser.close())
    const [measures, examples, chance] = [makeMeasures(), readExamples(), makeChance(7)]
    const clients = names.map((name, at) =>
      makeClient({
        ...{ ...addresses, number: at + 1, name, password, examples, measures },
        ...{ chance: chance.branch(at), pause: Number(values.pause) },
      }),
    )
    const looks = makeMeasures()
    const looking = await openLooker(browser, { ...addresses, measures: looks })
    await looking.atRest(12)
    const scale = weigh(desk.process)
    await Promise.all(clients.map((client) => client.signIn()))
    const begun = performance.now()
    const until = begun + minutes * 60_000
    await Promise.all([...clients.map((client) => client.work(until)), looking.underLoad(until)])
    tellRequests(measures, clients, (performance.now() - begun) / 1000)
    tellMemory(scale.stop())
    say(`\nIn a browser\n\n${formatTimes(looks, barePaint)}`)
    for (const [what, count] of looks.errors) say(`  ${count} × ${what}\n`)
    say(desk.complaints() === '' ? '\nThe desk had no fault.\n' : `\nThe desk complained:\n${desk.complaints()}\n`)
    return measures.errors.size === 0 && looks.errors.size === 0 && desk.complaints() === ''
  } finally {
    for (const stop of stops.reverse()) await stop()
  }
}

process.exitCode = (await main()) ? 0 : 1
