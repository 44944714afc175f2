/** Sealing at the desk: who may, what the custody log says of it, and what is told of each part of a seal. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import type { MadeSeal, PacketView, SealsView, SessionView } from '../../../src/desk/contract.ts'
import { archives, readTrustFiles } from '../../../src/index.ts'
import { type DeskIdentity, makeDeskIdentity } from './desk-identity.ts'
import { type DeskPlace, handOver, handOverFiles, openDeskPlace, type Visitor } from './desk-place.ts'

vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 })

const made = new Date('2026-11-20T08:00:00Z')
let own: DeskIdentity
let place: DeskPlace
let ada: Visitor
let accession = ''

beforeAll(async () => {
  own = await makeDeskIdentity(made)
  const trust = readTrustFiles([{ path: 'desk.crt', data: own.identity.certificate }])
  place = await openDeskPlace({ sealing: own.sealing, vouching: { trust } })
  ada = await place.visitor('Ada Quill')
  accession = await handOver(place, ada, 'windshield-camera')
})

afterAll(() => place?.close())

const look = async (number: string) => (await ada.ask('GET', `/api/packets/${number}`)).json() as PacketView
const examine = async (number: string) => (await ada.ask('GET', `/api/packets/${number}/seals`)).json() as SealsView
const seal = (visitor: Visitor, number: string, body: object = {}) =>
  visitor.ask('POST', `/api/packets/${number}/seals`, body)
const states = ({ seals }: SealsView) =>
  seals.map(({ parts }) => Object.fromEntries(parts.map(({ name, state }) => [name, state])))

test('the page is told that the desk seals, and as whom', async () => {
  expect((await ada.ask('GET', '/api/session')).json<SessionView>()).toMatchObject({
    seals: true,
    sealer: 'Records desk',
  })
})

test.each(['submitter', 'reviewer', 'administrator'] as const)('a %s seals nothing', async (role) => {
  const visitor = await place.visitor(`Only ${role}`, [role])
  expect((await seal(visitor, accession)).statusCode).toBe(403)
  expect((await look(accession)).seals).toEqual([])
})

test('a packet without a seal has none to tell of', async () => {
  expect((await examine(accession)).seals).toEqual([])
})

test('a custodian seals a packet, and the log names who had it done, why, and by which certificate', async () => {
  const cleo = await place.visitor('Cleo Marsh', ['custodian'])
  const reply = await seal(cleo, accession, { why: 'Asked for by the carrier' })
  expect(reply.statusCode).toBe(201)
  const { entry, again, unstamped } = reply.json() as MadeSeal
  expect({ again, unstamped }).toEqual({ again: false, unstamped: null })
  expect(await archives.findEntry(place.desk.archive, entry)).toMatchObject({
    act: 'sealed',
    accession,
    signer: 'CN=Records desk',
    by: { name: 'Cleo Marsh', certificate: expect.stringMatching(/^[0-9a-f]{64}$/) },
    why: 'Asked for by the carrier',
  })
  const { seals, custody } = await look(accession)
  expect(seals).toMatchObject([{ entry, act: 'sealed', signer: 'CN=Records desk' }])
  expect(custody.find((one) => one.entry === entry)?.why).toBe('Asked for by the carrier')
})

test('each part of it is told: what it asks, whether it holds, and why', async () => {
  const { seals, examined } = await examine(accession)
  expect(examined).toBe('2026-11-25T10:00:00Z')
  expect(states({ seals, examined })).toEqual([
    {
      'Form of the bag': 'holds',
      Files: 'holds',
      Signature: 'holds',
      Signer: 'holds',
      Revocation: 'holds',
      'Time stamp': 'absent',
    },
  ])
  const [one] = seals
  expect(one).toMatchObject({ signer: 'CN=Records desk', verdict: 'warn' })
  for (const { asks, text } of one?.parts ?? []) {
    expect(asks).toMatch(/\?$/)
    expect(text).not.toBe('')
  }
})

test('the same report is sealed once by the same identity, and again when it was checked again', async () => {
  const { entry } = (await seal(ada, accession)).json() as MadeSeal
  expect((await seal(ada, accession)).json()).toEqual({ entry, again: true, unstamped: null })
  await ada.ask('POST', `/api/packets/${accession}/checks`, {})
  // While it is being checked, its report may change.
  expect((await seal(ada, accession)).statusCode).toBe(409)
  await place.jobs.settled()
  const later = (await seal(ada, accession)).json() as MadeSeal
  expect(later).toMatchObject({ again: false })
  expect((await examine(accession)).seals.map((one) => one.entry)).toEqual([entry, later.entry])
})

test('a reviewer and the shop whose packet it is see what a seal is worth; another shop does not', async () => {
  const theirs = await handOver(place, ada, 'quick-drive', { shop: 'Mossgate Collision Center' })
  await seal(ada, theirs)
  const ask = async (name: string, role: 'reviewer' | 'submitter', shop: string | null) =>
    (await (await place.visitor(name, [role], shop)).ask('GET', `/api/packets/${theirs}/seals`)).statusCode
  expect(await ask('Bo Lind', 'reviewer', null)).toBe(200)
  expect(await ask('Sam Own', 'submitter', 'Mossgate Collision Center')).toBe(200)
  expect(await ask('Sam Other', 'submitter', 'Ashgrove Auto')).toBe(404)
})

describe('a seal that is broken', () => {
  test('is told as broken, with the file that is lost', async () => {
    const [kept] = await archives.listSeals(place.desk.archive, accession)
    const lost = kept?.files.find(({ path }) => path === 'report/report.csv' || path === 'report/report.html')
    await place.desk.archive.outside.storage.objects.remove(lost?.sha256 ?? '')
    const [one] = (await examine(accession)).seals
    expect(one?.verdict).toBe('fail')
    expect(one?.parts.filter(({ state }) => state === 'broken')).not.toEqual([])
  })
})

test('a packet that was handed over as a bag is told of as it came, and is not sealed anew', async () => {
  const [kept] = await archives.listSeals(place.desk.archive, await handOver(place, ada, 'quick-drive'))
  const files: [string, Uint8Array][] = []
  for (const { path, sha256 } of kept?.files ?? [])
    files.push([path, (await archives.readObject(place.desk.archive.outside.storage, sha256)) ?? new Uint8Array()])
  const bag = await handOverFiles(place, ada, 'a sealed bag', files)
  const { seals } = await examine(bag)
  expect(seals).toMatchObject([{ entry: null, signer: null }])
  expect(states({ seals, examined: '' })[0]).toMatchObject({ Files: 'holds', Signature: 'holds', Signer: 'holds' })
  expect((await seal(ada, bag)).json()).toMatchObject({
    status: 409,
    title: `${bag} came as a bag, and is kept as that`,
  })
})

test('a certificate that ended meanwhile seals nothing more', async () => {
  const other = await handOver(place, ada, 'windshield-camera-again')
  const { now } = place.clock
  place.clock.now = new Date(made.getTime() + 31 * 86_400_000)
  const late = await place.visitor('Late Custodian', ['custodian'])
  const reply = await seal(late, other)
  place.clock.now = now
  expect(reply.json()).toMatchObject({ status: 422, type: 'urn:witnessmark:problem:certificate-expired' })
  expect((await look(other)).seals).toEqual([])
})

test('a desk without an identity says so, and seals nothing', async () => {
  const plain = await openDeskPlace()
  try {
    const visitor = await plain.visitor('Ada Quill')
    const number = await handOver(plain, visitor, 'windshield-camera')
    expect((await visitor.ask('GET', '/api/session')).json()).toMatchObject({ seals: false, sealer: null })
    const reply = await seal(visitor, number)
    expect(reply.json()).toMatchObject({ status: 409, mend: expect.stringContaining('--identity') })
  } finally {
    await plain.close()
  }
})

test('nothing of all this was a fault of the program', () => expect(place.faults).toEqual([]))
