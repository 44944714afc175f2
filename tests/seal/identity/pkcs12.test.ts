import { createPrivateKey, generateKeyPairSync, X509Certificate } from 'node:crypto'
import type { BaseBlock } from 'asn1js'
import fc from 'fast-check'
import forge from 'node-forge'
import { expect, test, vi } from 'vitest'
import { members, octetsOf, only, parseBer, rawOf } from '../../../src/seal/ber.ts'
import {
  createIdentity,
  type Identity,
  IdentityError,
  type KeyKind,
  keyKinds,
  openIdentity,
  packPkcs12,
} from '../../../src/seal/identity/index.ts'
import { derivePkcs12Key } from '../../../src/seal/identity/pkcs12-key.ts'
import { type Desk, openDesk } from '../desk.ts'
import { fewRounds, now, passphrase, pem, subject } from './invented.ts'
import { appendixA1 } from './rfc9579.ts'

// Long keys take seconds to find, so each kind is made once.
const made = {
  'rsa-3072': createIdentity('rsa-3072', subject, { now, days: 400 }),
  'ecdsa-p256': createIdentity('ecdsa-p256', subject, { now, days: 400 }),
}
// Long keys take seconds to find, and so does the derivation of keys from passphrases.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const create = (kind: KeyKind): Promise<Identity> => made[kind]
const same = (opened: Identity, made: Identity) => {
  expect(opened.key.equals(made.key)).toBe(true)
  expect(Buffer.from(opened.certificate)).toEqual(Buffer.from(made.certificate))
}

test.each(keyKinds)('OpenSSL 3 opens a PKCS#12 of ours for %s', async (kind) => {
  const desk = openDesk()
  const made = await create(kind)
  desk.put('own.p12', await packPkcs12(made, subject.commonName, passphrase))
  const pass = `pass:${passphrase}`
  const information = desk.openssl('pkcs12', '-in', 'own.p12', '-passin', pass, '-info', '-noout')
  expect(information).toContain('MAC: sha256, Iteration 600000')
  const scheme = 'PBES2, PBKDF2, AES-256-CBC, Iteration 600000, PRF hmacWithSHA256'
  expect(information.split(scheme)).toHaveLength(3)
  desk.openssl('pkcs12', '-in', 'own.p12', '-passin', pass, '-nodes', '-out', 'own.pem')
  const written = desk.get('own.pem').toString()
  expect(written).toContain('friendlyName: Tamsin Orrell')
  same(await openIdentity([desk.get('own.pem')], null, now), made)
  expect(desk.accepts('pkcs12', '-in', 'own.p12', '-passin', 'pass:another one entirely', '-noout')).toBe(false)
  same(await openIdentity([desk.get('own.p12')], passphrase, now), made)
})

test.each(keyKinds)('NSS takes a PKCS#12 of ours for %s in', async (kind) => {
  const desk = openDesk()
  desk.put('own.p12', await packPkcs12(await create(kind), subject.commonName, passphrase, fewRounds))
  desk.put('pass', passphrase)
  desk.run('mkdir', 'store')
  desk.run('certutil', ...'-N -d sql:store --empty-password'.split(' '))
  desk.run('pk12util', ...'-i own.p12 -d sql:store -w pass'.split(' '))
  const kindThere = kind === 'rsa-3072' ? 'rsa' : 'ec'
  expect(desk.run('certutil', '-K', '-d', 'sql:store')).toMatch(
    new RegExp(`${kindThere} +[0-9a-f]{40} +Tamsin Orrell-Žák`),
  )
})

test.each(keyKinds)('node-forge opens a PKCS#12 of ours for %s', async (kind) => {
  const made = await create(kind)
  const bytes = await packPkcs12(made, subject.commonName, 'plain passphrase 12', fewRounds)
  const asn1 = forge.asn1.fromDer(Buffer.from(bytes).toString('binary'))
  const opened = forge.pkcs12.pkcs12FromAsn1(asn1, true, 'plain passphrase 12')
  const bags = opened.getBags({ bagType: forge.pki.oids.pkcs8ShroudedKeyBag as string })
  const [bag] = bags[forge.pki.oids.pkcs8ShroudedKeyBag as string] ?? []
  const der = bag?.key ? forge.pki.wrapRsaPrivateKey(forge.pki.privateKeyToAsn1(bag.key)) : bag?.asn1
  const key = Buffer.from(forge.asn1.toDer(der as forge.asn1.Asn1).getBytes(), 'binary')
  expect(createPrivateKey({ key, format: 'der', type: 'pkcs8' }).equals(made.key)).toBe(true)
  expect(() => forge.pkcs12.pkcs12FromAsn1(asn1, true, 'another')).toThrow(/MAC could not be verified/)
})

