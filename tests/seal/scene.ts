/** An invented authority with signers beneath it, and whole bags sealed by them, for tests. */
import { createPrivateKey, sign } from 'node:crypto'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { issue, type Subordinate, startTimeAuthority, type TimeAuthority } from '../../examples/time-authority.ts'
import { openPacket } from '../../src/intake/open.ts'
import { writeBagFolder } from '../../src/io/bag-writer.ts'
import { fileSystem } from '../../src/io/files.ts'
import type { BagView } from '../../src/seal/bag/examine.ts'
import { type BagSink, type BagSource, finishBag, openPayload } from '../../src/seal/bag/write.ts'
import type { Signer, TrustList } from '../../src/seal/signer.ts'
import { acceptStamp } from '../../src/seal/stamp/accept.ts'
import { createStampQuery } from '../../src/seal/stamp/exchange.ts'
import { readTrustFiles } from '../../src/seal/trust.ts'
import { general } from '../checks/general.ts'

export const policy = general.algorithms

export interface Scene {
  authority: TimeAuthority
  /** The root of the authority. */
  trust: TrustList
  /** A signer with its issuers, made as `Subordinate` says, be it fit to sign or not. */
  sign(subordinate: Partial<Subordinate> & { name: string }): Promise<Signer>
  file(name: string): Promise<Uint8Array>
  stamp(bytes: Uint8Array): Promise<Uint8Array>
  close(): Promise<void>
}

export async function openScene(): Promise<Scene> {
  const authority = await startTimeAuthority()
  const file = async (name: string) => new Uint8Array(await readFile(join(authority.folder, name)))
  const trust = readTrustFiles([{ path: 'root.pem', data: await file('root.pem') }])
  return {
    authority,
    trust,
    file,
    async sign({ name, ...rest }) {
      const subject = `/O=Larkfield Sensor Works/CN=${name}`
      const whole = { name, section: 'signing', issuer: 'middle', subject, ...rest } as const
      await issue(authority.folder, whole)
      const key = createPrivateKey(Buffer.from(await file(`${name}.key`)))
      const [certificate = new Uint8Array()] = readPem(await file(`${name}.pem`))
      const above = whole.issuer === 'middle' ? ['middle'] : [whole.issuer, 'middle']
      const issuers = (await Promise.all(above.map((one) => file(`${one}.pem`)))).flatMap(readPem)
      const algorithm = key.asymmetricKeyType === 'rsa' ? 'rsa-pkcs1' : 'ecdsa-p256'
      const digest = 'sha-256'
      return {
        certificate,
        issuers,
        algorithm,
        digest,
        sign: async (bytes) => new Uint8Array(sign('sha256', bytes, key)),
      }
    },
    async stamp(bytes) {
      const query = createStampQuery(bytes, new Uint8Array(8).fill(9))
      return acceptStamp(await authority.answer(query.der), query, bytes, {
        where: authority.url,
        policy,
        at: new Date(),
      })
    },
    close: authority.close,
  }
}

export const readPem = (data: Uint8Array): readonly Uint8Array[] =>
  readTrustFiles([{ path: 'a.pem', data }]).certificates

const encode = (text: string) => new TextEncoder().encode(text)

export const payload = [
  { path: 'scan before.txt', text: 'VIN 1ZZTE5T11NB000421\nno codes\n' },
  { path: 'photos/Bild 1 (Größe).jpg', text: 'not really a picture' },
  { path: 'packet.yaml', text: 'packet: 1\n' },
]

export async function digestOf(bytes: Uint8Array): Promise<string> {
  return Buffer.from(await crypto.subtle.digest('SHA-256', new Uint8Array(bytes))).toString('hex')
}

export async function makeSource(signer: Signer, stamp: BagSource['stamp']): Promise<BagSource> {
  return {
    packet: 'RO 17',
    digest: `sha256:${'0'.repeat(64)}`,
    attachments: [{ path: 'report/report.json', content: encode('{}\n') }],
    tags: [{ label: 'Source-Organization', value: 'Larkfield Sensor Works' }],
    agent: 'witnessmark test',
    signed: new Date(),
    signer,
    stamp,
  }
}

export async function fillBag(sink: BagSink, source: BagSource, files = payload) {
  const received = openPayload(sink)
  received.announce(files.map(({ path }) => path))
  for (const { path, text } of files) await received.take(path, encode(text))
  return finishBag(sink, received, source)
}

/** A sealed bag in a folder of its own, gone when `remove` is called. */
export async function makeBag(signer: Signer, stamp: BagSource['stamp'], files = payload) {
  const folder = await mkdtemp(join(tmpdir(), 'bag-'))
  const bag = join(folder, 'RO 17 sealed')
  const source = await makeSource(signer, stamp)
  const filled = await writeBagFolder(bag, (sink) => fillBag(sink, source, files))
  return { folder, bag, filled, remove: () => rm(folder, { recursive: true, force: true }) }
}

export async function viewBag(path: string): Promise<BagView> {
  const { bag } = await openPacket(fileSystem, path)
  if (bag === null) throw new Error(`${path} is no bag`)
  return bag
}
