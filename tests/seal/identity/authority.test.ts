/** Identities that an authority vouches for, made by OpenSSL: chains, answers to requests, and keys as PEM. */
import { beforeAll, describe, expect, test, vi } from 'vitest'
import {
  adoptCertificates,
  createIdentity,
  createRequest,
  describeCertificate,
  type Identity,
  keyKinds,
  makeSigner,
  openIdentity,
  packPkcs12,
  readCertificates,
  subjectOf,
  wantsPassphrase,
} from '../../../src/seal/identity/index.ts'
import { type Desk, openDesk } from '../desk.ts'
import { fewRounds, passphrase, pem, subject } from './invented.ts'

// Long keys take seconds to find, and so does the derivation of keys from passphrases.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const words = (line: string): string[] => line.split(' ')

/** A root and an authority under it, in `root.pem` and `middle.pem`. */
function foundAuthority(desk: Desk): void {
  desk.put('ca.ext', 'basicConstraints=critical,CA:TRUE\nkeyUsage=critical,keyCertSign,cRLSign\n')
  desk.put('root.cnf', '[req]\ndistinguished_name=dn\n[dn]\n[ca]\nbasicConstraints=critical,CA:TRUE\n')
  const key = words('-newkey ec -pkeyopt ec_paramgen_curve:P-384 -nodes -batch -config root.cnf')
  desk.openssl(
    'req',
    '-x509',
    ...key,
    ...words('-extensions ca -days 7300 -keyout root.key -out root.pem -subj /CN=Root'),
  )
  desk.openssl('req', ...key, ...words('-keyout middle.key -out middle.csr -subj /CN=Middle'))
  issue(desk, 'middle', 'root', 'ca.ext')
}

/** `NAME.pem` for `NAME.csr`, by the authority `by`. */
function issue(desk: Desk, name: string, by: string, extensions: string, ...options: string[]): void {
  const files = words(`-req -in ${name}.csr -CA ${by}.pem -CAkey ${by}.key -out ${name}.pem -extfile ${extensions}`)
  desk.openssl('x509', ...files, ...(options.length > 0 ? options : ['-days', '3650']))
}

/** Validity by OpenSSL begins when the test runs, so these are judged a minute later. */
const soon = () => new Date(Date.now() + 60_000)

