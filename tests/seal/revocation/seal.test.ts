/** What revocations mean for a whole seal: its signer, its stamp, and what comes inside of its signature. */
import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { concludeSeal } from '../../../src/report/seal-text.ts'
import { derOf, explicit, integer, members, octets, oid, only, parseBer, sequence } from '../../../src/seal/ber.ts'
import { examineSeal } from '../../../src/seal/examine.ts'
import { readRevocationFiles } from '../../../src/seal/revocation/files.ts'
import { makeBag, openScene, policy, type Scene, viewBag } from '../scene.ts'
import { writeShort } from './office.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const hence = (days: number) => new Date(Date.now() + days * 86_400_000)
const revoked = (days: number, reason: string) => `${writeShort(hence(days))},${reason}`

const configuration = `
[ ca ]
default_ca = own
[ own ]
database = revoked.txt
default_md = sha256
default_crl_days = 7
crlnumber = crlnumber
`

let scene: Scene
let stamped: Awaited<ReturnType<typeof makeBag>>
let bare: Awaited<ReturnType<typeof makeBag>>
beforeAll(async () => {
  scene = await openScene()
  const desk = await scene.sign({ name: 'desk' })
  stamped = await makeBag(desk, (bytes) => scene.stamp(bytes))
  bare = await makeBag(desk, null)
  put('ca.cnf', configuration)
  put('crlnumber', '01\n')
})
afterAll(async () => {
  await Promise.all([scene.close(), stamped.remove(), bare.remove()])
})

const at = (name: string) => join(scene.authority.folder, name)
const put = (name: string, content: string | Uint8Array) => writeFileSync(at(name), content)
const openssl = (...words: string[]) =>
  execFileSync('openssl', words, { cwd: scene.authority.folder, encoding: 'utf8', stdio: 'pipe' })

/** A list of an authority, made tomorrow, for ten days. */
function list(issuer: string, entries: Readonly<Record<string, string>> = {}): string {
  const lines = Object.entries(entries).map(([name, when]) => {
    const serial = openssl('x509', '-in', `${name}.pem`, '-noout', '-serial').replace('serial=', '').trim()
    return `R\t400101000000Z\t${when}\t${serial}\tunknown\t/CN=${name}\n`
  })
  put('revoked.txt', lines.join(''))
  openssl(
    ...['ca', '-gencrl', '-config', 'ca.cnf', '-cert', `${issuer}.pem`, '-keyfile', `${issuer}.key`],
    ...['-crl_lastupdate', writeShort(hence(1)), '-crl_nextupdate', writeShort(hence(11))],
    ...['-out', `${issuer}.crl`],
  )
  return `${issuer}.crl`
}

const readPieces = (names: readonly string[]) =>
  readRevocationFiles(names.map((name) => ({ path: name, data: readFileSync(at(name)) })))

async function examine(bag: { bag: string }, names: readonly string[], rest: { signature?: Uint8Array } = {}) {
  const view = await viewBag(bag.bag)
  const tagFiles = new Map(view.tagFiles)
  if (rest.signature !== undefined) tagFiles.set('seal.p7s', rest.signature)
  const question = { trust: scene.trust, policy, at: hence(2), evidence: readPieces(names) }
  const { examination } = examineSeal({ ...view, tagFiles }, question)
  const part = (wanted: string) => examination.parts.find(({ part: name }) => name === wanted)
  return {
    verdict: concludeSeal(examination),
    revocation: part('revocation'),
    stamp: part('stamp'),
    codes: examination.revocations.map(({ file, code }) => `${file} ${code}`),
    unused: part('revocation')?.faults.map(({ file, code }) => `${file} ${code}`),
  }
}

test('nothing at hand: it is said that nobody looked', async () => {
  const found = await examine(stamped, [])
  expect(found).toMatchObject({ verdict: 'pass', revocation: { state: 'unexamined', code: 'not-looked-up' } })
  expect(found.codes).toEqual(['seal.p7s not-looked-up', 'seal.tsr not-looked-up'])
})

test('lists of all authorities: every certificate below the trusted one was good', async () => {
  const found = await examine(stamped, [list('root'), list('middle')])
  expect(found).toMatchObject({ verdict: 'pass', revocation: { state: 'holds', code: 'not-revoked' }, unused: [] })
  expect(found.codes).toEqual([
    ...['seal.p7s not-revoked', 'seal.p7s not-revoked', 'seal.tsr not-revoked', 'seal.tsr not-revoked'],
  ])
})

test('the list of one authority leaves the other open', async () => {
  const found = await examine(stamped, [list('middle')])
  expect(found).toMatchObject({ verdict: 'warn', revocation: { state: 'doubtful', code: 'no-current-answer' } })
  expect(found.revocation?.text).toContain('Larkfield Stamps')
})

test('a list that could not be used is named, and why', async () => {
  openssl('genpkey', '-algorithm', 'EC', '-pkeyopt', 'ec_paramgen_curve:P-256', '-out', 'forger.key')
  openssl(
    ...['req', '-x509', '-new', '-key', 'forger.key', '-days', '30', '-subj', '/CN=Larkfield Stamps/O=Larkfield Time'],
    ...['-config', 'authority.cnf', '-extensions', 'root', '-out', 'forger.pem'],
  )
  const good = [list('root'), list('middle')]
  const forged = await examine(stamped, [...good, list('forger', { desk: revoked(-100, 'keyCompromise') })])
  expect(forged).toMatchObject({ verdict: 'pass', unused: ['forger.crl signature-mismatch'] })
  expect(forged.revocation?.faults[0]?.text).toContain('forger.crl')
})

