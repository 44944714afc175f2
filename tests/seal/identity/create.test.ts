import { X509Certificate } from 'node:crypto'
import { expect, test, vi } from 'vitest'
import {
  createCertificate,
  createIdentity,
  createRequest,
  describeCertificate,
  IdentityError,
  type KeyKind,
  keyKinds,
  makeSigner,
} from '../../../src/seal/identity/index.ts'
import { openDesk } from '../desk.ts'
import { now, pem, subject } from './invented.ts'

// Long keys take seconds to find, and so does the derivation of keys from passphrases.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

// Each kind is made once.
const made = {
  'rsa-3072': createIdentity('rsa-3072', subject, { now, days: 400 }),
  'ecdsa-p256': createIdentity('ecdsa-p256', subject, { now, days: 400 }),
}

const epoch = String(now.getTime() / 1000 + 60)

test.each(keyKinds)('OpenSSL reads a certificate for %s as it is meant', async (kind) => {
  const desk = openDesk()
  const { certificate, key } = await made[kind]
  desk.put('own.pem', pem('CERTIFICATE', certificate))
  const text = desk.openssl('x509', '-in', 'own.pem', '-noout', '-text', '-nameopt', 'RFC2253,utf8,-esc_msb')
  expect(text).toContain('Version: 3')
  expect(text).toContain('Subject: CN=Tamsin Orrell-Žák,OU=Bay 3,O=Fernhollow Calibration,C=IE')
  expect(text).toContain('Issuer: CN=Tamsin Orrell-Žák,OU=Bay 3,O=Fernhollow Calibration,C=IE')
  expect(text).toMatch(/Basic Constraints: critical\s+CA:FALSE/)
  expect(text).toMatch(/Key Usage: critical\s+Digital Signature, Non Repudiation\n/)
  expect(text).toMatch(/Subject Alternative Name: \s+email:bay3@fernhollow\.example/)
  expect(text).not.toContain('Extended Key Usage')
  expect(text).toMatch(kind === 'rsa-3072' ? /Public-Key: \(3072 bit\)/ : /NIST CURVE: P-256/)
  expect(text).toContain('Not Before: Nov 25 08:00:00 2026 GMT')
  expect(text).toContain('Not After : Dec 30 09:00:00 2027 GMT')
  const identifier = /Subject Key Identifier: \s+([0-9A-F:]{59})/.exec(text)?.[1]
  expect(identifier).toBeDefined()
  expect(/Authority Key Identifier: \s+(?:keyid:)?([0-9A-F:]{59})/.exec(text)?.[1]).toBe(identifier)
  expect(desk.openssl('verify', '-attime', epoch, '-x509_strict', '-CAfile', 'own.pem', 'own.pem')).toContain('OK')
  expect(new X509Certificate(certificate).checkPrivateKey(key)).toBe(true)
})

test.each(keyKinds)('what is signed with %s is accepted by openssl cms with its usual purpose', async (kind) => {
  const desk = openDesk()
  const { certificate, key } = await made[kind]
  desk.put('own.pem', pem('CERTIFICATE', certificate))
  desk.put('own.key', key.export({ type: 'pkcs8', format: 'pem' }))
  desk.put('text', 'a manifest\n')
  desk.openssl(...'cms -sign -binary -in text -signer own.pem -inkey own.key -outform DER -out text.p7s'.split(' '))
  const verify = 'cms -verify -binary -inform DER -in text.p7s -content text -out /dev/null -CAfile own.pem -attime'
  expect(desk.accepts(...verify.split(' '), epoch)).toBe(true)
  expect(desk.accepts(...verify.split(' '), String(now.getTime() / 1000 + 401 * 86_400))).toBe(false)
})

test.each([
  ['rsa-3072', '-sha256'],
  ['ecdsa-p256', '-sha256'],
] as [KeyKind, string][])('a signer of %s signs what openssl dgst verifies', async (kind, digest) => {
  const desk = openDesk()
  const identity = await made[kind]
  const signer = makeSigner(identity, now)
  expect([signer.algorithm, signer.digest]).toEqual([kind === 'rsa-3072' ? 'rsa-pkcs1' : 'ecdsa-p256', 'sha-256'])
  desk.put('own.pem', pem('CERTIFICATE', identity.certificate))
  desk.put('public.pem', desk.openssl('x509', '-in', 'own.pem', '-noout', '-pubkey'))
  desk.put('text', 'a manifest\n')
  desk.put('signature', await signer.sign(Buffer.from('a manifest\n')))
  expect(desk.openssl('dgst', digest, '-verify', 'public.pem', '-signature', 'signature', 'text')).toContain('OK')
})

