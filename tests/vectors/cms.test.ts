/**
 * Published CMS signatures. None of them is a seal of ours: each lacks what a seal must have, and is refused for that
 * reason and no other. What is signed by an algorithm that is known is verified nevertheless, so that the refusal is
 * not one for bytes that were misread. Sources: rfc4134/SOURCE.md, openssl/SOURCE.md.
 */
import { describe, expect, test } from 'vitest'
import { readScheme, verifySignature } from '../../src/seal/certificates/algorithms.ts'
import { parseCertificate } from '../../src/seal/certificates/certificate.ts'
import { oids, takeApart } from '../../src/seal/cms/structure.ts'
import { type SignatureQuestion, verifySigned } from '../../src/seal/cms/verify.ts'
import { general } from '../checks/general.ts'
import { readBase64 } from './read-cases.ts'
import { toDer } from './to-der.ts'

const sample = readBase64('rfc4134/ExContent.bin.b64')

function ask(der: Uint8Array, rest: Partial<SignatureQuestion> = {}) {
  const answer = verifySigned({
    ...{ der, content: sample, contentType: oids.data, bound: true, carriedBound: true, unsigned: [] },
    policy: general.algorithms,
    // When the digests of these examples were still relied on by many.
    day: '2005-07-01',
    ...rest,
  })
  return answer.holds ? 'holds' : answer.code
}

describe('RFC 4134, section 4', () => {
  const read = (name: string) => toDer(readBase64(`rfc4134/${name}.bin.b64`))

  // As a seal: detached, over the sample; and as a token: attached.
  test.each([
    ['4.1', 'a content that is attached, no signed attributes', 'content-attached', 'no-attributes'],
    ['4.2', 'the same by RSA', 'content-attached', 'no-attributes'],
    ['4.3', 'detached, without signed attributes', 'no-attributes', 'content-missing'],
    ['4.4', 'signed attributes, counter-signature, by DSA', 'content-attached', 'algorithm-unknown'],
    ['4.5', 'attached, by RSA', 'content-attached', 'no-attributes'],
    ['4.6', 'two signers; a certificate that inherits its parameters', 'malformed', 'malformed'],
    ['4.7', 'signer named by key identifier', 'content-attached', 'no-attributes'],
    ['4.10', 'every attribute there is, by DSA', 'content-attached', 'algorithm-unknown'],
    ['4.11', 'certificates and revocation lists, and no signer', 'no-signer', 'no-signer'],
  ])('%s: %s', (name, _, asSeal, asToken) => {
    expect(ask(read(name))).toBe(asSeal)
    expect(ask(read(name), { content: null, bound: false })).toBe(asToken)
  })

  test.each(['4.1', '4.2', '4.4', '4.5', '4.7', '4.10'])('%s carries the sample of section 2.1', (name) => {
    expect(takeApart(read(name)).content).toEqual(sample)
  })

  test('the encoding of 4.5 has indefinite lengths, and is refused for that alone', () => {
    expect(ask(readBase64('rfc4134/4.5.bin.b64'))).toBe('not-der')
  })

  test.each(['4.2', '4.5'])('%s: the signature of Alice by RSA covers the sample and nothing else', (name) => {
    const { signers, certificates } = takeApart(read(name))
    const [info] = signers
    const alice = parseCertificate(readBase64('rfc4134/AliceRSASignByCarl.cer.b64'))
    expect(certificates.map(({ der }) => der)).toContainEqual(alice.der)
    const scheme = info && readScheme(info.signatureAlgorithm, 'sha-1')
    if (!info || !scheme) throw new Error('no signature')
    expect(verifySignature(scheme, alice.key, sample, info.signature)).toBe(true)
    expect(verifySignature(scheme, alice.key, sample.subarray(1), info.signature)).toBe(false)
    expect(verifySignature({ ...scheme, digest: 'sha-256' }, alice.key, sample, info.signature)).toBe(false)
  })

  test("Carl's key signs Alice's certificate and his own, and no other does", () => {
    const carl = parseCertificate(readBase64('rfc4134/CarlRSASelf.cer.b64'))
    const alice = parseCertificate(readBase64('rfc4134/AliceRSASignByCarl.cer.b64'))
    const { scheme } = alice
    if (scheme === null) throw new Error('no scheme')
    expect(verifySignature(scheme, carl.key, alice.signed, alice.signature)).toBe(true)
    expect(verifySignature(scheme, carl.key, carl.signed, carl.signature)).toBe(true)
    expect(verifySignature(scheme, alice.key, alice.signed, alice.signature)).toBe(false)
    expect(Buffer.from(alice.issuer)).toEqual(Buffer.from(carl.subject))
  })

  test('whole numbers, names and identifiers of 4.7: a signer by key identifier is the one certificate there', () => {
    const { version, signers, certificates } = takeApart(read('4.7'))
    expect(version).toBe(3)
    expect(signers[0]?.version).toBe(3)
    expect(signers[0]?.keyIdentifier).toEqual(certificates[0]?.keyIdentifier)
  })
})

describe('attributes that are wrong, of OpenSSL', () => {
  const read = (name: string) => toDer(readBase64(`openssl/${name}.cms.b64`))
  const attached = { content: null, bound: false, carriedBound: false, day: '2020-01-01' }

  test.each([
    ['no_ct_attr', 'no content type', 'attribute-missing'],
    ['no_md_attr', 'no message digest', 'attribute-missing'],
    ['ct_multiple_attr', 'a content type that stands twice', 'malformed'],
    ['bad_signtime_attr', 'a signing time that nobody signed', 'unsigned-attribute'],
  ])('%s: %s', (name, _, code) => {
    expect(ask(readBase64(`openssl/${name}.cms.b64`), attached)).toBe('not-der')
    expect(ask(read(name), attached)).toBe(code)
  })

  test('the signature over the attributes of the last is sound: it is refused for the attribute alone', () => {
    expect(ask(read('bad_signtime_attr'), { ...attached, unsigned: [oids.signingTime] })).toBe('holds')
    const [info] = takeApart(read('bad_signtime_attr')).signers
    expect(info?.signed.has(oids.signingTime)).toBe(false)
  })
})
