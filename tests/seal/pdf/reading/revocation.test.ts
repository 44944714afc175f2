/** Revocation lists and responses by OpenSSL, carried in the file beside the signature (DSS) or in the signature. */
import { execFileSync } from 'node:child_process'
import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { issue, makeRoot } from '../../../../examples/time-authority.ts'
import { anyAlgorithm, examinePdfSignatures } from '../../../../src/seal/pdf/reading/index.ts'
import { readTrustFiles } from '../../../../src/seal/trust.ts'
import { find, makePaper, nextNumber, put, sign, update } from './signed-pdf.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

let folder: string
let signed: Uint8Array

const openssl = (...words: string[]): void => {
  execFileSync('openssl', words, { cwd: folder, stdio: 'pipe' })
}
const get = (name: string): Uint8Array => new Uint8Array(readFileSync(join(folder, name)))

const configuration = `
[ ca ]
default_ca = root
[ root ]
database = index.txt
certificate = root.pem
private_key = root.key
default_md = sha256
default_crl_days = 7
crlnumber = crlnumber
`

/** A line of the index that `openssl ca` and `openssl ocsp` answer from. */
function writeIndex(revoked: boolean): void {
  const serial = execFileSync('openssl', ['x509', '-in', 'desk.pem', '-noout', '-serial'], {
    cwd: folder,
    encoding: 'utf8',
  })
  const number = serial.replace('serial=', '').trim()
  const [state, when] = revoked ? ['R', '260901000000Z'] : ['V', '']
  writeFileSync(join(folder, 'index.txt'), `${state}\t400101000000Z\t${when}\t${number}\tunknown\t/CN=Desk\n`)
}

function makeList(name: string, revoked: boolean): Uint8Array {
  writeIndex(revoked)
  openssl('ca', '-gencrl', '-config', 'ca.cnf', '-out', `${name}.pem`)
  openssl('crl', '-in', `${name}.pem`, '-outform', 'DER', '-out', `${name}.der`)
  return get(`${name}.der`)
}

function makeResponse(name: string, revoked: boolean): Uint8Array {
  writeIndex(revoked)
  openssl('ocsp', '-issuer', 'root.pem', '-cert', 'desk.pem', '-no_nonce', '-reqout', 'request')
  openssl(
    ...['ocsp', '-index', 'index.txt', '-rsigner', 'root.pem', '-rkey', 'root.key', '-CA', 'root.pem'],
    ...['-reqin', 'request', '-ndays', '7', '-respout', name],
  )
  return get(name)
}

beforeAll(async () => {
  folder = await makeRoot()
  await issue(folder, { name: 'desk', section: 'signing', issuer: 'root', subject: '/CN=Desk' })
  await issue(folder, { name: 'other', section: 'signing', issuer: 'root', subject: '/CN=Other desk' })
  writeFileSync(join(folder, 'ca.cnf'), configuration)
  writeFileSync(join(folder, 'crlnumber'), '01\n')
  signed = await sign(await makePaper(), {
    sign(covered) {
      writeFileSync(join(folder, 'covered'), covered)
      openssl(
        ...['cms', '-sign', '-binary', '-cades', '-in', 'covered', '-outform', 'DER', '-out', 'signature'],
        ...['-signer', 'desk.pem', '-inkey', 'desk.key', '-certfile', 'root.pem'],
      )
      return get('signature')
    },
  })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Puts it into the document security store of a later revision. */
function carry(key: 'CRLs' | 'OCSPs', der: Uint8Array): Uint8Array {
  const [root, catalog] = find(signed, 'Catalog')
  const added = nextNumber(signed)
  const body = `<< /Length ${der.length} >>\nstream\n${Buffer.from(der).toString('latin1')}\nendstream`
  return update(
    signed,
    new Map([
      [root, put(catalog, 'DSS', `<< /${key} [${added} 0 R] >>`)],
      [added, body],
    ]),
  )
}

function examine(pdf: Uint8Array, at = new Date(Date.now() + 60_000)) {
  const trust = readTrustFiles([{ path: 'root.pem', data: readFileSync(join(folder, 'root.pem')) }])
  const [one] = examinePdfSignatures(pdf, { trust, policy: anyAlgorithm, at, file: 'report.pdf' })
  return {
    trust: one?.signature.trust?.state,
    ...one?.signature.revocation,
    changes: one?.changes.map(({ effect }) => effect),
  }
}

test('none is carried: it cannot be told', () => {
  expect(examine(signed)).toMatchObject({ trust: 'holds', state: 'doubtful', code: 'no-answer' })
})

test.each([
  ['CRLs', makeList],
  ['OCSPs', makeResponse],
] as const)('%s in the file', (key, make) => {
  const good = carry(key, make('good', false))
  expect(examine(good)).toMatchObject({ trust: 'holds', state: 'holds', code: 'not-revoked', changes: ['harmless'] })
  expect(examine(carry(key, make('revoked', true)))).toMatchObject({ state: 'broken', code: 'revoked' })
  const later = new Date(Date.now() + 30 * 86_400_000)
  expect(examine(good, later)).toMatchObject({ state: 'doubtful', code: 'no-current-answer' })
})

test.each([
  ['CRLs', makeList],
  ['OCSPs', makeResponse],
] as const)('%s that were tampered with say nothing', (key, make) => {
  const der = make('tampered', false)
  const changed = Uint8Array.from(der)
  // Within what is signed, not in a certificate that is carried along.
  changed[70] = (changed[70] as number) ^ 1
  expect(examine(carry(key, changed))).toMatchObject({ state: 'doubtful', code: 'no-current-answer' })
  expect(examine(carry(key, der.slice(0, 40)))).toMatchObject({ state: 'doubtful', code: 'no-current-answer' })
})

test('a response about another certificate says nothing', () => {
  writeIndex(false)
  openssl('ocsp', '-issuer', 'root.pem', '-cert', 'other.pem', '-no_nonce', '-reqout', 'request')
  openssl(
    ...['ocsp', '-index', 'index.txt', '-rsigner', 'root.pem', '-rkey', 'root.key', '-CA', 'root.pem'],
    ...['-reqin', 'request', '-ndays', '7', '-respout', 'elsewhere'],
  )
  expect(examine(carry('OCSPs', get('elsewhere')))).toMatchObject({ state: 'doubtful', code: 'no-current-answer' })
})
