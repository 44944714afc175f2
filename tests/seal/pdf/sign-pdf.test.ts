/** Signed PDFs, judged by poppler (NSS), OpenSSL, qpdf, pdf-lib and pdfjs. */
import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { PDFDocument } from '@cantoo/pdf-lib'
import type { BaseBlock, Constructed } from 'asn1js'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, onTestFinished, test, vi } from 'vitest'
import { issue, makeRoot, startTimeAuthority, type TimeAuthority } from '../../../examples/time-authority.ts'
import { readReportFonts } from '../../../src/io/shipped.ts'
import { renderPdf } from '../../../src/report/pdf.ts'
import { derOf, explicit, members, only, parseBer, sequence } from '../../../src/seal/ber.ts'
import { verifySigned } from '../../../src/seal/cms/verify.ts'
import { createIdentity, type Identity, makeSigner, openIdentity } from '../../../src/seal/identity/index.ts'
import { examinePdfSignatures } from '../../../src/seal/pdf/reading/index.ts'
import { signPdf } from '../../../src/seal/pdf/sign-pdf.ts'
import { createStampQuery, unwrapToken } from '../../../src/seal/stamp/exchange.ts'
import { makeFullReport } from '../../report/invented.ts'
import { type Desk, openDesk } from '../desk.ts'
import { pem, subject } from '../identity/invented.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const policy = [
  { name: 'sha-256', basis: 'a test' },
  { name: 'rsa-pkcs1', leastBits: 2048, basis: 'a test' },
  { name: 'ecdsa-p256', basis: 'a test' },
] as const

const words = (line: string): string[] => line.split(' ')

// NSS and OpenSSL judge certificates by the machine's clock.
const time = new Date(Math.floor(Date.now() / 1000) * 1000)
const kinds = ['rsa-3072', 'ecdsa-p256'] as const
const identities = new Map<string, Identity>()
let report: Uint8Array

beforeAll(async () => {
  report = await renderPdf(makeFullReport(), { fonts: await readReportFonts() })
  for (const kind of kinds) identities.set(kind, await createIdentity(kind, subject, { now: time, days: 30 }))
})

const identityOf = (kind: string): Identity => identities.get(kind) as Identity
const signerOf = (kind: string) => makeSigner(identityOf(kind), time)

/** `own.pem`, and a store of NSS (`sql:store`) that trusts it as a peer. */
function trust(desk: Desk, kind: string): void {
  desk.put('own.pem', pem('CERTIFICATE', identityOf(kind).certificate))
  desk.run('mkdir', 'store')
  desk.run('certutil', ...words('-N -d sql:store --empty-password'))
  desk.run('certutil', ...words('-A -d sql:store -n own -t ,P, -i own.pem'))
}

const judge = (desk: Desk, name: string): string => desk.run('pdfsig', '-nssdir', 'sql:store', name)

/** The signature's place by its own byte range, and what is there. */
function takeApart(signed: Uint8Array) {
  const text = Buffer.from(signed).toString('latin1')
  const [, ...numbers] = /\/ByteRange \[(\d+) (\d+) (\d+) (\d+)\] *\n/.exec(text) ?? []
  const [start = -1, length = -1, second = -1, rest = -1] = numbers.map(Number)
  const hex = text.slice(length + 1, second - 1)
  const padded = Buffer.from(hex, 'hex')
  const size = padded.readUInt16BE(2) + 4
  return {
    range: [start, length, second, rest],
    brackets: (text[length] ?? '') + text[second - 1],
    signature: padded.subarray(0, size),
    padding: padded.subarray(size),
    covered: Buffer.concat([Buffer.from(signed.subarray(0, length)), Buffer.from(signed.subarray(second))]),
  }
}