const writtenByOpenssl: [string, string[]][] = [
  ['its usual way', []],
  ['the legacy way (RC2-40, 3DES, SHA-1)', ['-legacy']],
  ['RC2-128 and two-key 3DES', ['-legacy', '-certpbe', 'PBE-SHA1-RC2-128', '-keypbe', 'PBE-SHA1-2DES']],
  ['3DES alone', ['-certpbe', 'PBE-SHA1-3DES', '-keypbe', 'PBE-SHA1-3DES', '-macalg', 'sha1']],
  ['AES-128 and a MAC by SHA-512', ['-certpbe', 'AES-128-CBC', '-keypbe', 'AES-192-CBC', '-macalg', 'sha512']],
  ['certificates in the clear', ['-certpbe', 'NONE']],
  ['the key in the clear', ['-keypbe', 'NONE']],
  ['no MAC', ['-nomac']],
  ['one round', ['-noiter', '-nomaciter']],
]

test.each(writtenByOpenssl)('opens what OpenSSL writes in %s', async (_name, options) => {
  const desk = openDesk()
  for (const kind of keyKinds) {
    const made = await create(kind)
    exportByOpenssl(desk, made, options)
    same(await openIdentity([desk.get('other.p12')], passphrase, now), made)
    const opened = openIdentity([desk.get('other.p12')], 'another one entirely', now)
    await expect(opened).rejects.toMatchObject({ code: 'passphrase-wrong' })
  }
})

function exportByOpenssl(desk: Desk, { key, certificate }: Identity, options: string[]): void {
  desk.put('other.key', key.export({ type: 'pkcs8', format: 'pem' }))
  desk.put('other.pem', pem('CERTIFICATE', certificate))
  const files = ['-inkey', 'other.key', '-in', 'other.pem', '-out', 'other.p12']
  desk.openssl('pkcs12', '-export', ...files, '-passout', `pass:${passphrase}`, ...options)
}

test.each(['3des', 'aes128', 'aes256'] as const)('opens what node-forge writes with %s', async (algorithm) => {
  const made = await create('rsa-3072')
  const key = forge.pki.privateKeyFromPem(made.key.export({ type: 'pkcs8', format: 'pem' }) as string)
  const certificate = forge.pki.certificateFromPem(pem('CERTIFICATE', made.certificate))
  const asn1 = forge.pkcs12.toPkcs12Asn1(key, [certificate], 'plain passphrase 12', { algorithm })
  const bytes = Buffer.from(forge.asn1.toDer(asn1).getBytes(), 'binary')
  same(await openIdentity([bytes], 'plain passphrase 12', now), made)
})

test('opens a file whose octets come in pieces of indefinite length (BER)', async () => {
  const desk = openDesk()
  const made = await create('ecdsa-p256')
  exportByOpenssl(desk, made, [])
  const der = desk.get('other.p12')
  const [version, authSafe, mac] = members(parseBer(der))
  const content = Buffer.from(octetsOf(only(members(authSafe)[1])))
  const [first, second] = [content.subarray(0, 100), content.subarray(100)]
  const end = Buffer.of(0, 0)
  const piece = (bytes: Buffer) => Buffer.concat([Buffer.of(4, 0x82, bytes.length >> 8, bytes.length & 255), bytes])
  const octets = Buffer.concat([Buffer.of(0x24, 0x80), piece(first), piece(second), end])
  const type = Buffer.from('06092a864886f70d010701', 'hex')
  const tagged = Buffer.concat([Buffer.of(0xa0, 0x80), octets, end])
  const inPieces = Buffer.concat([Buffer.of(0x30, 0x80), type, tagged, end])
  const raw = (block: BaseBlock | undefined) => rawOf(block as BaseBlock)
  const whole = Buffer.concat([Buffer.of(0x30, 0x80), raw(version), inPieces, raw(mac), end])
  desk.put('ber.p12', whole)
  expect(desk.accepts('pkcs12', '-in', 'ber.p12', '-passin', `pass:${passphrase}`, '-noout')).toBe(true)
  same(await openIdentity([whole], passphrase, now), made)
})

// "PKCS#12 key generation test vectors" by S. N. Henson (drh-consultancy.demon.co.uk/test.txt), as other libraries hold them.
test.each([
  ['key', 'smeg', '0a58cf64530d823f', 1, '8aaae6297b6cb04642ab5b077851284eb7128f1a2a7fbca3'],
  ['iv', 'smeg', '0a58cf64530d823f', 1, '79993dfe048d3b76'],
  ['key', 'smeg', '642b99ab44fb4b1f', 1, 'f3a95fec48d7711e985cfe67908c5ab79fa3d7c5caa5d966'],
  ['iv', 'smeg', '642b99ab44fb4b1f', 1, 'c0a38d64a79bea1d'],
  ['mac', 'smeg', '3d83c0e4546ac140', 1, '8d967d88f6caa9d714800ab3d48051d63f73a312'],
  ['key', 'queeg', '05dec959acff72f7', 1000, 'ed2034e36328830ff09df1e1a07dd357185dac0d4f9eb3d4'],
  ['iv', 'queeg', '05dec959acff72f7', 1000, '11dedad7758d4860'],
  ['key', 'queeg', '1682c0fc5b3f7ec5', 1000, '483dd6e919d7de2e8e648ba8f862f3fbfbdc2bcb2c02957f'],
  ['iv', 'queeg', '1682c0fc5b3f7ec5', 1000, '9d461d1b00355c50'],
  ['mac', 'queeg', '263216fcc2fab31c', 1000, '5ec4c7a80df652294c3925b6489a7ab857c83476'],
] as const)('derives %s from %s, %s, %d as published', (purpose, word, salt, iterations, derived) => {
  const derivation = { digest: 'sha1', passphrase: word, salt: Buffer.from(salt, 'hex'), iterations } as const
  const bytes = derivePkcs12Key(purpose, derived.length / 2, derivation)
  expect(Buffer.from(bytes).toString('hex')).toBe(derived)
})

