/** The API from end to end: a packet is handed over, looked at, decided on, held, compared; what is stated is what is answered. */
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { buffer } from 'node:stream/consumers'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { ZipFile } from 'yazl'
import schema from '../../../schemas/desk.schema.json' with { type: 'json' }
import type { AuditView, ComparisonView, FileView, JobView, PacketView, QueuePage } from '../../../src/desk/contract.ts'
import { describeApi } from '../../../src/desk/server/openapi.ts'
import { archives } from '../../../src/index.ts'
import { root } from '../../source-file.ts'
import { type DeskPlace, handOver, openDeskPlace, type Visitor } from './desk-place.ts'

vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 })

let place: DeskPlace
let ada: Visitor
let first = ''
let second = ''

const told: unknown[] = []

beforeAll(async () => {
  place = await openDeskPlace()
  place.desk.events.listen((event) => told.push(event))
  ada = await place.visitor('Ada Quill')
  first = await handOver(place, ada, 'windshield-camera', { from: 'Front desk' })
  second = await handOver(place, ada, 'windshield-camera-again')
})

afterAll(() => place?.close())

const look = async (accession: string) => (await ada.ask('GET', `/api/packets/${accession}`)).json() as PacketView

test('tells each stage of the work, in its order', () => {
  const stages = told.flatMap((event) => {
    const { event: kind, data } = event as { event: string; data: JobView }
    return kind === 'job' && data.name === 'windshield-camera' ? [data.stage] : []
  })
  const distinct = stages.filter((stage, at) => stage !== stages[at - 1])
  expect(distinct).toEqual(['receiving', 'reading', 'judging', 'keeping', 'done'])
})

test('keeps every file as it was sent', async () => {
  const folder = join(root, 'examples', 'packets', 'windshield-camera')
  const { files } = await look(first)
  expect(files.map(({ path }) => path).sort()).toEqual(readdirSync(folder).sort())
  for (const { number, path, sha256 } of files) {
    const bytes = readFileSync(join(folder, path))
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(sha256)
    const reply = await ada.ask('GET', `/api/packets/${first}/files/${number}`)
    expect(reply.rawPayload.equals(bytes)).toBe(true)
    expect(reply.headers).toMatchObject({
      'content-type': 'application/octet-stream',
      'content-security-policy': "default-src 'none'; sandbox",
      'x-content-type-options': 'nosniff',
    })
    expect(reply.headers['content-disposition']).toMatch(/^attachment; /)
  }
})

test('shows the report that the archive keeps', async () => {
  const { report, view, findingKeys, row } = await look(first)
  const json = await ada.ask('GET', `/api/packets/${first}/report.json`)
  expect(json.json()).toEqual(report)
  expect(row.counts).toEqual(report?.counts)
  expect(row.worst).toBe(report?.findings[0]?.reason)
  expect(findingKeys).toEqual(report?.findings.map(archives.findingKey))
  expect(view?.verdict).toBe('fail')
})

test.each([
  ['csv', /^text\/csv/, 'verdict'],
  ['html', /^text\/html/, '<!DOCTYPE html>'],
  ['pdf', /^application\/pdf/, '%PDF-'],
])('gives the report as %s, never as something to be run', async (form, media, within) => {
  const reply = await ada.ask('GET', `/api/packets/${first}/report.${form}`)
  expect(reply.headers['content-type']).toMatch(media)
  expect(reply.headers['content-security-policy']).toContain('sandbox')
  expect(reply.headers['content-disposition']).toMatch(/^attachment; /)
  expect(reply.rawPayload.toString('latin1')).toContain(within)
})

test('shows files in a way of their own: pictures, words in their places, drives', async () => {
  const { files, report } = await look(first)
  const find = (want: (file: FileView) => boolean) => files.find(want)?.number ?? 0
  const picture = await ada.ask(
    'GET',
    `/api/packets/${first}/files/${find(({ shown }) => shown === 'picture')}/pages/1`,
  )
  expect(picture.headers['content-type']).toBe('image/jpeg')
  expect(picture.rawPayload.subarray(0, 3).toString('hex')).toBe('ffd8ff')
  expect(String(picture.headers['picture-region']).split(' ').map(Number)).toHaveLength(4)
  const text = files.find(({ path }) => path === 'scan before.txt')
  const words = (await ada.ask('GET', `/api/packets/${first}/files/${text?.number}/words`)).json() as {
    pages: { words: { text: string; box: number[] }[] }[]
  }
  const place = report?.documents.find(({ file }) => file === text?.path)?.evidence.vin?.[0]
  expect(
    words.pages[0]?.words.some(({ text: word, box }) => word === place?.text && box.join() === place?.box.join()),
  ).toBe(true)
  const log = files.find(({ track }) => track)
  if (log !== undefined) {
    const track = (await ada.ask('GET', `/api/packets/${first}/files/${log.number}/track`)).json() as {
      points: unknown[]
    }
    expect(track.points.length).toBeGreaterThan(10)
  }
})

