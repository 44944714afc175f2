/** Signatures that OpenSSL accepts, signatures of OpenSSL's, and everything that must be refused. */
import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findPath } from '../../src/seal/certificates/path.ts'
import { signDetached } from '../../src/seal/cms/sign.ts'
import { oids } from '../../src/seal/cms/structure.ts'
import { type SignatureQuestion, verifySigned } from '../../src/seal/cms/verify.ts'
import type { Signer } from '../../src/seal/signer.ts'
import { openScene, policy, type Scene } from './scene.ts'

let scene: Scene
let ecdsa: Signer
let rsa: Signer
beforeAll(async () => {
  scene = await openScene()
  ecdsa = await scene.sign({ name: 'ecdsa' })
  rsa = await scene.sign({ name: 'rsa', key: ['-algorithm', 'RSA', '-pkeyopt', 'rsa_keygen_bits:3072'] })
})
afterAll(() => scene.close())

const content = new TextEncoder().encode('a1b2  data/scan.pdf\n')
const day = new Date().toISOString().slice(0, 10)
const ask = (der: Uint8Array, rest: Partial<SignatureQuestion> = {}) =>
  verifySigned({
    der,
    content,
    contentType: oids.data,
    bound: true,
    carriedBound: true,
    unsigned: [],
    policy,
    day,
    ...rest,
  })
const codeOf = (der: Uint8Array, rest: Partial<SignatureQuestion> = {}) => {
  const answer = ask(der, rest)
  return answer.holds ? 'holds' : answer.code
}

const openssl = (...words: string[]) => execFileSync('openssl', words, { stdio: ['ignore', 'pipe', 'pipe'] })
const at = (name: string) => join(scene.authority.folder, name)

/** A signature by OpenSSL with the key and certificate of a signer. */
function signByOpenssl(name: string, ...options: string[]): Uint8Array {
  writeFileSync(at('content'), content)
  openssl(
    ...['cms', '-sign', '-binary', '-in', at('content'), '-signer', at(`${name}.pem`), '-inkey', at(`${name}.key`)],
    ...['-outform', 'DER', '-out', at('theirs.p7s'), ...options],
  )
  return new Uint8Array(readFileSync(at('theirs.p7s')))
}

describe.each(['ecdsa', 'rsa'])('%s', (name) => {
  const signer = () => (name === 'rsa' ? rsa : ecdsa)

  test('OpenSSL accepts our signature, and refuses it over anything else', async () => {
    writeFileSync(at('ours.p7s'), await signDetached(content, signer(), { time: new Date() }))
    const verify = (data: Uint8Array) => {
      writeFileSync(at('data'), data)
      openssl(
        ...['cms', '-verify', '-binary', '-inform', 'DER', '-in', at('ours.p7s'), '-content', at('data')],
        ...['-CAfile', at('root.pem'), '-out', '/dev/null'],
      )
    }
    expect(() => verify(content)).not.toThrow()
    expect(() => verify(content.with(0, 0))).toThrow()
  })

  test('we accept our signature and say whose it is and when', async () => {
    const time = new Date('2026-11-25T10:11:12Z')
    const answer = ask(await signDetached(content, signer(), { time }))
    expect(answer).toMatchObject({ holds: true, claimedTime: time })
    expect(answer.signer?.facts.subject).toBe(`CN=${name},O=Larkfield Sensor Works`)
  })

  test('we accept a CAdES signature of OpenSSL', () => {
    expect(codeOf(signByOpenssl(name, '-cades', '-md', 'sha256'), { carriedBound: false })).toBe('holds')
  })
})

