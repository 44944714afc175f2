/**
 * Published time-stamp requests and responses (RFC 3161) of other people's programs and of authorities in service.
 * Sources: openssl/SOURCE.md, bouncy-castle/SOURCE.md.
 */
import { describe, expect, test } from 'vitest'
import { numberOf, octetStringOf, parseBer, partsOf } from '../../src/seal/ber.ts'
import { readDigest } from '../../src/seal/certificates/algorithms.ts'
import { parseCertificate } from '../../src/seal/certificates/certificate.ts'
import { findPath } from '../../src/seal/certificates/path.ts'
import { oids } from '../../src/seal/cms/structure.ts'
import { verifySigned } from '../../src/seal/cms/verify.ts'
import { SealError } from '../../src/seal/seal-error.ts'
import { nobody } from '../../src/seal/signer.ts'
import { acceptStamp } from '../../src/seal/stamp/accept.ts'
import { createStampQuery, readStampAnswer, unwrapToken, wrapToken } from '../../src/seal/stamp/exchange.ts'
import { verifyStamp } from '../../src/seal/stamp/token.ts'
import { general } from '../checks/general.ts'
import { readBase64 } from './read-cases.ts'

const policy = general.algorithms
const stamped = new TextEncoder().encode('a seal')

describe('a response of an authority in service, over 32 bytes of zero', () => {
  const response = readBase64('openssl/all-zero.tsr.b64')
  const certificate = (name: string) => readBase64(`openssl/all-zero-${name}.cer.b64`)
  // When it was made: all certificates were valid then.
  const at = new Date('2021-02-17T00:00:00Z')
  const day = '2021-02-17'
  const token = readStampAnswer(response, 'the authority')
  const ask = (der: Uint8Array) =>
    verifySigned({
      ...{ der, content: null, contentType: oids.timeStampInfo, bound: true, carriedBound: false, unsigned: [] },
      ...{ policy, day },
    })

  test('its signature holds, by the certificate that it is said to be by', () => {
    const answer = ask(token)
    expect(answer).toMatchObject({ holds: true, digest: 'sha-384' })
    if (!answer.holds) return
    expect(answer.signer.der).toEqual(certificate('signer'))
    expect(answer.carried.map(({ der }) => der)).toContainEqual(certificate('issuer'))
  })

  test('with a bit of it changed it does not', { timeout: 60_000 }, () => {
    // The issuer's certificate is vouched for by its own signature, not by this one: see `findUnverified`.
    const issuer = Buffer.from(certificate('issuer'))
    const start = Buffer.from(token).indexOf(issuer)
    const unseen: number[] = []
    for (let index = 0; index < token.length; index += 3)
      if (ask(token.with(index, (token[index] ?? 0) ^ (1 << (index % 8)))).holds) unseen.push(index)
    expect(start).toBeGreaterThan(0)
    expect(unseen.filter((index) => index < start || index >= start + issuer.length)).toEqual([])
  })

  test.each([
    ['the root that it is under', ['root'], 'holds'],
    ['a root beside it that vouches for the first', ['another-root'], 'doubtful'],
    ['nobody', [], 'doubtful'],
  ])('its authority leads to %s', (_, roots, state) => {
    const answer = ask(token)
    if (!answer.holds) throw new Error(answer.text)
    const trust = { certificates: roots.map(certificate), fingerprints: [] }
    const { signer: leaf, carried } = answer
    expect(findPath({ leaf, carried, trust, at, purpose: 'time-stamp', policy }).state).toBe(state)
  })

  test('a path by way of another root is found where its certificate is at hand', () => {
    const answer = ask(token)
    if (!answer.holds) throw new Error(answer.text)
    const carried = [...answer.carried, parseCertificate(certificate('root-by-another'))]
    const trust = { certificates: [certificate('another-root')], fingerprints: [] }
    const found = findPath({ leaf: answer.signer, carried, trust, at, purpose: 'time-stamp', policy })
    expect(found.state).toBe('holds')
  })

  test('it is no stamp over anything else, and what it says is read all the same', () => {
    const trust = { certificates: [certificate('root')], fingerprints: [] }
    const answer = verifyStamp({ token, file: 'seal.tsr', stamped, trust, policy, at })
    // As `openssl ts -reply -text` prints it.
    expect(answer).toMatchObject({
      state: 'broken',
      code: 'imprint-differs',
      stamp: {
        time: '2021-02-16T15:42:47Z',
        serial: 'b22950b514853b74f629f43bad7dd94212c0fef2',
        policy: '1.3.6.1.4.1.6449.2.1.1',
        digest: 'sha-256',
        accuracySeconds: null,
      },
    })
  })

  test('kept as we keep one, it is the same token', () => {
    expect(unwrapToken(wrapToken(token))).toEqual(token)
    expect(unwrapToken(response)).toEqual(token)
  })

  test('an answer that was made for somebody else is not taken for ours', () => {
    const query = createStampQuery(stamped, new Uint8Array(8).fill(3))
    const take = () => acceptStamp(response, query, stamped, { where: 'the authority', policy, at })
    expect(take).toThrow(SealError)
    expect(take).toThrow('The time stamp is over something else')
  })
})

describe('requests', () => {
  test.each([
    ['openssl/all-zero.tsq', 'sha-256', 3],
    ['bouncy-castle/sha1-request', 'sha-1', 3],
    ['bouncy-castle/sha1-request-without-nonce', 'sha-1', 2],
    ['bouncy-castle/md5-request', 'md5', 4],
    ['bouncy-castle/ripemd160-request', null, 5],
  ])('%s has the parts in the order in which ours are written', (file, digest, count) => {
    const parts = partsOf(parseBer(readBase64(`${file}.b64`)))
    expect(parts.length).toBe(count)
    expect(numberOf(parts[0])).toBe(1)
    expect(readDigest(partsOf(parts[1])[0])).toBe(digest)
    const ours = partsOf(parseBer(createStampQuery(stamped, new Uint8Array(8).fill(3)).der))
    expect(numberOf(ours[0])).toBe(1)
    expect(readDigest(partsOf(ours[1])[0])).toBe('sha-256')
    expect(octetStringOf(partsOf(ours[1])[1]).length).toBe(32)
  })
})

describe('responses of a program', () => {
  const read = (name: string) => readBase64(`bouncy-castle/${name}.b64`)
  const at = new Date('2004-12-10T00:00:00Z')

  test.each(['sha1-response', 'sha1-response-without-nonce', 'md5-response'])(
    '%s says that it stamps, and carries no certificate that anybody could verify it by',
    (name) => {
      const token = readStampAnswer(read(name), 'the authority')
      const answer = verifyStamp({ token, file: 'a', stamped, trust: nobody, policy, at })
      expect(answer).toMatchObject({ state: 'broken', code: 'no-certificate' })
    },
  )

  test('a refusal is told with the words and the reason of the authority', () => {
    const take = () => readStampAnswer(read('policy-refused'), 'the authority')
    expect(take).toThrow(
      expect.objectContaining({
        name: 'SealError',
        code: 'stamp-refused',
        where: 'the authority',
        message:
          'the time-stamp authority the authority gives no stamp: it refuses (Requested policy is not supported.; the policy is not supported)',
      }),
    )
  })

  test('a request is no response, nor is a certificate', () => {
    for (const name of ['sha1-request', 'signer'])
      expect(() => readStampAnswer(read(name), 'the authority')).toThrow(
        expect.objectContaining({ code: 'stamp-unusable' }),
      )
  })
})
