/** Somebody at the desk: hands packets over, and looks at the queue, packets, pages, comparisons and figures meanwhile. */
import { setTimeout as pause } from 'node:timers/promises'
import type { JobView, PacketView, QueuePage } from '../../../src/desk/contract.ts'
import type { Chance } from '../defects/chance.ts'
import { type Answer, type Caller, makeCaller } from './caller.ts'
import { type Measures, noteError, noteTime } from './measures.ts'
import { type ExamplePacket, markedBy } from './packets.ts'

export interface ClientOptions {
  number: number
  name: string
  password: string
  desk: string
  reference: string
  examples: readonly ExamplePacket[]
  chance: Chance
  /** Mean pause between two requests, in milliseconds. */
  pause: number
  measures: Measures
}

export interface Client {
  signIn(): Promise<void>
  /** Works until `performance.now()` is `until`. */
  work(until: number): Promise<void>
  /** Packets that were handed over and checked; pieces of events that were heard. */
  done: { checked: number; heard: number }
}

const read = <Shape>(answer: Answer | null): Shape | null =>
  answer === null ? null : (JSON.parse(answer.body.toString()) as Shape)

/** Signs in; what the caller sends from now on is this person's. Throws where the desk does not let it in. */
export async function signIn(caller: Caller, desk: string, name: string, password: string): Promise<void> {
  const answer = await caller.ask('POST /api/session', 'POST', `${desk}/api/session`, { name, password })
  const [cookie] = answer?.headers['set-cookie'] ?? []
  if (cookie === undefined) throw new Error(`${name} was not let in`)
  caller.headers.cookie = cookie.split(';')[0] ?? ''
  const session = read<{ token: string }>(await caller.ask('GET /api/session', 'GET', `${desk}/api/session`))
  caller.headers['x-desk-token'] = session?.token ?? ''
}

export function makeClient(options: ClientOptions): Client {
  const { number, name, password, desk, reference, examples, chance, measures } = options
  const from = `127.0.0.${number + 1}`
  const [caller, other] = [makeCaller(from, measures), makeCaller(from, measures)]
  const done = { checked: 0, heard: 0 }
  let turn = 0
  let handedOver: { job: string; since: number } | null = null
  let own: string[] = []
  const rest = () => pause(options.pause * 2 * chance.even())
  const get = (kind: string, path: string) => caller.ask(`GET ${kind}`, 'GET', `${desk}${path}`)

  async function handOver(): Promise<void> {
    const packet = markedBy(chance.pick(examples), `${number}-${turn}`)
    const since = performance.now()
    const job = await sendPacket(caller, desk, packet, `Shop ${number % 7}`)
    if (job !== null) handedOver = { job, since }
  }

  async function lookAfterJob({ job, since }: NonNullable<typeof handedOver>): Promise<void> {
    const view = read<JobView>(await get('/api/jobs/:job', `/api/jobs/${job}`))
    if (view === null || (view.stage !== 'done' && view.stage !== 'failed')) return
    handedOver = null
    if (view.stage === 'failed' || view.accession === null) return noteError(measures, `check: ${view.problem?.title}`)
    noteTime(measures, 'a packet, from its first byte to its verdict', performance.now() - since)
    done.checked++
    own = [...own.slice(-1), view.accession]
  }

  async function lookAround(): Promise<void> {
    await get('/ (the page)', '/')
    await rest()
    const queries = ['', '?verdict=fail', '?order=verdict&limit=200', '?words=radar', `?shop=Shop%20${number % 7}`]
    const queue = read<QueuePage>(await get('/api/packets', `/api/packets${chance.pick(queries)}`))
    const rows = queue?.rows.filter(({ verdict }) => verdict !== null) ?? []
    if (rows.length === 0) return
    await rest()
    const { accession } = chance.pick(rows)
    const packet = read<PacketView>(await get('/api/packets/:accession', `/api/packets/${accession}`))
    if (packet !== null) await lookAtFile(packet)
    await rest()
    const [before, after] = own
    if (after !== undefined && chance.likely(0.25))
      await get('/api/comparison', `/api/comparison?before=${before}&after=${after}`)
    if (chance.likely(0.25))
      await get('/api/audit', `/api/audit?by=${chance.pick(['shop', 'technician', 'instrument'])}`)
  }

  async function lookAtFile({ row, files }: PacketView): Promise<void> {
    await rest()
    const file = chance.pick(files)
    const [kind, path] = ['/api/packets/:accession/files/:number', `/api/packets/${row.accession}/files/${file.number}`]
    if (file.track) await get(`${kind}/track`, `${path}/track`)
    else if (file.shown === 'words') await get(`${kind}/words`, `${path}/words`)
    else if (file.shown === 'picture') await get(`${kind}/pages/:page`, `${path}/pages/1`)
    else await get(kind, path)
  }

  return {
    done,
    signIn: () => signIn(caller, desk, name, password),
    async work(until) {
      caller.listen(`${desk}/api/events`, () => {
        done.heard++
      })
      while (performance.now() < until) {
        turn++
        await other.ask('a bare answer (the reference)', 'GET', `${reference}/`)
        await rest()
        if (handedOver === null) await handOver()
        else await lookAfterJob(handedOver)
        await rest()
        await lookAround()
        await rest()
      }
      caller.close()
      other.close()
    },
  }
}

/** Hands a packet over and waits for its verdict; gives its accession number. Throws where that fails. */
export async function checkPacket(caller: Caller, desk: string, packet: ExamplePacket): Promise<string> {
  const job = await sendPacket(caller, desk, packet, 'Shop 0')
  for (;;) {
    const view = read<JobView>(await caller.ask('GET /api/jobs/:job', 'GET', `${desk}/api/jobs/${job}`))
    if (view?.stage === 'done' && view.accession !== null) return view.accession
    if (view === null || view.stage === 'failed') throw new Error(`${packet.name}: ${view?.problem?.title}`)
    await pause(250)
  }
}

/** Hands a packet over; gives the number of its job. Null where something went wrong, which is noted. */
export async function sendPacket(
  caller: Caller,
  desk: string,
  packet: ExamplePacket,
  shop: string,
): Promise<string | null> {
  const begun = read<{ upload: string }>(
    await caller.ask('POST /api/uploads', 'POST', `${desk}/api/uploads`, { name: packet.name, form: 'folder', shop }),
  )
  if (begun === null) return null
  const address = `${desk}/api/uploads/${begun.upload}`
  for (const { path, bytes } of packet.files)
    await caller.ask(
      'PUT /api/uploads/:upload/files',
      'PUT',
      `${address}/files?path=${encodeURIComponent(path)}`,
      bytes,
    )
  return read<JobView>(await caller.ask('POST /api/uploads/:upload/done', 'POST', `${address}/done`))?.job ?? null
}