test('a decision stands in the log, and the finding stays as it is', async () => {
  const before = await look(first)
  const finding = before.findingKeys[0]
  const reply = await ada.ask('POST', `/api/packets/${first}/decisions`, {
    finding,
    ruling: 'contested',
    why: 'A smudge.',
  })
  expect(reply.statusCode).toBe(201)
  const { entry } = reply.json() as { entry: number }
  expect(await archives.findEntry(place.desk.archive, entry)).toMatchObject({
    act: 'decided',
    by: { name: 'Ada Quill' },
    why: 'A smudge.',
    ruling: 'contested',
    accession: first,
    finding,
  })
  const after = await look(first)
  expect(after.report).toEqual(before.report)
  expect(after.decisions).toMatchObject([{ ruling: 'contested', current: true }])
  const none = await ada.ask('POST', `/api/packets/${first}/decisions`, {
    finding: '0'.repeat(64),
    ruling: 'accepted',
    why: 'x',
  })
  expect(none.statusCode).toBe(409)
})

test('that somebody looked is logged, once in ten minutes', async () => {
  const views = (packet: PacketView) =>
    packet.custody.filter(({ act, by }) => act === 'viewed' && by === 'Bo Lind').length
  const bo = await place.visitor('Bo Lind')
  const ask = async () => (await bo.ask('GET', `/api/packets/${second}`)).json() as PacketView
  expect(views(await ask())).toBe(1)
  expect(views(await ask())).toBe(1)
  place.clock.now = new Date(place.clock.now.getTime() + 11 * 60_000)
  expect(views(await ask())).toBe(2)
})

test('the queue filters, orders and turns pages', async () => {
  const ask = async (query: string) => (await ada.ask('GET', `/api/packets?${query}`)).json() as QueuePage
  const numbers = async (query: string) => (await ask(query)).rows.map(({ accession }) => accession)
  expect(await numbers('')).toEqual([second, first])
  expect(await numbers('verdict=fail')).toEqual([first])
  expect(await numbers('order=verdict')).toEqual([first, second])
  expect(await numbers('words=WINDSHIELD%20again')).toEqual([second])
  expect(await numbers('words=no%20such')).toEqual([])
  const page = await ask('limit=1&order=name&down=false')
  expect(page.rows).toHaveLength(1)
  expect(page.total).toBe(2)
  const next = await ask(`limit=1&order=name&down=false&after=${page.next}`)
  expect(next.rows.map(({ accession }) => accession)).toEqual([second])
  expect(next.next).toBeNull()
  expect((await ada.ask('GET', '/api/packets?after=nonsense')).statusCode).toBe(400)
  await ada.ask('PATCH', `/api/packets/${first}`, { state: 'in-review', assigned: 'Bo Lind' })
  expect(await numbers('state=in-review&assigned=Bo%20Lind')).toEqual([first])
  expect(await numbers('assigned=nobody')).toEqual([second])
})

test('holds are placed and lifted, and notes stay', async () => {
  const reasons = { why: 'A letter', authority: 'General counsel' }
  const { hold } = (
    await ada.ask('POST', '/api/holds', { matter: 'Claim 7', accessions: [first], ...reasons })
  ).json() as {
    hold: string
  }
  await ada.ask('POST', `/api/packets/${first}/notes`, { text: 'Asked the shop.' })
  expect(await look(first)).toMatchObject({
    row: { holds: [hold] },
    notes: [{ by: 'Ada Quill', text: 'Asked the shop.' }],
  })
  expect((await ada.ask('DELETE', `/api/holds/${hold}`, reasons)).statusCode).toBe(204)
  expect((await look(first)).row.holds).toEqual([])
  expect((await ada.ask('DELETE', `/api/holds/${hold}`, reasons)).statusCode).toBe(404)
})

test('packets of one job are a chain, and can be compared', async () => {
  expect((await look(second)).chain.map(({ accession }) => accession)).toEqual([first, second])
  const { summary, words } = (
    await ada.ask('GET', `/api/comparison?before=${first}&after=${second}`)
  ).json() as ComparisonView
  expect(summary).toContain('FAIL')
  // Only these words of the page differ, as one sees on both.
  expect(words.heading).toBe('Words changed (2 pages)')
  expect(words.pages[0]).toEqual({
    heading: 'camera drive report.pdf, page 1',
    remark: '',
    changes: [{ before: '7XRCB8HLXNSS18264', after: '7XRCB8HLXNS518264' }],
  })
  const audit = (await ada.ask('GET', '/api/audit?by=shop')).json() as AuditView
  expect(audit).toMatchObject({ group: 'shop', jobs: 1 })
  expect(audit.notes).toContainEqual(expect.stringContaining('no judgement of anybody'))
})

