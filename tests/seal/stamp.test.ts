/** Answers of an authority that must not be taken for a stamp, and authorities that nobody may rely on. RFC 3161. */
import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { BitString, Boolean as BooleanBlock, Constructed, Integer, Utf8String } from 'asn1js'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Subordinate } from '../../examples/time-authority.ts'
import { copy, derOf, explicit, integer, octets, oid, parseBer, sequence, set } from '../../src/seal/ber.ts'
import { oids } from '../../src/seal/cms/structure.ts'
import { SealError } from '../../src/seal/seal-error.ts'
import { nobody } from '../../src/seal/signer.ts'
import { acceptStamp } from '../../src/seal/stamp/accept.ts'
import { createStampQuery, readStampAnswer, unwrapToken, wrapToken } from '../../src/seal/stamp/exchange.ts'
import { verifyStamp } from '../../src/seal/stamp/token.ts'
import { openScene, policy, type Scene } from './scene.ts'
import { makeToken, type Stamper, type TokenOptions, writeResponse } from './token-maker.ts'

let scene: Scene
let good: Stamper
beforeAll(async () => {
  scene = await openScene()
  good = await makeStamper({ name: 'stamper', section: 'stamping' })
})
afterAll(() => scene.close())

async function makeStamper(subordinate: Partial<Subordinate> & { name: string }): Promise<Stamper> {
  const { certificate, issuers } = await scene.sign(subordinate)
  return { key: await scene.file(`${subordinate.name}.key`), certificate, above: issuers }
}

const stamped = new TextEncoder().encode('a seal')
const day = 86_400_000
const now = () => new Date()
const where = 'https://stamps.example/'

/** What a verifier says of a token of `good`, or of another. */
function judge(options: Partial<TokenOptions>, stamper = good, trust = scene.trust) {
  const token = makeToken(stamper, { stamped, time: now(), ...options })
  const answer = verifyStamp({ token, file: 'seal.tsr', stamped, trust, policy, at: new Date(Date.now() + day) })
  return { ...answer, brief: `${answer.state} ${answer.code}` }
}

test('a token made here is one, to us and to OpenSSL', async () => {
  expect(judge({}).brief).toBe('holds stamped')
  const at = (name: string) => join(scene.authority.folder, name)
  await writeFile(at('made.tsr'), wrapToken(makeToken(good, { stamped, time: now() })))
  await writeFile(at('made.data'), stamped)
  const said = execFileSync(
    'openssl',
    ['ts', '-verify', '-in', at('made.tsr'), '-data', at('made.data'), '-CAfile', at('root.pem')],
    { stdio: ['ignore', 'pipe', 'ignore'] },
  )
  expect(String(said)).toContain('Verification: OK')
})

