/** Time stamps in PDFs, over a signature and over the file itself, by a real authority on loopback. */
import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { startTimeAuthority, type TimeAuthority } from '../../../../examples/time-authority.ts'
import { createIdentity, makeSigner } from '../../../../src/seal/identity/index.ts'
import { anyAlgorithm, examinePdfSignatures } from '../../../../src/seal/pdf/reading/index.ts'
import { signPdf } from '../../../../src/seal/pdf/sign-pdf.ts'
import type { TrustList } from '../../../../src/seal/signer.ts'
import { createStampQuery, unwrapToken } from '../../../../src/seal/stamp/exchange.ts'
import { readTrustFiles } from '../../../../src/seal/trust.ts'
import { subject } from '../../identity/invented.ts'
import { makePaper, sign } from './signed-pdf.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

const nobody: TrustList = { certificates: [], fingerprints: [] }
const now = new Date(Math.floor(Date.now() / 1000) * 1000)
let authority: TimeAuthority
let trusted: TrustList

beforeAll(async () => {
  authority = await startTimeAuthority()
  trusted = readTrustFiles([{ path: 'root.pem', data: readFileSync(authority.root) }])
})
afterAll(() => authority.close())

const stamp = async (bytes: Uint8Array): Promise<Uint8Array> =>
  unwrapToken(await authority.answer(createStampQuery(bytes, Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8)).der))

const examine = (pdf: Uint8Array, trust: TrustList, at = new Date(Date.now() + 60_000)) =>
  examinePdfSignatures(pdf, { trust, policy: anyAlgorithm, at, file: 'report.pdf' }).map(({ signature }) => signature)

test('a time stamp over the file', async () => {
  const pdf = await sign(await makePaper(), { format: 'ETSI.RFC3161', room: 6000, sign: stamp })
  expect(examine(pdf, trusted)).toMatchObject([
    { kind: 'time-stamp', state: 'holds', covers: 'whole', trust: { state: 'holds' }, stamp: { digest: 'sha-256' } },
  ])
  expect(examine(pdf, nobody)).toMatchObject([{ state: 'holds', trust: { state: 'doubtful' } }])
  const other = await sign(await makePaper({ pages: 2 }), {
    format: 'ETSI.RFC3161',
    room: 6000,
    sign: () => stamp(Buffer.from('another file')),
  })
  expect(examine(other, trusted)).toMatchObject([{ state: 'broken', code: 'imprint-differs' }])
})

test('a time stamp over a signature carries it past the end of its certificate', async () => {
  const identity = await createIdentity('ecdsa-p256', subject, { now, days: 30 })
  const plain = await makePaper({ form: false })
  const signer = makeSigner(identity, now)
  const [stamped, bare] = [
    await signPdf(plain, { signer, time: now, stamp }),
    await signPdf(plain, { signer, time: now }),
  ]
  const later = new Date(now.getTime() + 60 * 86_400_000)
  const trust = { ...trusted, certificates: [...trusted.certificates, identity.certificate] }
  expect(examine(stamped, trust, later)).toMatchObject([
    { state: 'holds', covers: 'whole', trust: { state: 'holds' }, stamp: { digest: 'sha-256' } },
  ])
  expect(examine(bare, trust, later)).toMatchObject([
    { state: 'holds', covers: 'whole', trust: { state: 'broken', code: 'expired' }, stamp: null },
  ])
})
