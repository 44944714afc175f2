/**
 * A time-stamp authority (RFC 3161) on loopback, by OpenSSL: a root, an authority beneath it, and the stamping
 * certificate, all made anew. For tests and the demonstration; nobody should trust it.
 */
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'

const run = promisify(execFile)

export interface TimeAuthority {
  url: string
  /** PEM file of the root. */
  root: string
  folder: string
  /** The answer to a request in DER, without HTTP. */
  answer(query: Uint8Array): Promise<Uint8Array>
  close(): Promise<void>
}

const configuration = (folder: string) => `
[ tsa ]
default_tsa = desk
[ desk ]
dir = ${folder}
serial = ${folder}/serial
crypto_device = builtin
signer_cert = ${folder}/tsa.pem
certs = ${folder}/chain.pem
signer_key = ${folder}/tsa.key
signer_digest = sha256
default_policy = 1.3.6.1.4.1.99999.1
digests = sha256, sha384, sha512
accuracy = secs:1
ordering = no
tsa_name = yes
ess_cert_id_chain = yes
ess_cert_id_alg = sha256
[ req ]
distinguished_name = name
[ name ]
[ root ]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign, cRLSign
subjectKeyIdentifier = hash
[ middle ]
basicConstraints = critical, CA:TRUE, pathlen:0
keyUsage = critical, keyCertSign, cRLSign
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
[ fenced ]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign
nameConstraints = permitted;dirName:fence
[ fence ]
O = Somebody else
[ stamping ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
[ stamping-and-more ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping, emailProtection
subjectKeyIdentifier = hash
[ stamping-uncritical ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature
extendedKeyUsage = timeStamping
subjectKeyIdentifier = hash
[ stamping-by-any-key ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, keyEncipherment
extendedKeyUsage = critical, timeStamping
subjectKeyIdentifier = hash
[ signing ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature, nonRepudiation
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
`

export interface Subordinate {
  /** Base name of the files `NAME.pem` and `NAME.key` in the folder. */
  name: string
  /** Section of the configuration. */
  section:
    | 'middle'
    | 'fenced'
    | 'stamping'
    | 'stamping-and-more'
    | 'stamping-uncritical'
    | 'stamping-by-any-key'
    | 'signing'
  issuer: string
  subject: string
  days?: number
  /** As `openssl genpkey` takes it. */
  key?: readonly string[]
}

const p256 = ['-algorithm', 'EC', '-pkeyopt', 'ec_paramgen_curve:P-256']

/** A folder with a root, `root.pem` and `root.key`, and the configuration that other certificates are made by. */
export async function makeRoot(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'authority-'))
  const at = (name: string) => join(folder, name)
  await writeFile(at('authority.cnf'), configuration(folder))
  await writeFile(at('serial'), '01\n')
  await run('openssl', ['genpkey', ...p256, '-out', at('root.key')])
  await run('openssl', [
    ...[
      'req',
      '-x509',
      '-new',
      '-key',
      at('root.key'),
      '-days',
      '3650',
      '-subj',
      '/CN=Larkfield Root/O=Larkfield Time',
    ],
    ...['-config', at('authority.cnf'), '-extensions', 'root', '-out', at('root.pem')],
  ])
  return folder
}

/** A certificate by `issuer`, in the folder of `makeRoot`. */
export async function issue(folder: string, { name, section, issuer, subject, days = 3000, key = p256 }: Subordinate) {
  const at = (file: string) => join(folder, file)
  await run('openssl', ['genpkey', ...key, '-out', at(`${name}.key`)])
  await run('openssl', [
    ...['req', '-new', '-key', at(`${name}.key`), '-subj', subject, '-config', at('authority.cnf')],
    ...['-out', at(`${name}.csr`)],
  ])
  await run('openssl', [
    ...['x509', '-req', '-in', at(`${name}.csr`), '-CA', at(`${issuer}.pem`), '-CAkey', at(`${issuer}.key`)],
    ...['-CAcreateserial', '-days', String(days), '-extfile', at('authority.cnf'), '-extensions', section],
    ...['-out', at(`${name}.pem`)],
  ])
}

/** Starts the authority on a free port of 127.0.0.1. */
export async function startTimeAuthority(): Promise<TimeAuthority> {
  const folder = await makeRoot()
  await issue(folder, {
    name: 'middle',
    section: 'middle',
    issuer: 'root',
    subject: '/CN=Larkfield Stamps/O=Larkfield Time',
  })
  await issue(folder, { name: 'tsa', section: 'stamping', issuer: 'middle', subject: '/CN=Time desk/O=Larkfield Time' })
  const chain = await Promise.all(['middle', 'root'].map((name) => readFile(join(folder, `${name}.pem`), 'utf8')))
  await writeFile(join(folder, 'chain.pem'), chain.join(''))
  let last: Promise<unknown> = Promise.resolve()
  let count = 0
  // One at a time: OpenSSL rewrites the file of serial numbers.
  const answer = (query: Uint8Array): Promise<Uint8Array> => {
    const next = last.then(() => stamp(folder, query, count++))
    last = next.catch(() => {})
    return next
  }
  const server = createServer((request, response) => {
    const chunks: Buffer[] = []
    request.on('data', (chunk) => chunks.push(chunk))
    request.on('end', () => {
      answer(Buffer.concat(chunks)).then(
        (der) => response.writeHead(200, { 'content-type': 'application/timestamp-reply' }).end(der),
        () => response.writeHead(500).end(),
      )
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  return {
    url: `http://127.0.0.1:${port}/`,
    root: join(folder, 'root.pem'),
    folder,
    answer,
    close: () => close(server, folder),
  }
}

async function stamp(folder: string, query: Uint8Array, number: number): Promise<Uint8Array> {
  const [from, to] = [join(folder, `${number}.tsq`), join(folder, `${number}.tsr`)]
  await writeFile(from, query)
  await run('openssl', [
    ...['ts', '-reply', '-config', join(folder, 'authority.cnf'), '-section', 'desk', '-queryfile', from, '-out', to],
  ])
  return new Uint8Array(await readFile(to))
}

async function close(server: Server, folder: string): Promise<void> {
  server.closeAllConnections()
  await new Promise((resolve) => server.close(resolve))
  await rm(folder, { recursive: true, force: true })
}