describe('an answer to a question', () => {
  const nonce = new Uint8Array(16).fill(0x41)
  const query = createStampQuery(stamped, nonce)
  const take = (response: Uint8Array, at = now()) => acceptStamp(response, query, stamped, { where, policy, at })
  const answer = (options: Partial<TokenOptions> = {}, status = 0) =>
    writeResponse(status, makeToken(good, { stamped, time: now(), nonce: query.nonce, ...options }))
  const fault = (response: Uint8Array, at = now()): SealError => {
    try {
      take(response, at)
    } catch (error) {
      if (error instanceof SealError) return error
      throw error
    }
    throw new Error('it was taken')
  }

  test('is taken, be it granted with modifications', () => {
    for (const status of [0, 1]) {
      const response = answer({}, status)
      expect(take(response)).toEqual(readStampAnswer(response, where))
      expect(unwrapToken(wrapToken(take(response)))).toEqual(take(response))
    }
  })

  test.each<[string, Partial<TokenOptions>, string]>([
    ['with another nonce', { nonce: new Uint8Array(16).fill(0x42) }, 'The time stamp answers another request'],
    ['with the nonce cut', { nonce: new Uint8Array(15).fill(0x41) }, 'The time stamp answers another request'],
    ['without a nonce', { nonce: undefined as unknown as Uint8Array }, 'The time stamp answers another request'],
    ['over something else', { stamped: new Uint8Array([1]) }, 'The time stamp is over something else'],
    ['by another digest of something else', { stamped: new Uint8Array([1]), digest: 'sha-512' }, 'over something else'],
    ['by a digest that is not relied on', { digest: 'sha-1' }, 'rests on sha-1, which is not relied on'],
    ['from the day after tomorrow', { time: new Date(Date.now() + 2 * day) }, 'later than'],
    ['that does not say whose certificate it is', { unbound: true }, 'which certificate belongs to it (RFC 5035)'],
    ['of another type', { contentType: oids.data }, 'The content is of the type'],
    ['signed by SHA-1', { signedBy: 'sha-1' }, 'which is not relied on'],
  ])('is refused %s', (_, options, text) => {
    const error = fault(answer(options))
    expect(error).toMatchObject({ code: 'stamp-unusable', where })
    expect(error.message).toContain(`the stamp of the time-stamp authority ${where} does not hold: `)
    expect(error.message).toContain(text)
    expect(error.mend).toBe('Try again; if it happens again, choose another time-stamp authority.')
  })

  test('is taken where the clock of the authority is a little ahead, and not where it is days', () => {
    expect(take(answer({ time: new Date(Date.now() + day / 2) })).length).toBeGreaterThan(1000)
    expect(fault(answer(), new Date(Date.now() - 3 * day)).message).toContain('later than')
  })

  const text = (words: string) => sequence(new Utf8String({ value: words }))
  const reasons = (...bytes: number[]) => new BitString({ valueHex: copy(new Uint8Array(bytes)) })
  test.each([
    ['it refuses', writeResponse(2, null)],
    ['it refuses (no such policy)', writeResponse(2, null, text('no such policy'))],
    [
      'it refuses (closed today; the algorithm is not recognised or supported; failure 1)',
      writeResponse(2, null, text('closed today'), reasons(0xc0)),
    ],
    ["it refuses (the authority's clock is not available)", writeResponse(2, null, reasons(0, 2))],
    ['it is waiting', writeResponse(3, null)],
    ['it warns of a revocation', writeResponse(4, null)],
    ['it has been revoked', writeResponse(5, null)],
    ['status 9', writeResponse(9, null)],
  ])('that says no is told: %s', (words, response) => {
    expect(fault(response)).toMatchObject({
      code: 'stamp-refused',
      where,
      message: `the time-stamp authority ${where} gives no stamp: ${words}`,
      mend: 'Try again later, or use another authority. What is sealed can be stamped later with "stamp".',
    })
  })

  test('that refuses and sends a stamp all the same is a refusal', () => {
    expect(fault(answer({}, 2)).code).toBe('stamp-refused')
  })

  const whole = () => answer()
  test.each<[string, () => Uint8Array]>([
    ['nothing', () => new Uint8Array()],
    ['a page', () => new TextEncoder().encode('<html>')],
    ['zeroes', () => new Uint8Array(100)],
    ['a stamp that is missing', () => writeResponse(0, null)],
    ['bytes behind', () => new Uint8Array([...whole(), 0])],
    ['its last byte cut', () => whole().subarray(0, -1)],
    ['the question', () => query.der],
    ['the token without its status', () => readStampAnswer(whole(), where)],
    [
      'a third member',
      () => derOf(sequence(sequence(integer(0)), parseBer(readStampAnswer(whole(), where)), integer(1))),
    ],
    ['a status without a number', () => derOf(sequence(sequence()))],
    ['a status below zero', () => derOf(sequence(sequence(new Integer({ valueHex: copy(new Uint8Array([0xff])) }))))],
    [
      'a status out of all measure',
      () => derOf(sequence(sequence(new Integer({ valueHex: copy(new Uint8Array(20).fill(0x7f)) })))),
    ],
  ])('that is %s is no answer', (_, make) => {
    const error = fault(make())
    expect(['stamp-unusable', 'stamp-refused']).toContain(error.code)
    expect(error.where).toBe(where)
    expect(error.mend).not.toBe('')
  })
})