describe.each(keyKinds)('an authority answers a request for %s', (kind) => {
  let own: Identity
  beforeAll(async () => {
    own = await createIdentity(kind, subject, { now: new Date(), days: 30 })
  })

  async function ask(): Promise<Desk> {
    const desk = openDesk()
    foundAuthority(desk)
    const asked = subjectOf(own.certificate)
    expect(asked).toEqual(subject)
    desk.put('leaf.csr', pem('CERTIFICATE REQUEST', await createRequest(own.key, asked ?? subject)))
    desk.put('leaf.ext', 'keyUsage=critical,digitalSignature,nonRepudiation\nextendedKeyUsage=emailProtection\n')
    issue(desk, 'leaf', 'middle', 'leaf.ext')
    return desk
  }

  test('in PEM, in any order, and the chain is put in order', async () => {
    const desk = await ask()
    const answer = Buffer.concat(['root.pem', 'leaf.pem', 'middle.pem'].map((name) => desk.get(name)))
    const adopted = adoptCertificates(own, await readCertificates(answer), soon())
    expect(adopted.key.equals(own.key)).toBe(true)
    const chain = [adopted.certificate, ...adopted.issuers].map((der) => describeCertificate(der))
    expect(chain.map((each) => each.subject.at(-1)?.text)).toEqual([subject.commonName, 'Middle', 'Root'])
    expect(chain.map((each) => each.isSelfIssued)).toEqual([false, false, true])

    desk.put('new.p12', await packPkcs12(adopted, subject.commonName, passphrase, fewRounds))
    desk.openssl('pkcs12', '-in', 'new.p12', '-passin', `pass:${passphrase}`, '-nodes', '-out', 'new.pem')
    expect(desk.get('new.pem').toString().split('BEGIN CERTIFICATE')).toHaveLength(4)
    desk.put('text', 'a manifest\n')
    desk.openssl(...words('cms -sign -binary -in text -signer new.pem -certfile middle.pem -outform DER -out text.p7s'))
    const verify = 'cms -verify -binary -inform DER -in text.p7s -content text -CAfile root.pem -out /dev/null'
    expect(desk.accepts(...words(verify))).toBe(true)
    const reopened = await openIdentity([desk.get('new.p12')], passphrase, soon())
    expect(makeSigner(reopened, soon())).toMatchObject({ certificate: adopted.certificate, issuers: adopted.issuers })
  })

  test('in DER, and as a bundle without signature', async () => {
    const desk = await ask()
    desk.openssl(...words('x509 -in leaf.pem -outform DER -out leaf.der'))
    desk.openssl(...words('crl2pkcs7 -nocrl -certfile leaf.pem -certfile middle.pem -out bundle.pem'))
    desk.openssl(...words('crl2pkcs7 -nocrl -certfile leaf.pem -certfile middle.pem -outform DER -out bundle.p7b'))
    for (const [name, issuers] of [
      ['leaf.der', 0],
      ['bundle.pem', 1],
      ['bundle.p7b', 1],
    ] as const) {
      const adopted = adoptCertificates(own, await readCertificates(desk.get(name)), soon())
      expect(describeCertificate(adopted.certificate).issuer.at(-1)?.text).toBe('Middle')
      expect(adopted.issuers).toHaveLength(issuers)
    }
  })

  test('with a certificate for somebody else’s key, which is refused', async () => {
    const desk = await ask()
    const answer = await readCertificates(desk.get('middle.pem'))
    expect(() => adoptCertificates(own, answer, soon())).toThrow(
      expect.objectContaining({ code: 'certificate-of-another-key', message: expect.stringContaining('CN=Middle') }),
    )
  })

  test('of several certificates for the key the one in date is taken, and an authority’s before its own', async () => {
    const desk = await ask()
    const ended = desk.get('leaf.pem')
    issue(desk, 'leaf', 'middle', 'leaf.ext', '-days', '20')
    const late = new Date(Date.now() + 25 * 86_400_000)
    const key = Buffer.from(own.key.export({ type: 'pkcs8', format: 'pem' }))
    const files = [key, Buffer.from(pem('CERTIFICATE', own.certificate)), desk.get('leaf.pem')]
    const [early, later] = [await openIdentity(files, null, soon()), await openIdentity(files, null, late)]
    expect(describeCertificate(early.certificate).isSelfIssued).toBe(false)
    expect(describeCertificate(later.certificate).isSelfIssued).toBe(true)
    const longest = await openIdentity([...files, ended], null, soon())
    expect(describeCertificate(longest.certificate).validUntil > late).toBe(true)
  })
})