describe.each(kinds)('a report signed with %s', (kind) => {
  let signed: Uint8Array
  beforeAll(async () => {
    signed = await signPdf(report, { signer: signerOf(kind), time, reason: 'Sealed with its packet, Žák' })
  })

  test('is valid, trusted and signed as a whole to poppler', () => {
    const desk = openDesk()
    trust(desk, kind)
    desk.put('signed.pdf', signed)
    const judged = judge(desk, 'signed.pdf')
    expect(judged).toContain('Signature Type: ETSI.CAdES.detached')
    expect(judged).toContain('Signature Validation: Signature is Valid.')
    expect(judged).toContain('Certificate Validation: Certificate is Trusted.')
    expect(judged).toContain('Total document signed')
    expect(judged).toContain('Signer Certificate Common Name: Tamsin Orrell-Žák')
    expect(judged).toContain('Signing Hash Algorithm: SHA-256')
    expect(judged.match(/Signature #/g)).toHaveLength(1)
  })

  test('holds a CMS that OpenSSL verifies, with the attributes that PAdES asks for', () => {
    const desk = openDesk()
    const { signature, covered, padding } = takeApart(signed)
    desk.put('signature.p7s', signature)
    desk.put('covered', covered)
    desk.put('own.pem', pem('CERTIFICATE', identityOf(kind).certificate))
    const verify = 'cms -verify -binary -inform DER -in signature.p7s -content covered -CAfile own.pem -out /dev/null'
    expect(desk.openssl(...words(verify))).toContain('CMS Verification successful')
    desk.openssl(...words(`${verify} -cades`))
    const printed = desk.openssl(...words('cms -cmsout -print -noout -inform DER -in signature.p7s'))
    expect([...printed.matchAll(/object: (\S+) \(/g)].map(([, name]) => name)).toEqual([
      'contentType',
      'messageDigest',
      'id-smime-aa-signingCertificateV2',
    ])
    expect(printed).not.toContain('signingTime')
    expect(padding.every((byte) => byte === 0)).toBe(true)
    desk.put('altered', Buffer.concat([covered, Buffer.of(10)]))
    expect(desk.accepts(...words(verify.replace('-content covered', '-content altered')))).toBe(false)
  })

  test('holds to the strict reading of seals, too', () => {
    const { signature, covered } = takeApart(signed)
    const question = { contentType: '1.2.840.113549.1.7.1', bound: true, carriedBound: true, unsigned: [] }
    const answer = verifySigned({ ...question, der: signature, content: covered, policy, day: '2026-11-25' })
    expect(answer).toMatchObject({ holds: true, claimedTime: null, tokens: [], digest: 'sha-256' })
  })

  test('is examined as holding over the whole file, with nothing after it', () => {
    const { certificate } = identityOf(kind)
    const trust = { certificates: [certificate], fingerprints: [] }
    const examined = examinePdfSignatures(signed, { trust, policy, at: time, file: 'report.pdf' })
    expect(examined).toHaveLength(1)
    expect(examined[0]).toMatchObject({
      end: null,
      changes: [],
      signature: {
        field: 'Seal',
        kind: 'approval',
        format: 'ETSI.CAdES.detached',
        state: 'holds',
        covers: 'whole',
        trust: { state: 'holds' },
        claimedTime: time.toISOString().replace('.000', ''),
      },
    })
  })

  test('begins with the report as it was, and covers all but the signature’s own place', () => {
    expect(Buffer.from(signed.subarray(0, report.length))).toEqual(Buffer.from(report))
    const { range, brackets } = takeApart(signed)
    const [start, length, second, rest] = range as [number, number, number, number]
    expect(start).toBe(0)
    expect(length).toBeGreaterThan(report.length)
    expect(second + rest).toBe(signed.length)
    expect(brackets).toBe('<>')
  })

  test('no byte can change unnoticed', () => {
    const desk = openDesk()
    trust(desk, kind)
    const { range, signature } = takeApart(signed)
    const [, length, second] = range as [number, number, number]
    const inValue = length + 1 + 2 * (signature.length - 10)
    // What else stands in the gap, certificates and padding, is not covered by the signature.
    const spots = fc.sample(fc.nat(signed.length - 1), { numRuns: 25, seed: 11 })
    const covered = spots.filter((spot) => spot < length || spot >= second)
    for (const spot of [...covered, length - 1, inValue, second, signed.length - 3]) {
      const damaged = Buffer.from(signed)
      damaged[spot] = spot === inValue ? (damaged[spot] === 0x30 ? 0x31 : 0x30) : (damaged[spot] as number) ^ 1
      desk.put('damaged.pdf', damaged)
      let judged = ''
      try {
        judged = judge(desk, 'damaged.pdf')
      } catch (error) {
        judged = String(error)
      }
      const holds = /Signature is Valid/.test(judged) && /Certificate is Trusted/.test(judged)
      expect(holds && judged.includes('Total document signed'), `byte ${spot}`).toBe(false)
    }
    desk.put('longer.pdf', Buffer.concat([signed, Buffer.from('\n% more\n')]))
    expect(judge(desk, 'longer.pdf')).not.toMatch(/^ +- Total document signed/m)
  })
})

test('an authority’s certificates are carried along, so that its root alone need be trusted', async () => {
  const folder = await makeRoot()
  onTestFinished(() => rmSync(folder, { recursive: true }))
  await issue(folder, { name: 'middle', section: 'middle', issuer: 'root', subject: '/CN=Larkfield Desks' })
  await issue(folder, { name: 'desk', section: 'signing', issuer: 'middle', subject: '/CN=Records desk' })
  const read = (name: string) => readFileSync(join(folder, name))
  const soon = new Date(Date.now() + 2000)
  const files = ['desk.key', 'desk.pem', 'middle.pem', 'root.pem'].map(read)
  const signer = makeSigner(await openIdentity(files, null, soon), soon)
  const desk = openDesk()
  desk.put('root.pem', read('root.pem'))
  desk.run('mkdir', 'store')
  desk.run('certutil', ...words('-N -d sql:store --empty-password'))
  desk.run('certutil', ...words('-A -d sql:store -n root -t CT,C,C -i root.pem'))
  desk.put('signed.pdf', await signPdf(report, { signer, time }))
  const judged = judge(desk, 'signed.pdf')
  expect(judged).toContain('Signature is Valid.')
  expect(judged).toContain('Certificate is Trusted.')
  expect(judged).toContain('Total document signed')
})

test('everything else that the report says stays: pages, words, structure, fonts, metadata', async () => {
  const desk = openDesk()
  desk.put('report.pdf', report)
  desk.put('signed.pdf', await signPdf(report, { signer: signerOf('ecdsa-p256'), time }))
  expect(desk.run('qpdf', '--check', 'signed.pdf')).toContain('No syntax or stream encoding errors found')
  const both = (program: string, ...options: string[]) =>
    ['report.pdf', 'signed.pdf'].map((name) => desk.run(program, ...options, name))
  const bare = (text: string) => text.replaceAll(/^(File size|Form): .*\n/gm, '')
  const [before = '', after = ''] = both('pdfinfo').map(bare)
  expect(after).toBe(before)
  expect(after).toMatch(/Tagged: +yes/)
  for (const [one, other] of [both('pdfinfo', '-struct-text'), both('pdfinfo', '-meta'), both('pdffonts')]) {
    expect(other).toBe(one)
    expect(one?.length).toBeGreaterThan(100)
  }
  desk.run('pdftotext', '-bbox', 'report.pdf', 'before.html')
  desk.run('pdftotext', '-bbox', 'signed.pdf', 'after.html')
  expect(desk.get('after.html')).toEqual(desk.get('before.html'))
  const document = await PDFDocument.load(desk.get('signed.pdf'))
  expect(
    document
      .getForm()
      .getFields()
      .map((field) => field.getName()),
  ).toEqual(['Seal'])
})

test('the same report, signer and time give the same bytes but for the signature’s value', async () => {
  const sign = (kind: string) => signPdf(report, { signer: signerOf(kind), time })
  const [rsa, again] = [await sign('rsa-3072'), await sign('rsa-3072')]
  expect(Buffer.from(again)).toEqual(Buffer.from(rsa))
  const [ecdsa, other] = [takeApart(await sign('ecdsa-p256')), takeApart(await sign('ecdsa-p256'))]
  expect(other.covered).toEqual(ecdsa.covered)
  expect(other.signature).not.toEqual(ecdsa.signature)
})

describe('a time stamp', () => {
  let authority: TimeAuthority
  beforeAll(async () => {
    authority = await startTimeAuthority()
  })
  afterAll(() => authority.close())

  /** The token, and what it was asked for, are kept for the test. */
  function stampAt(desk: Desk) {
    return async (bytes: Uint8Array): Promise<Uint8Array> => {
      const { der } = createStampQuery(bytes, Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8))
      const token = unwrapToken(await authority.answer(der))
      desk.put('stamped', bytes)
      desk.put('token', token)
      return token
    }
  }

  test.each(kinds)('over the signature with %s is carried in it, and verified by OpenSSL', async (kind) => {
    const desk = openDesk()
    trust(desk, kind)
    const stamp = stampAt(desk)
    const signed = await signPdf(report, { signer: signerOf(kind), time, stamp })
    desk.put('signed.pdf', signed)
    const judged = judge(desk, 'signed.pdf')
    expect(judged).toContain('Signature is Valid.')
    expect(judged).toContain('Total document signed')
    expect(desk.run('qpdf', '--check', 'signed.pdf')).toContain('No syntax or stream encoding errors found')
    const { signature, covered } = takeApart(signed)
    desk.put('signature.p7s', signature)
    desk.put('covered', covered)
    const verify = 'cms -verify -binary -inform DER -in signature.p7s -content covered -CAfile own.pem -out /dev/null'
    expect(desk.accepts(...words(verify))).toBe(true)
    const printed = desk.openssl(...words('cms -cmsout -print -noout -inform DER -in signature.p7s'))
    const [, unsigned = ''] = printed.split('unsignedAttrs:')
    expect(unsigned).toContain('id-smime-aa-timeStampToken (1.2.840.113549.1.9.16.2.14)')
    const token = desk.get('token')
    const at = signature.indexOf(token)
    expect(at).toBeGreaterThan(0)
    // The octet string before the unsigned attributes is the signature's value, and that is what was stamped.
    const value = desk.get('stamped')
    expect(signature.lastIndexOf(value, at)).toBeGreaterThan(0)
    desk.put('public.pem', desk.openssl(...words('x509 -in own.pem -noout -pubkey')))
    desk.openssl(...words('ts -verify -data stamped -in token -token_in -CAfile'), authority.root)
  })

  test('over something else is refused', async () => {
    const stamp = stampAt(openDesk())
    const others = [
      () => stamp(Buffer.from('something else')),
      async () => new Uint8Array(Buffer.from('no token')),
      async () => takeApart(await signPdf(report, { signer: signerOf('ecdsa-p256'), time })).signature,
    ]
    for (const other of others)
      await expect(signPdf(report, { signer: signerOf('ecdsa-p256'), time, stamp: other })).rejects.toMatchObject({
        code: 'stamp-of-something-else',
      })
  })

  test('that does not fit is refused, and not cut', async () => {
    const stamp = stampAt(openDesk())
    const grow = async (bytes: Uint8Array) => {
      const [type, content] = members(parseBer(await stamp(bytes)))
      const parts = members(only(content))
      const certificates = parts[3] as Constructed
      const [first] = certificates.valueBlock.value
      certificates.valueBlock.value.push(...Array.from({ length: 60 }, () => first as BaseBlock))
      return derOf(sequence(type as BaseBlock, explicit(0, sequence(...parts))))
    }
    await expect(signPdf(report, { signer: signerOf('ecdsa-p256'), time, stamp: grow })).rejects.toMatchObject({
      code: 'signature-too-long',
    })
  })
})

describe('PDFs of other programs', () => {
  const draw = async (useObjectStreams: boolean) => {
    const document = await PDFDocument.create()
    for (const word of ['one', 'two']) document.addPage([300, 200]).drawText(word)
    return document.save({ useObjectStreams })
  }
  const sign = (bytes: Uint8Array) => signPdf(bytes, { signer: signerOf('ecdsa-p256'), time })

  test('with cross-reference tables are signed: plain, updated, linearised', async () => {
    const desk = openDesk()
    trust(desk, 'ecdsa-p256')
    const plain = await draw(false)
    const updated = await PDFDocument.load(plain, { forIncrementalUpdate: true })
    updated.getPage(0).drawText('later', { y: 50 })
    desk.put('plain.pdf', plain)
    desk.put('updated.pdf', await updated.commit({ useObjectStreams: false }))
    desk.run('qpdf', '--linearize', '--object-streams=disable', 'plain.pdf', 'linear.pdf')
    for (const name of ['plain', 'updated', 'linear']) {
      const before = desk.get(`${name}.pdf`)
      const signed = await sign(before)
      expect(Buffer.from(signed.subarray(0, before.length))).toEqual(before)
      desk.put('signed.pdf', signed)
      const judged = judge(desk, 'signed.pdf')
      expect(judged).toContain('Signature is Valid.')
      expect(judged).toContain('Total document signed')
      desk.run('qpdf', '--check', 'signed.pdf')
      expect(desk.run('pdftotext', 'signed.pdf', '-')).toBe(desk.run('pdftotext', `${name}.pdf`, '-'))
    }
  })

  test('are refused where they cannot be signed so', async () => {
    const desk = openDesk()
    desk.put('plain.pdf', await draw(false))
    desk.run('qpdf', ...words('--encrypt u o 256 -- --object-streams=disable plain.pdf closed.pdf'))
    const once = await sign(desk.get('plain.pdf'))
    for (const [bytes, code] of [
      [await draw(true), 'pdf-unusable'],
      [desk.get('closed.pdf'), 'pdf-unusable'],
      [desk.get('plain.pdf').subarray(0, 400), 'pdf-unusable'],
      [Buffer.from('no PDF'), 'pdf-unusable'],
      [Buffer.alloc(0), 'pdf-unusable'],
      [once, 'pdf-has-form'],
    ] as const)
      await expect(sign(bytes)).rejects.toMatchObject({ code, mend: expect.stringMatching(/./) })
  })

  test('a damaged file is refused in words, or signed without a change to it', async () => {
    const plain = await draw(false)
    await fc.assert(
      fc.asyncProperty(fc.nat(plain.length - 1), fc.nat(255), async (at, value) => {
        const damaged = Uint8Array.from(plain)
        damaged[at] = value
        const outcome = await sign(damaged).catch((error: unknown) => error)
        if (outcome instanceof Error) expect(outcome).toMatchObject({ name: 'SealError', code: expect.any(String) })
        else expect(Buffer.from((outcome as Uint8Array).subarray(0, plain.length))).toEqual(Buffer.from(damaged))
      }),
      { numRuns: 300, seed: 5 },
    )
  })
})
