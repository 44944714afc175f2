/** Name constraints (RFC 5280, 4.2.1.10), beside what `openssl verify` says of the same certificates. */
import { afterAll, beforeAll, expect, test } from 'vitest'
import { parseCertificate } from '../../../src/seal/certificates/certificate.ts'
import { findPath } from '../../../src/seal/certificates/path.ts'
import { anyAlgorithm } from '../../../src/seal/pdf/reading/index.ts'
import { readTrustFiles } from '../../../src/seal/trust.ts'
import { type Desk, openDesk } from '../desk.ts'

let desk: Desk
const disposals: (() => void)[] = []
beforeAll(() => {
  desk = openDesk((dispose) => disposals.push(dispose))
  for (const name of ['root', 'fenced', 'leaf'])
    desk.openssl('genpkey', '-algorithm', 'EC', '-pkeyopt', 'ec_paramgen_curve:P-256', '-out', `${name}.key`)
  desk.put('root.cnf', '[req]\ndistinguished_name=n\n[n]\n[x]\nbasicConstraints=critical,CA:TRUE\n')
  desk.openssl(
    ...['req', '-x509', '-new', '-key', 'root.key', '-subj', '/CN=Root', '-days', '30', '-out', 'root.pem'],
    ...['-config', 'root.cnf', '-extensions', 'x'],
  )
})
afterAll(() => {
  for (const dispose of disposals) dispose()
})

function issue(name: string, issuer: string, subject: string, extensions: string): void {
  desk.put(`${name}.ext`, extensions)
  desk.openssl(
    ...['req', '-new', '-key', `${name}.key`, '-subj', subject, '-out', `${name}.csr`, '-config', 'root.cnf'],
  )
  desk.openssl(
    ...['x509', '-req', '-in', `${name}.csr`, '-CA', `${issuer}.pem`, '-CAkey', `${issuer}.key`, '-days', '30'],
    ...['-CAcreateserial', '-extfile', `${name}.ext`, '-out', `${name}.pem`],
  )
}

const read = (name: string) =>
  readTrustFiles([{ path: name, data: desk.get(`${name}.pem`) }]).certificates.map(parseCertificate)

const desks = '/O=Larkfield Sensor Works/CN=Desk'

test.each([
  // [constraint, subject, alternative names, held]
  ['permitted;dirName:fence', desks, null, true],
  ['permitted;dirName:fence', '/O=LARKFIELD  sensor works/CN=Desk', null, true],
  ['permitted;dirName:fence', '/O=Larkfield/CN=Desk', null, false],
  ['permitted;dirName:fence', '/CN=Desk/O=Larkfield Sensor Works', null, false],
  ['excluded;dirName:fence', desks, null, false],
  ['excluded;dirName:fence', '/O=Another/CN=Desk', null, true],
  ['permitted;DNS:larkfield.example', desks, 'DNS:desk.larkfield.example', true],
  ['permitted;DNS:larkfield.example', desks, 'DNS:LARKFIELD.example', true],
  ['permitted;DNS:larkfield.example', desks, 'DNS:notlarkfield.example', false],
  ['permitted;DNS:larkfield.example', desks, 'email:desk@elsewhere.example', true],
  ['excluded;DNS:larkfield.example', desks, 'DNS:a.b.larkfield.example', false],
  ['permitted;DNS:a.example,permitted;DNS:b.example', desks, 'DNS:x.b.example', true],
  ['permitted;DNS:a.example,excluded;DNS:x.a.example', desks, 'DNS:y.x.a.example', false],
  ['permitted;email:larkfield.example', desks, 'email:desk@larkfield.example', true],
  ['permitted;email:larkfield.example', desks, 'email:desk@sub.larkfield.example', false],
  ['permitted;email:.larkfield.example', desks, 'email:desk@sub.larkfield.example', true],
  ['permitted;email:.larkfield.example', desks, 'email:desk@larkfield.example', false],
  ['permitted;email:desk@larkfield.example', desks, 'email:desk@larkfield.example', true],
  ['permitted;email:desk@larkfield.example', desks, 'email:other@larkfield.example', false],
  ['permitted;email:larkfield.example', `${desks}/emailAddress=desk@elsewhere.example`, null, false],
  ['permitted;email:larkfield.example', `${desks}/emailAddress=desk@larkfield.example`, null, true],
  ['permitted;URI:larkfield.example', desks, 'URI:https://larkfield.example/records', true],
  ['permitted;URI:larkfield.example', desks, 'URI:https://sub.larkfield.example/records', false],
  ['permitted;URI:.larkfield.example', desks, 'URI:https://sub.larkfield.example:8443/records', true],
  ['permitted;URI:larkfield.example', desks, 'URI:urn:larkfield', false],
  ['permitted;IP:192.0.2.0/255.255.255.0', desks, 'IP:192.0.2.77', true],
  ['permitted;IP:192.0.2.0/255.255.255.0', desks, 'IP:192.0.3.77', false],
  ['excluded;IP:192.0.2.0/255.255.255.0', desks, 'IP:192.0.2.77', false],
  ['excluded;IP:2001:db8::/ffff:ffff::', desks, 'IP:2001:db8::7', false],
  ['permitted;IP:192.0.2.0/255.255.255.0', desks, 'IP:2001:db8::7', false],
  // A kind of name that is not compared: refused where it stands beneath, and harmless where it does not.
  ['permitted;RID:1.2.3.4', desks, 'RID:1.2.3.4', false],
  ['permitted;RID:1.2.3.4', desks, 'DNS:desk.example', true],
] as const)('%s, %s, %s: held is %s', (constraint, subject, names, held) => {
  const above = `basicConstraints=critical,CA:TRUE\nnameConstraints=critical,${constraint}\n[fence]\nO=Larkfield Sensor Works\n`
  issue('fenced', 'root', '/CN=Fenced', above)
  issue('leaf', 'fenced', subject, `basicConstraints=CA:FALSE\n${names === null ? '' : `subjectAltName=${names}\n`}`)
  const [leaf] = read('leaf')
  if (leaf === undefined) throw new Error('no certificate')
  const trust = readTrustFiles([{ path: 'root.pem', data: desk.get('root.pem') }])
  const at = new Date(Date.now() + 60_000)
  const path = findPath({ leaf, carried: read('fenced'), trust, at, purpose: 'document', policy: anyAlgorithm })
  expect([path.state, path.code]).toEqual(held ? ['holds', 'trusted'] : ['broken', 'name-not-permitted'])
  expect(desk.accepts('verify', '-CAfile', 'root.pem', '-untrusted', 'fenced.pem', 'leaf.pem')).toBe(held)
})