test('opens the example of RFC 9579, whose MAC is a PBMAC1', async () => {
  const opened = await openIdentity([appendixA1], '1234', now)
  expect(new X509Certificate(opened.certificate).checkPrivateKey(opened.key)).toBe(true)
  await expect(openIdentity([appendixA1], '1235', now)).rejects.toMatchObject({ code: 'passphrase-wrong' })
  // The rounds of the MAC, as its appendix A.4 damages them, and the MAC itself.
  for (const at of [appendixA1.lastIndexOf(Buffer.from('02020800', 'hex')) + 3, appendixA1.length - 20]) {
    const damaged = Buffer.from(appendixA1)
    damaged[at] = (damaged[at] as number) ^ 1
    await expect(openIdentity([damaged], '1234', now)).rejects.toMatchObject({ code: 'passphrase-wrong' })
  }
})

test('a damaged file is refused, never opened as something else', async () => {
  const made = await create('ecdsa-p256')
  const bytes = await packPkcs12(made, 'x', passphrase, 10)
  const damage = fc.tuple(fc.nat(bytes.length - 1), fc.integer({ min: 1, max: 255 }))
  await fc.assert(
    fc.asyncProperty(damage, async ([at, change]) => {
      const damaged = Uint8Array.from(bytes)
      damaged[at] = (damaged[at] as number) ^ change
      const outcome = await openIdentity([damaged], passphrase, now).catch((error: unknown) => error)
      // Some bytes mean nothing (the parameters of a digest's name); all else is refused in our own words.
      if (outcome instanceof Error) expect(outcome).toBeInstanceOf(IdentityError)
      else same(outcome as Identity, made)
    }),
    { numRuns: 400, seed: 7 },
  )
  for (const length of [1, 10, 100, bytes.length - 1])
    await expect(openIdentity([bytes.subarray(0, length)], passphrase, now)).rejects.toThrow(IdentityError)
})

test('a file that asks for rounds without end is refused at once', async () => {
  const made = await create('ecdsa-p256')
  const bytes = Buffer.from(await packPkcs12(made, 'x', passphrase, 70_000))
  const count = Buffer.from('0203011170', 'hex')
  const at = bytes.lastIndexOf(count)
  expect(at).toBeGreaterThan(0)
  bytes.set(Buffer.from('02037fffff', 'hex'), at)
  await expect(openIdentity([bytes], passphrase, now)).rejects.toMatchObject({ code: 'encryption-unsupported' })
})

test('several keys with certificates are not guessed among', async () => {
  const [one, other] = [await create('ecdsa-p256'), await create('rsa-3072')]
  const both = [one, other].map(({ key, certificate }) =>
    Buffer.from(`${key.export({ type: 'pkcs8', format: 'pem' })}${pem('CERTIFICATE', certificate)}`),
  )
  await expect(openIdentity(both, null, now)).rejects.toMatchObject({ code: 'key-ambiguous' })
  const [first] = both
  same(await openIdentity([first as Buffer, first as Buffer], null, now), one)
})

test('a PKCS#12 that holds a certificate alone says that the key is missing', async () => {
  const desk = openDesk()
  desk.put('own.pem', pem('CERTIFICATE', (await create('ecdsa-p256')).certificate))
  const words = ['pkcs12', '-export', '-nokeys', '-in', 'own.pem', '-out', 'own.p12', '-passout', `pass:${passphrase}`]
  desk.openssl(...words)
  await expect(openIdentity([desk.get('own.p12')], passphrase, now)).rejects.toMatchObject({ code: 'key-missing' })
})

test('a certificate of another key is never taken', async () => {
  const made = await create('ecdsa-p256')
  const { privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' })
  const bytes = await packPkcs12({ ...made, key: privateKey }, 'x', passphrase, 10)
  const opened = openIdentity([bytes], passphrase, now)
  await expect(opened).rejects.toMatchObject({ code: 'certificate-of-another-key' })
  expect(new X509Certificate(made.certificate).checkPrivateKey(privateKey)).toBe(false)
})
