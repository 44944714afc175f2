/**
 * Published signature cases through the verification that seals rest on. Each goes the way of a real signature: the
 * AlgorithmIdentifier is written as RFC 4055 and 5758 have it, read by `readScheme`, and the signature verified by
 * `verifySignature`. Sources: wycheproof/SOURCE.md, cavp/SOURCE.md.
 */
import { Null } from 'asn1js'
import { describe, expect, test } from 'vitest'
import { judgeAlgorithm } from '../../src/facts/algorithms.ts'
import { derOf, explicit, integer, oid, parseBer, sequence } from '../../src/seal/ber.ts'
import {
  type DigestName,
  nameAlgorithm,
  oidOfDigest,
  readScheme,
  verifySignature,
} from '../../src/seal/certificates/algorithms.ts'
import { general } from '../checks/general.ts'
import { readCases, type SignatureCase } from './read-cases.ts'

/** Those of SHA-2 but SHA-224, with the last arc of their identifiers of RSA and ECDSA. */
const arcs: Readonly<Record<string, { rsa: string; ecdsa: string }>> = {
  'sha-1': { rsa: '1.2.840.113549.1.1.5', ecdsa: '1.2.840.10045.4.1' },
  'sha-256': { rsa: '1.2.840.113549.1.1.11', ecdsa: '1.2.840.10045.4.3.2' },
  'sha-384': { rsa: '1.2.840.113549.1.1.12', ecdsa: '1.2.840.10045.4.3.3' },
  'sha-512': { rsa: '1.2.840.113549.1.1.13', ecdsa: '1.2.840.10045.4.3.4' },
}
const sha224 = '2.16.840.1.101.3.4.2.4'
const digestOid = (name: string) => (name === 'sha-224' ? sha224 : oidOfDigest(name as DigestName))

function writeAlgorithm({ scheme, digest, mask = digest, salt = 0 }: SignatureCase): Uint8Array {
  if (scheme === 'ecdsa') return derOf(sequence(oid(arcs[digest]?.ecdsa ?? '')))
  if (scheme === 'rsa') return derOf(sequence(oid(arcs[digest]?.rsa ?? ''), new Null()))
  const hash = (name: string) => sequence(oid(digestOid(name)), new Null())
  const parameters = sequence(
    ...(digest === 'sha-1' ? [] : [explicit(0, hash(digest))]),
    ...(mask === 'sha-1' ? [] : [explicit(1, sequence(oid('1.2.840.113549.1.1.8'), hash(mask)))]),
    ...(salt === 20 ? [] : [explicit(2, integer(salt))]),
  )
  return derOf(sequence(oid('1.2.840.113549.1.1.10'), parameters))
}

function accepts(one: SignatureCase): boolean {
  const scheme = readScheme(parseBer(writeAlgorithm(one)))
  return scheme !== null && verifySignature(scheme, one.key, one.message, one.signature)
}

const tell = ({ id, comment, result }: SignatureCase) => `${id} ${result}: ${comment}`

describe.each([
  // Count of valid and of invalid cases; the suite's acceptable ones that are taken, by number.
  ['wycheproof/rsa-pkcs1-2048-sha256.jsonl', 9, 230, []],
  ['wycheproof/rsa-pss-2048-sha256-salt32.jsonl', 63, 40, []],
  ['wycheproof/rsa-pss-2048-sha256-salt0.jsonl', 61, 39, []],
  ['wycheproof/ecdsa-p256-sha256.jsonl', 147, 239, []],
  ['cavp/rsa-pkcs1.jsonl', 18, 90, []],
  ['cavp/rsa-pss.jsonl', 18, 90, []],
  ['cavp/ecdsa.jsonl', 9, 36, []],
] as const)('%s', (file, valid, invalid, taken) => {
  const cases = readCases(file)

  test(`${valid} valid signatures are accepted`, () => {
    const those = cases.filter(({ result }) => result === 'valid')
    expect(those.length).toBe(valid)
    expect(those.filter((one) => !accepts(one)).map(tell)).toEqual([])
  })

  test(`${invalid} invalid signatures are refused`, () => {
    const those = cases.filter(({ result }) => result === 'invalid')
    expect(those.length).toBe(invalid)
    expect(those.filter(accepts).map(tell)).toEqual([])
  })

  test('of the acceptable ones, those that are taken are known', () => {
    const those = cases.filter((one) => one.result === 'acceptable' && accepts(one))
    expect(those.map(({ id }) => id)).toEqual(taken)
  })
})

describe('wycheproof/rsa-pss-misc.jsonl: 150 valid signatures by 2048 bits, with every mix of digest, mask and salt', () => {
  const cases = readCases('wycheproof/rsa-pss-misc.jsonl')
  const isKnown = ({ digest, mask }: SignatureCase) => digest === mask && digest !== 'sha-224'

  test('24 whose mask is of the digest of the signature are accepted', () => {
    const known = cases.filter(isKnown)
    expect(known.length).toBe(24)
    expect(known.filter((one) => !accepts(one)).map(tell)).toEqual([])
  })

  test('126 of other masks, or of SHA-224, are no scheme that is read: nothing rests on them', () => {
    const unknown = cases.filter((one) => !isKnown(one))
    expect(unknown.length).toBe(126)
    expect(unknown.filter((one) => readScheme(parseBer(writeAlgorithm(one))) !== null).map(tell)).toEqual([])
  })

  test('those by SHA-1, which the suite calls acceptable, are verified, and the rulebook relies on none today', () => {
    const weak = cases.filter((one) => one.digest === 'sha-1' && isKnown(one))
    expect(weak.map(({ result }) => result)).toEqual(Array.from({ length: 6 }, () => 'acceptable'))
    expect(judgeAlgorithm(general.algorithms, 'sha-1', '2026-01-01').answer).not.toBe('allowed')
  })
})

test('a signature by one salt, digest or kind of padding is refused under every other', () => {
  const [one] = readCases('wycheproof/rsa-pss-2048-sha256-salt32.jsonl').filter(({ result }) => result === 'valid')
  if (one === undefined) throw new Error('no case')
  expect(accepts(one)).toBe(true)
  for (const other of [
    { ...one, salt: 31 },
    { ...one, salt: 0 },
    { ...one, digest: 'sha-384', mask: 'sha-384' },
    { ...one, scheme: 'rsa' as const },
    { ...one, scheme: 'ecdsa' as const },
  ])
    expect(accepts(other), JSON.stringify({ ...other, key: null, message: null, signature: null })).toBe(false)
})

test('what the rulebook knows the keys of the cases by', () => {
  const named = (file: string) => {
    const [one] = readCases(file)
    const scheme = one && readScheme(parseBer(writeAlgorithm(one)))
    return one && scheme ? nameAlgorithm(scheme, one.key) : null
  }
  expect(named('wycheproof/rsa-pkcs1-2048-sha256.jsonl')).toEqual({ name: 'rsa-pkcs1', bits: 2048 })
  expect(named('wycheproof/rsa-pss-2048-sha256-salt32.jsonl')).toEqual({ name: 'rsa-pss', bits: 2048 })
  expect(named('wycheproof/ecdsa-p256-sha256.jsonl')).toEqual({ name: 'ecdsa-p256', bits: null })
})