describe('keys and certificates as PEM', () => {
  const kinds: [string, string[], string][] = [
    ['RSA of 2048 bits', words('genpkey -algorithm RSA -pkeyopt rsa_keygen_bits:2048'), 'rsa-pkcs1'],
    ['P-256', words('genpkey -algorithm EC -pkeyopt ec_paramgen_curve:P-256'), 'ecdsa-p256'],
    ['P-384', words('genpkey -algorithm EC -pkeyopt ec_paramgen_curve:P-384'), 'ecdsa-p384'],
  ]
  const config = '[req]\ndistinguished_name=dn\n[dn]\n'

  function make(desk: Desk, generate: string[]): void {
    desk.put('req.cnf', config)
    desk.openssl(...generate, '-out', 'own.key')
    desk.openssl(...words('req -x509 -key own.key -out own.pem -days 30 -subj /CN=Own -config req.cnf'))
  }

  test.each(kinds)('%s: PKCS#8, PKCS#1 and SEC 1, encrypted or not', async (_name, generate, algorithm) => {
    const desk = openDesk()
    make(desk, generate)
    const out = ['-passout', `pass:${passphrase}`]
    const family = algorithm === 'rsa-pkcs1' ? 'rsa' : 'ec'
    desk.openssl('pkey', ...words('-in own.key -traditional -out plain.key'))
    desk.openssl('pkcs8', ...words('-topk8 -v2 aes-256-cbc -in own.key -out modern.key'), ...out)
    desk.openssl('pkcs8', ...words('-topk8 -v2 des3 -v2prf hmacWithSHA1 -in own.key -out older.key'), ...out)
    desk.openssl('pkcs8', ...words('-topk8 -v1 PBE-SHA1-3DES -in own.key -out oldest.key'), ...out)
    desk.openssl('pkey', ...words('-in own.key -traditional -aes256 -out traditional.key'), ...out)
    desk.openssl(
      family,
      ...words('-in own.key -des3 -out triple.key'),
      ...(family === 'rsa' ? ['-traditional'] : []),
      ...out,
    )
    const label = family === 'rsa' ? 'BEGIN RSA PRIVATE KEY' : 'BEGIN EC PRIVATE KEY'
    expect(desk.get('plain.key').toString()).toContain(label)
    expect(desk.get('traditional.key').toString()).toContain('Proc-Type: 4,ENCRYPTED')

    for (const name of ['own', 'plain', 'modern', 'older', 'oldest', 'traditional', 'triple']) {
      const files = [desk.get(`${name}.key`), desk.get('own.pem')]
      const encrypted = !['own', 'plain'].includes(name)
      expect(wantsPassphrase(files)).toBe(encrypted)
      const signer = makeSigner(await openIdentity(files, encrypted ? passphrase : null, soon()), soon())
      expect([signer.algorithm, signer.digest]).toEqual([algorithm, algorithm === 'ecdsa-p384' ? 'sha-384' : 'sha-256'])
      desk.put('public.pem', desk.openssl('x509', '-in', 'own.pem', '-noout', '-pubkey'))
      desk.put('signature', await signer.sign(Buffer.from('text')))
      desk.put('text', 'text')
      const digest = signer.digest.replace('-', '')
      desk.openssl('dgst', `-${digest}`, ...words('-verify public.pem -signature signature text'))
      if (!encrypted) continue
      await expect(openIdentity(files, null, soon())).rejects.toMatchObject({ code: 'passphrase-missing' })
      await expect(openIdentity(files, 'another one entirely', soon())).rejects.toMatchObject({
        code: 'passphrase-wrong',
      })
    }
  })

  test.each([
    ['RSA of 1024 bits', words('genpkey -algorithm RSA -pkeyopt rsa_keygen_bits:1024'), 'rsa-1024'],
    ['RSA for PSS alone', words('genpkey -algorithm RSA-PSS -pkeyopt rsa_keygen_bits:2048'), 'rsa-pss-2048'],
    ['P-521', words('genpkey -algorithm EC -pkeyopt ec_paramgen_curve:P-521'), 'ecdsa-p521'],
    ['secp256k1', words('genpkey -algorithm EC -pkeyopt ec_paramgen_curve:secp256k1'), 'ecdsa-secp256k1'],
    ['Ed25519', words('genpkey -algorithm ED25519'), 'ed25519'],
  ])('%s is refused by name', async (_name, generate, named) => {
    const desk = openDesk()
    make(desk, generate)
    await expect(openIdentity([desk.get('own.key'), desk.get('own.pem')], null, soon())).rejects.toMatchObject({
      code: 'key-unsupported',
      message: expect.stringContaining(` ${named} `),
    })
  })

  test('a certificate out of date, or for another purpose, does not sign', async () => {
    const desk = openDesk()
    make(desk, kinds[1]?.[1] ?? [])
    const identity = await openIdentity([desk.get('own.key'), desk.get('own.pem')], null, soon())
    expect(() => makeSigner(identity, new Date(Date.now() + 31 * 86_400_000))).toThrow(
      expect.objectContaining({ code: 'certificate-expired' }),
    )
    expect(() => makeSigner(identity, new Date(Date.now() - 86_400_000))).toThrow(
      expect.objectContaining({ code: 'certificate-not-yet-valid' }),
    )
    for (const [extension, because] of [
      ['keyUsage=critical,keyAgreement', 'is not for signatures'],
      ['extendedKeyUsage=serverAuth', 'is not for signing documents'],
    ] as const) {
      const request = words('req -x509 -key own.key -out other.pem -days 30 -subj /CN=Own -config req.cnf -addext')
      desk.openssl(...request, extension)
      const other = await openIdentity([desk.get('own.key'), desk.get('other.pem')], null, soon())
      expect(() => makeSigner(other, soon())).toThrow(
        expect.objectContaining({ code: 'certificate-not-for-signing', message: expect.stringContaining(because) }),
      )
    }
  })

  test('what is missing is named', async () => {
    const desk = openDesk()
    make(desk, kinds[1]?.[1] ?? [])
    await expect(openIdentity([desk.get('own.pem')], null, soon())).rejects.toMatchObject({ code: 'key-missing' })
    await expect(openIdentity([desk.get('own.key')], null, soon())).rejects.toMatchObject({
      code: 'certificate-missing',
    })
    for (const content of ['', 'no such thing', '\u0030\u0003\u0002\u0001\u0003'])
      await expect(openIdentity([Buffer.from(content)], null, soon())).rejects.toMatchObject({
        code: 'file-unreadable',
      })
  })
})