describe('a token', () => {
  const extension = new Constructed({
    idBlock: { tagClass: 3, tagNumber: 1 },
    value: [sequence(oid('1.2.3.4'), octets(new Uint8Array([5, 0])))],
  })
  test.each<[string, Partial<TokenOptions>, string]>([
    ['of another version', { version: 2 }, 'broken malformed'],
    ['with extensions', { more: [extension] }, 'broken malformed'],
    ['that says it is in order', { more: [new BooleanBlock({ value: true })] }, 'holds stamped'],
    ['with an accuracy', { more: [sequence(integer(1))] }, 'holds stamped'],
    ['that names another authority', { more: [explicit(0, explicit(4, sequence()))] }, 'broken authority-differs'],
    [
      'with an attribute that nobody signed',
      { unsigned: [sequence(oid('1.2.3.4'), set(integer(1)))] },
      'broken unsigned-attribute',
    ],
    ['of a time before its certificate', { time: new Date('2001-02-03') }, 'broken not-yet-valid'],
    ['of a time that has not come', { time: new Date(Date.now() + 2 * day) }, 'broken in-the-future'],
  ])('%s: %s', (_, options, brief) => {
    expect(judge(options).brief).toBe(brief)
  })

  test.each<[string, Partial<Subordinate>, string]>([
    ['that may stamp', { section: 'stamping' }, 'holds stamped'],
    ['that may sign documents', { section: 'signing' }, 'broken wrong-purpose'],
    ['that may stamp and more (RFC 3161, 2.3)', { section: 'stamping-and-more' }, 'broken wrong-purpose'],
    ['that may stamp, uncritically (RFC 3161, 2.3)', { section: 'stamping-uncritical' }, 'broken wrong-purpose'],
    ['whose key is not for signatures', { section: 'stamping-by-any-key' }, 'broken wrong-usage'],
    ['that is an authority over certificates', { section: 'middle' }, 'broken wrong-usage'],
    [
      'with a key that is too short',
      { section: 'stamping', key: ['-algorithm', 'RSA', '-pkeyopt', 'rsa_keygen_bits:1024'] },
      'broken algorithm-weak',
    ],
  ])('of somebody %s: %s', async (what, subordinate, brief) => {
    const stamper = await makeStamper({ name: what.replaceAll(/\W/g, ''), ...subordinate })
    expect(judge({}, stamper).brief).toBe(brief)
    // Trust in the certificate itself does not make it fit; nor does it vouch for what is carried above it.
    const pinned = { certificates: [stamper.certificate], fingerprints: [] }
    const [above] = brief.startsWith('holds') ? ['doubtful certificate-unverified'] : [brief]
    expect(judge({}, stamper, pinned).brief).toBe(above)
    expect(judge({}, { ...stamper, above: [] }, pinned).brief).toBe(brief)
  })

  test('is one where the authority above the stamper is on the list, be the root not at hand', () => {
    const [middle] = good.above as [Uint8Array]
    expect(judge({}, good, { certificates: [middle], fingerprints: [] }).brief).toBe('holds stamped')
    const fingerprint = createHash('sha256').update(middle).digest('hex')
    expect(judge({}, good, { certificates: [], fingerprints: [fingerprint] }).brief).toBe('holds stamped')
  })

  test('of somebody whose certificate had expired', async () => {
    const brief = await makeStamper({ name: 'short', section: 'stamping', days: 1 })
    expect(judge({}, brief).brief).toBe('holds stamped')
    const later = makeToken(brief, { stamped, time: new Date(Date.now() + 2 * day) })
    const at = new Date(Date.now() + 3 * day)
    expect(verifyStamp({ token: later, file: 'a', stamped, trust: scene.trust, policy, at })).toMatchObject({
      state: 'broken',
      code: 'expired',
    })
  })

  test('of somebody beneath a signer who is no authority', async () => {
    const signer = await scene.sign({ name: 'plain signer', section: 'signing' })
    const below = await makeStamper({ name: 'below', section: 'stamping', issuer: 'plain signer' })
    expect(below.above).toContainEqual(signer.certificate)
    expect(judge({}, below).brief).toBe('broken not-an-authority')
  })

  test('of an authority that nobody knows is doubtful, and so is one whose chain is not at hand', () => {
    expect(judge({}, good, nobody).brief).toBe('doubtful authority-not-listed')
    expect(judge({}, { ...good, above: [] }).brief).toBe('doubtful authority-not-listed')
  })

  test('with a certificate carried that belongs to nothing is doubtful', async () => {
    const other = await openScene()
    const { certificate } = await other.sign({ name: 'elsewhere' })
    await other.close()
    expect(judge({ carried: [certificate] }).brief).toBe('doubtful certificate-unverified')
  })
})