test('what cannot all be kept is refused, and kept with a note of what is lacking once that is accepted', async () => {
  const zip = new ZipFile()
  zip.addBuffer(Buffer.from('Post-repair scan: no codes\n'), 'job/scan after.txt')
  // A symbolic link, by the mode of its entry (APPNOTE.TXT 4.4.15, external file attributes).
  zip.addBuffer(Buffer.from('/etc/hostname'), 'job/scan before.txt', { mode: 0o120777 })
  zip.end()
  const bytes = new Uint8Array(await buffer(zip.outputStream))
  const send = async (wanted: object): Promise<JobView> => {
    const begun = await ada.ask('POST', '/api/uploads', { name: 'job.zip', form: 'file', ...wanted })
    const { upload } = begun.json() as { upload: string }
    await ada.ask('PUT', `/api/uploads/${upload}/files?path=job.zip`, bytes)
    const { job } = (await ada.ask('POST', `/api/uploads/${upload}/done`)).json() as JobView
    await place.jobs.settled()
    return (await ada.ask('GET', `/api/jobs/${job}`)).json() as JobView
  }
  const count = async () => ((await ada.ask('GET', '/api/packets')).json() as QueuePage).total
  const before = await count()
  const refused = await send({})
  expect(refused).toMatchObject({ stage: 'failed', accession: null, problem: { status: 422 } })
  expect(refused.problem?.detail).toContain('scan before.txt')
  expect(refused.problem?.mend).toContain('accept that it is incomplete')
  expect(await count()).toBe(before)
  const taken = await send({ acceptIncomplete: true })
  expect(taken).toMatchObject({ stage: 'done', problem: null })
  const { files, custody } = await look(taken.accession ?? '')
  expect(files.map(({ path }) => path)).toEqual(['scan after.txt'])
  const received = custody.find(({ act }) => act === 'received')
  expect(received?.text).toContain('1 could not be kept')
})

test('the same packet again is the same packet', async () => {
  const size = (await look(first)).custody.filter(({ act }) => act === 'received').length
  expect(await handOver(place, ada, 'windshield-camera')).toBe(first)
  expect((await look(first)).custody.filter(({ act }) => act === 'received')).toHaveLength(size)
})

test('a packet is checked again by request, and the history keeps both', async () => {
  const reply = await ada.ask('POST', `/api/packets/${second}/checks`, { rulebook: 'general' })
  expect(reply.statusCode).toBe(202)
  await place.jobs.settled()
  expect((await look(second)).custody.filter(({ act }) => act === 'checked')).toHaveLength(2)
  expect((await ada.ask('POST', `/api/packets/${second}/checks`, { rulebook: 'none' })).statusCode).toBe(422)
})

test('an idempotency key does a thing once', async () => {
  const key = { 'idempotency-key': 'note-0001' }
  const add = (text: string) => ada.ask('POST', `/api/packets/${second}/notes`, { text }, key)
  const [one, again, other] = [await add('Once.'), await add('Once.'), await add('Twice.')]
  expect(again.json()).toEqual(one.json())
  expect(other.statusCode).toBe(422)
  expect((await look(second)).notes).toHaveLength(1)
})

test('OpenAPI states every route, and refers to nothing that is not there', async () => {
  const api = (
    await place.app.inject({ url: '/api/openapi.json', headers: { host: '127.0.0.1:8571' } })
  ).json() as ReturnType<typeof JSON.parse>
  expect(api.openapi).toBe('3.1.1')
  const operations = Object.entries(api.paths as Record<string, object>).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method.toUpperCase()} ${path.replace(/\{(\w+)\}/g, ':$1')}`),
  )
  expect(operations).toEqual(expect.arrayContaining(place.routes.map(({ method, path }) => `${method} ${path}`)))
  const referred = [...JSON.stringify(api).matchAll(/"#\/components\/schemas\/(\w+)"/g)].map(
    ([, name]) => name as string,
  )
  expect(referred.length).toBeGreaterThan(50)
  expect([...new Set(referred)].filter((name) => !Object.hasOwn(schema.$defs, name))).toEqual([])
  const ids = JSON.stringify(describeApi(place.routes, '0')).match(/"operationId":"[^"]+"/g) ?? []
  expect(new Set(ids).size).toBe(ids.length)
})

test('nothing of all this was a fault of the program', () => expect(place.faults).toEqual([]))