describe('what is refused', () => {
  const ours = () => signDetached(content, ecdsa, { time: new Date() })

  test('another content', async () => {
    expect(codeOf(await ours(), { content: content.with(0, 0) })).toBe('digest-mismatch')
  })

  test('bytes after the end', async () => {
    expect(codeOf(new Uint8Array([...(await ours()), 0]))).toBe('not-der')
  })

  test('an end that is missing', async () => {
    expect(codeOf((await ours()).subarray(0, -1))).toBe('not-der')
  })

  test('an attached content, also when it is the right one', () => {
    expect(codeOf(signByOpenssl('ecdsa', '-cades', '-nodetach'), { carriedBound: false })).toBe('content-attached')
  })

  test('a signature without signed attributes', () => {
    expect(codeOf(signByOpenssl('ecdsa', '-noattr'), { carriedBound: false })).toBe('no-attributes')
  })

  test('a signature that is bound to no certificate', () => {
    expect(codeOf(signByOpenssl('ecdsa'), { carriedBound: false })).toBe('not-bound')
  })

  test('a weak digest', () => {
    expect(codeOf(signByOpenssl('ecdsa', '-cades', '-md', 'sha1'), { carriedBound: false })).toBe('algorithm-weak')
  })

  test('two signers', () => {
    const der = signByOpenssl('ecdsa', '-cades', '-signer', at('rsa.pem'), '-inkey', at('rsa.key'))
    expect(codeOf(der, { carriedBound: false })).toBe('several-signers')
  })

  test('a certificate that nobody signed for', () => {
    expect(codeOf(signByOpenssl('ecdsa', '-cades', '-certfile', at('root.pem')))).toBe('certificate-unbound')
  })

  test('a signature without the certificate of its signer', () => {
    expect(codeOf(signByOpenssl('ecdsa', '-cades', '-nocerts'), { carriedBound: false })).toBe('no-certificate')
  })

  test('a key that is named by its identifier is found all the same', () => {
    expect(codeOf(signByOpenssl('ecdsa', '-cades', '-keyid'), { carriedBound: false })).toBe('holds')
  })

  test('an unsigned attribute that nobody asked for', async () => {
    const der = await signDetached(content, ecdsa, { time: null, stamp: (bytes) => scene.stamp(bytes) })
    expect(codeOf(der)).toBe('unsigned-attribute')
    expect(codeOf(der, { unsigned: [oids.timeStampToken] })).toBe('holds')
  })

  test('a time stamp where a signature must be', async () => {
    expect(codeOf(await scene.stamp(content), { carriedBound: false })).toBe('content-type')
  })

  test('nothing, noise and another kind of ASN.1', async () => {
    expect(codeOf(new Uint8Array())).toBe('not-der')
    expect(codeOf(new Uint8Array([0x30, 0x03, 0x02, 0x01, 0x00]))).toBe('malformed')
    expect(codeOf(ecdsa.certificate)).toBe('malformed')
  })

  test('an algorithm whose last day has passed', async () => {
    expect(codeOf(await ours(), { day: '2041-01-01' })).toBe('algorithm-weak')
  })
})

describe('the path to somebody trusted', () => {
  const now = new Date()
  const pathOf = async (signer: Signer, rest: Partial<Parameters<typeof findPath>[0]> = {}) => {
    const answer = ask(await signDetached(content, signer, { time: now }))
    if (!answer.holds) throw new Error(answer.text)
    const { signer: leaf, carried } = answer
    return findPath({ leaf, carried, trust: scene.trust, at: new Date(), purpose: 'document', policy, ...rest })
  }
  const nobody = { certificates: [], fingerprints: [] }
  const pin = (signer: Signer) => ({ certificates: [signer.certificate], fingerprints: [] })

  test('leads through the carried authority to the trusted root', async () => {
    expect(await pathOf(ecdsa)).toMatchObject({ state: 'holds', code: 'trusted' })
  })

  test('is none where nobody is trusted, whatever is carried along', async () => {
    expect(await pathOf(ecdsa, { trust: nobody })).toMatchObject({ state: 'doubtful', code: 'not-listed' })
  })

  test('is the signer alone where that one is trusted, by certificate or fingerprint', async () => {
    expect(await pathOf(ecdsa, { trust: pin(ecdsa) })).toMatchObject({ state: 'holds' })
    const fingerprints = [
      Buffer.from(await crypto.subtle.digest('SHA-256', new Uint8Array(ecdsa.certificate))).toString('hex'),
    ]
    expect(await pathOf(ecdsa, { trust: { certificates: [], fingerprints } })).toMatchObject({ state: 'holds' })
    expect(await pathOf(rsa, { trust: { certificates: [], fingerprints } })).toMatchObject({ state: 'doubtful' })
  })

  test('is broken before and after the certificate is valid', async () => {
    expect(await pathOf(ecdsa, { at: new Date('2020-01-01') })).toMatchObject({
      state: 'broken',
      code: 'not-yet-valid',
    })
    expect(await pathOf(ecdsa, { at: new Date('2039-01-01') })).toMatchObject({ state: 'broken', code: 'expired' })
  })

  test('is broken for a certificate that is for another purpose', async () => {
    const stamping = await scene.sign({ name: 'stamping', section: 'stamping' })
    expect(await pathOf(stamping)).toMatchObject({ state: 'broken', code: 'wrong-purpose' })
    expect(await pathOf(ecdsa, { purpose: 'time-stamp' })).toMatchObject({ state: 'broken', code: 'wrong-purpose' })
  })

  test('is broken where one that is no authority vouches for another', async () => {
    const signer = await scene.sign({ name: 'below', issuer: 'ecdsa' })
    expect(await pathOf(signer)).toMatchObject({ state: 'broken', code: 'not-an-authority' })
  })

  test('is broken where an authority may vouch only for others', async () => {
    await scene.sign({ name: 'fenced', section: 'fenced', issuer: 'root' })
    const signer = await scene.sign({ name: 'inside', issuer: 'fenced' })
    expect(await pathOf(signer)).toMatchObject({ state: 'broken', code: 'name-not-permitted' })
  })

  test('is broken where an authority stands beneath one that may have none', async () => {
    await scene.sign({ name: 'deeper', section: 'middle' })
    const signer = await scene.sign({ name: 'deep', issuer: 'deeper' })
    expect(await pathOf(signer)).toMatchObject({ state: 'broken', code: 'path-too-long' })
  })
})