describe('the certificate of the signer was revoked', () => {
  const ask = async (bag: { bag: string }, when: string) => examine(bag, [list('root'), list('middle', { desk: when })])

  test('before the stamp', async () => {
    const found = await ask(stamped, revoked(-1, 'superseded'))
    expect(found).toMatchObject({ verdict: 'fail', revocation: { state: 'broken', code: 'revoked' } })
  })

  test('after the stamp, for what says nothing of the time before', async () => {
    const found = await ask(stamped, revoked(0.5, 'superseded'))
    expect(found).toMatchObject({ verdict: 'pass', revocation: { state: 'holds' } })
    expect(found.codes[0]).toBe('seal.p7s revoked-after')
  })

  test('after the stamp, with a key that may have been lost before', async () => {
    const found = await ask(stamped, revoked(0.5, 'keyCompromise'))
    expect(found).toMatchObject({ verdict: 'warn', revocation: { state: 'doubtful', code: 'revoked-later' } })
  })

  test('without a stamp, whenever it was', async () => {
    const found = await ask(bare, revoked(0.5, 'superseded'))
    expect(found).toMatchObject({ verdict: 'fail', revocation: { state: 'broken', code: 'revoked' } })
  })
})

describe('the certificate of the stamp was revoked', () => {
  test.each([
    // RFC 3161, section 4: a stated reason of these lets earlier stamps stand, no reason does not.
    ['superseded', 'holds', 'stamped'],
    ['unspecified', 'holds', 'stamped'],
    ['keyCompromise', 'broken', 'revoked'],
    ['', 'broken', 'revoked'],
  ])('later, as %s', async (reason, state, code) => {
    const when = reason === '' ? writeShort(hence(0.5)) : revoked(0.5, reason)
    const found = await examine(stamped, [list('root'), list('middle', { tsa: when })])
    expect(found.stamp).toMatchObject({ state, code })
    expect(found.verdict).toBe(state === 'holds' ? 'pass' : 'fail')
  })
})

describe('what is inside of the signature', () => {
  /** The signature of the bag with `crls` [1] between the certificates and the signers (RFC 5652, 5.1). */
  function embed(pieces: Parameters<typeof explicit>[1][], version = 1): Uint8Array {
    const whole = parseBer(new Uint8Array(readFileSync(join(bare.bag, 'seal.p7s'))))
    const data = only(members(whole)[1])
    members(data).splice(0, 1, integer(version))
    members(data).splice(4, 0, explicit(1, ...pieces))
    return derOf(whole)
  }
  const der = (name: string) => {
    openssl('crl', '-in', name, '-outform', 'DER', '-out', `${name}.der`)
    return parseBer(new Uint8Array(readFileSync(at(`${name}.der`))))
  }

  test('lists are looked into', async () => {
    const good = embed([der(list('root')), der(list('middle'))])
    // The order of a set is that of its bytes (DER), so that one of the two is not what anybody wrote.
    const other = embed([der('middle.crl'), der('root.crl')])
    const found = await Promise.all([good, other].map((signature) => examine(bare, [], { signature })))
    const verdicts = found.map(({ verdict, revocation }) => `${verdict} ${revocation?.code}`)
    expect(verdicts.toSorted()).toEqual(['fail no-signature', 'warn not-revoked'])
    const one = embed([der(list('middle', { desk: revoked(-1, 'superseded') }))])
    expect(await examine(bare, [], { signature: one })).toMatchObject({
      verdict: 'fail',
      revocation: { code: 'revoked' },
    })
  })

  test('answers are looked into (RFC 5940)', async () => {
    const serial = openssl('x509', '-in', 'desk.pem', '-noout', '-serial').replace('serial=', '').trim()
    put('index.txt', `R\t400101000000Z\t251001000000Z,superseded\t${serial}\tunknown\t/CN=desk\n`)
    openssl('ocsp', '-issuer', 'middle.pem', '-cert', 'desk.pem', '-no_nonce', '-reqout', 'request')
    openssl(
      ...['ocsp', '-index', 'index.txt', '-rsigner', 'middle.pem', '-rkey', 'middle.key', '-CA', 'middle.pem'],
      ...['-reqin', 'request', '-ndays', '7', '-respout', 'answer.ors'],
    )
    const response = parseBer(new Uint8Array(readFileSync(at('answer.ors'))))
    const signature = embed([explicit(1, oid('1.3.6.1.5.5.7.16.2'), response)], 5)
    expect(await examine(bare, [], { signature })).toMatchObject({ verdict: 'fail', revocation: { code: 'revoked' } })
  })

  test('what nobody at hand signed leaves it open', async () => {
    for (const stray of [sequence(integer(1)), sequence(octets(new Uint8Array(40)))])
      expect(await examine(bare, [], { signature: embed([stray]) })).toMatchObject({
        verdict: 'warn',
        revocation: { state: 'doubtful', code: 'revocation-unverified' },
      })
  })
})
