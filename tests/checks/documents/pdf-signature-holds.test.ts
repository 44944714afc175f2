import { describe, expect, it } from 'vitest'
import { pdfSignatureHolds as check } from '../../../src/checks/documents/pdf-signature-holds.ts'
import type { PdfChange, PdfSignature } from '../../../src/facts/pdf-signature.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const signer = {
  subject: 'CN=Calibration bench,O=Larkfield Sensor Works',
  issuer: 'CN=Larkfield Root',
  serial: '1f',
  fingerprint: 'ab'.repeat(32),
  validFrom: '2026-01-01T00:00:00Z',
  validUntil: '2028-01-01T00:00:00Z',
  key: 'rsa-3072',
}

const holding: PdfSignature = {
  field: 'Signature1',
  kind: 'approval',
  format: 'ETSI.CAdES.detached',
  state: 'holds',
  code: 'holds',
  text: 'The signature is one over what it covers',
  signer,
  trust: { state: 'holds', code: 'trusted', text: 'The signer is on the trust list' },
  revocation: { state: 'holds', code: 'good', text: 'The authority says that it was good' },
  claimedTime: '2026-09-01T12:00:00Z',
  stamp: null,
  permits: null,
  covers: 'whole',
  coveredBytes: 4000,
  changes: [],
}

const change = (more: Partial<PdfChange>): PdfChange => ({
  kind: 'page',
  effect: 'seen',
  page: 1,
  text: 'page 1 is drawn otherwise',
  before: 'failed',
  after: 'passed',
  ...more,
})

const packetWith = (...signatures: Partial<PdfSignature>[]) =>
  makePacket([
    makeDocument('calibration', 'report.pdf', {
      signatures: signatures.map((signature) => ({ ...holding, ...signature })),
    }),
    makeDocument('invoice', 'invoice.pdf', {}),
  ])

describe('one signature', () => {
  it.each<[string, Partial<PdfSignature>, string[]]>([
    ['holds', {}, ['holds']],
    [
      'holds beneath harmless additions',
      { covers: 'revision', changes: [change({ effect: 'harmless' })] },
      ['holds-beneath'],
    ],
    [
      'holds beneath what signing allows for',
      { covers: 'revision', changes: [change({ effect: 'permitted' })] },
      ['holds-beneath'],
    ],
    ['does not verify', { state: 'broken', code: 'digest-mismatch' }, ['broken']],
    ['covers words that were changed', { covers: 'revision', changes: [change({})] }, ['changed']],
    ['was added to', { covers: 'revision', changes: [change({ effect: 'unclear' })] }, ['added-to']],
    ['cannot be told', { state: 'doubtful', code: 'several-signers' }, ['not-settled']],
    ['is of an unknown kind', { state: 'doubtful', code: 'not-judged' }, ['not-examined']],
    ['was taken out', { state: 'doubtful', code: 'stripped' }, ['stripped']],
    [
      'by nobody known',
      { trust: { state: 'doubtful', code: 'not-listed', text: 'Nobody knows' } },
      ['holds', 'signer-not-trusted'],
    ],
    [
      'by one who had expired',
      { trust: { state: 'broken', code: 'expired', text: 'It had expired' } },
      ['holds', 'signer-not-acceptable'],
    ],
    [
      'without a trust list',
      { trust: { state: 'unexamined', code: 'no-trust-list', text: 'None' } },
      ['holds', 'nobody-trusted'],
    ],
    [
      'without an answer on revocation',
      { revocation: { state: 'doubtful', code: 'no-answer', text: 'None' } },
      ['holds', 'revocation-open'],
    ],
    [
      'by one whose certificate was revoked',
      { revocation: { state: 'broken', code: 'revoked', text: 'Revoked' } },
      ['holds', 'revoked'],
    ],
  ])('%s', (_, signature, messages) => {
    expect(messagesOf(check, packetWith(signature))).toEqual(messages)
  })

  it('shows both readings, and the page', () => {
    const [outcome] = runCheck(check, packetWith({ covers: 'revision', changes: [change({ page: 2 })] }))
    expect(outcome?.data).toMatchObject({ before: '“failed”', after: '“passed”', file: 'report.pdf' })
    expect(outcome?.evidence).toEqual([{ file: 'report.pdf', page: 2, text: 'passed' }])
  })

  it('tells how it came to it', () => {
    const [outcome] = runCheck(check, packetWith({ covers: 'revision', changes: [change({})] }))
    expect(outcome?.working?.map(({ text }) => text)).toEqual([
      'The signature covers the first {covered} of the {bytes} bytes of the file, but for its own place.',
      '{found}.',
      'It was made at {time}, says the signer.',
      'Signer: {found}.',
      'Revocation: {found}.',
      'After it, {what}: {effect}.',
    ])
  })
})

it('a broken signature beside one that holds: both are told', () => {
  expect(messagesOf(check, packetWith({}, { field: 'Signature2', state: 'broken' }))).toEqual(['holds', 'broken'])
})

it('no file is signed', () => {
  expect(messagesOf(check, makePacket([makeDocument('invoice', 'invoice.pdf', {})]))).toEqual(['not-signed'])
})