test.each(keyKinds)('OpenSSL verifies a request for %s', async (kind) => {
  const desk = openDesk()
  const { key } = await made[kind]
  desk.put('own.csr', pem('CERTIFICATE REQUEST', await createRequest(key, subject)))
  const text = desk.openssl(...'req -in own.csr -noout -verify -text -nameopt RFC2253,utf8,-esc_msb'.split(' '))
  expect(text).toContain('verify OK')
  expect(text).toContain('Subject: CN=Tamsin Orrell-Žák,OU=Bay 3,O=Fernhollow Calibration,C=IE')
  expect(text).toMatch(/Key Usage: critical\s+Digital Signature, Non Repudiation\n/)
  expect(text).toContain('email:bay3@fernhollow.example')
})

test('serial numbers are positive, 16 bytes long and never the same', async () => {
  const { key } = await createIdentity('ecdsa-p256', subject, { now, days: 1 })
  const serials = new Set<string>()
  for (let count = 0; count < 40; count++) {
    const { serial } = describeCertificate(await createCertificate(key, subject, { now, days: 1 }))
    expect(serial).toMatch(/^[4-7][0-9a-f]{31}$/)
    serials.add(serial)
  }
  expect(serials.size).toBe(40)
})

test('a certificate that lasts beyond 2049 says so in the longer form of times', async () => {
  const desk = openDesk()
  const late = new Date('2049-12-31T12:00:00Z')
  const { certificate } = await createIdentity('ecdsa-p256', { commonName: 'Late' }, { now: late, days: 1 })
  desk.put('own.der', certificate)
  const parsed = desk.openssl('asn1parse', '-inform', 'DER', '-in', 'own.der')
  expect(parsed).toMatch(/UTCTIME\s+:491231110000Z/)
  expect(parsed).toMatch(/GENERALIZEDTIME\s+:20500101120000Z/)
})

test('a description says what is in the certificate', async () => {
  const desk = openDesk()
  const { certificate } = await createIdentity('ecdsa-p256', subject, { now, days: 30 })
  const description = describeCertificate(certificate)
  expect(description.subject).toEqual([
    { label: 'country', text: 'IE' },
    { label: 'organization', text: 'Fernhollow Calibration' },
    { label: 'unit', text: 'Bay 3' },
    { label: 'common name', text: 'Tamsin Orrell-Žák' },
  ])
  expect(description).toMatchObject({ email: subject.email, key: 'ecdsa-p256', isSelfIssued: true })
  expect([description.validFrom, description.validUntil].map((time) => time.toISOString())).toEqual([
    '2026-11-25T08:00:00.000Z',
    '2026-12-25T09:00:00.000Z',
  ])
  desk.put('own.der', certificate)
  const printed = desk.openssl(...'x509 -inform DER -in own.der -noout -fingerprint -sha256'.split(' '))
  expect(printed.toLowerCase().replaceAll(':', '')).toContain(description.fingerprint)
})

test.each([
  [{ commonName: '' }, 'the common name is empty'],
  [{ commonName: ' Orrell' }, 'begins or ends with a space'],
  [{ commonName: 'x'.repeat(65) }, 'more than 64 characters'],
  [{ commonName: 'Orrell\u202e' }, 'does not show'],
  [{ commonName: 'Orrell\u0000' }, 'does not show'],
  [{ commonName: 'Orrell\ud800' }, 'does not show'],
  [{ commonName: 'Orrell', organization: ' ' }, 'the organization is empty'],
  [{ commonName: 'Orrell', country: 'ie' }, 'no country code'],
  [{ commonName: 'Orrell', email: 'orrell' }, 'no e-mail address'],
  [{ commonName: 'Orrell', email: 'örrell@fernhollow.example' }, 'no e-mail address'],
])('a subject that no certificate can hold is refused: %j', async (unusable, because) => {
  const made = createIdentity('ecdsa-p256', unusable, { now, days: 30 })
  await expect(made).rejects.toThrow(IdentityError)
  await expect(made).rejects.toMatchObject({ code: 'subject-unusable', message: expect.stringContaining(because) })
})

test.each([0, -1, 1.5, 3651, Number.NaN])('a validity of %d days is refused', async (days) => {
  await expect(createIdentity('ecdsa-p256', subject, { now, days })).rejects.toMatchObject({
    code: 'validity-unusable',
  })
})

test('bytes that are no certificate are not described', () => {
  for (const bytes of [Buffer.alloc(0), Buffer.from('no certificate'), Buffer.from('3003020101', 'hex')])
    expect(() => describeCertificate(bytes)).toThrow(expect.objectContaining({ code: 'certificate-unusable' }))
})
