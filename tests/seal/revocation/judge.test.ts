/**
 * Revocation lists and answers of an authority (RFC 5280, 6.3; RFC 6960), beside what `openssl verify -crl_check` and
 * `openssl ocsp` say of the same files, where they ask the same: OpenSSL knows no time at which a signature was made.
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { findPath } from '../../../src/seal/certificates/path.ts'
import { anyAlgorithm as policy } from '../../../src/seal/pdf/reading/index.ts'
import { readEvidence } from '../../../src/seal/revocation/evidence.ts'
import { judgeRevocation, type RevocationQuestion } from '../../../src/seal/revocation/judge.ts'
import { nobody } from '../../../src/seal/signer.ts'
import { type Office, openOffice, readCertificate, readPieces, writeShort } from './office.ts'

const day = 86_400_000
const hence = (days: number) => new Date(Date.now() + days * day)

let office: Office
const disposals: (() => void)[] = []
beforeAll(() => {
  office = openOffice((dispose) => disposals.push(dispose))
  office.authority('root', '/O=Larkfield/CN=Root')
  office.authority('namesake', '/O=Larkfield/CN=Root')
  office.authority('other', '/O=Elsewhere/CN=Other root')
  office.authority('no-lists', '/O=Larkfield/CN=No lists', 'no-lists')
  office.issue('desk', 'root', '/CN=Desk', 'signing')
  office.issue('second', 'root', '/CN=Second desk', 'signing')
  office.issue('silent', 'no-lists', '/CN=Silent desk', 'signing')
  office.issue('responder', 'root', '/CN=Responder', 'answering')
  office.issue('unfit', 'root', '/CN=Not a responder', 'signing')
  office.issue('foreign', 'other', '/CN=Responder of another', 'answering')
  office.issue('expired', 'root', '/CN=Expired responder', 'answering', -1)
})
afterAll(() => {
  for (const dispose of disposals) dispose()
})

function judge(files: readonly string[], rest: Partial<RevocationQuestion> & { of?: string; by?: string } = {}) {
  const { of = 'desk', by = 'root', ...more } = rest
  const [signer, root] = [readCertificate(office, of), readCertificate(office, by)]
  const at = new Date(Date.now() + 60_000)
  const trust = { ...nobody, certificates: [root.der] }
  const evidence = readEvidence(readPieces(office, ...files))
  const { path } = findPath({ leaf: signer, carried: [], trust, at, purpose: 'document', policy })
  const common = { signer, path, known: [root], evidence, at, isProved: false, examined: at, policy }
  const [answer] = judgeRevocation({ ...common, ...more })
  const unused = evidence.ledger.unused(evidence.pieces)
  return { code: answer?.code, state: answer?.state, text: answer?.text, unused: unused.map(({ code }) => code) }
}

/** What `openssl verify -crl_check` says; empty where it is content. */
function askOpenssl(list: string, certificate = 'desk', authority = 'root', at = hence(0)): string {
  try {
    office.openssl(
      ...[
        'verify',
        '-attime',
        String(Math.floor(at.getTime() / 1000)),
        '-crl_check',
        '-CAfile',
        `${authority}.pem`,
        '-CRLfile',
        `${list}.pem`,
        `${certificate}.pem`,
      ],
    )
    return ''
  } catch (error) {
    return (error as Error).message
  }
}

describe('revocation lists', () => {
  test.each([
    // [revoked, made by, options, what OpenSSL says, code, why the list was not used]
    ['good', null, 'root', [], '', 'not-revoked', []],
    ['revoked', '251001000000Z,superseded', 'root', [], 'certificate revoked', 'revoked', []],
    ['on hold', '251001000000Z,certificateHold', 'root', [], 'certificate revoked', 'revoked', []],
    ['of another', null, 'other', [], 'unable to get certificate CRL', 'no-current-answer', ['another-authority']],
    ['forged', null, 'namesake', [], 'CRL signature failure', 'no-current-answer', ['signature-mismatch']],
    [
      ...['to come', null, 'root', ['-crl_lastupdate', '400101000000Z', '-crl_nextupdate', '400108000000Z']],
      ...['CRL is not yet valid', 'no-current-answer', ['in-the-future']],
    ],
    ['of users', null, 'root', ['-crlexts', 'users'], '', 'not-revoked', []],
    [
      ...['of authorities', null, 'root', ['-crlexts', 'authorities']],
      ...['ifferent CRL scope', 'no-current-answer', ['out-of-scope']],
    ],
    [
      ...['of another place', null, 'root', ['-crlexts', 'elsewhere']],
      ...['ifferent CRL scope', 'no-current-answer', ['out-of-scope']],
    ],
    [
      ...['not understood', null, 'root', ['-crlexts', 'unknown']],
      ...['unhandled critical CRL extension', 'no-current-answer', ['critical-extension']],
    ],
  ] as [string, string | null, string, string[], string, string, string[]][])(
    '%s',
    (_, revoked, by, options, theirs, code, unused) => {
      office.setIndex({ desk: revoked, second: null })
      office.list('made', by, ...options)
      expect(judge(['made.crl'])).toMatchObject({ code, unused })
      expect(judge(['made.pem'])).toMatchObject({ code, unused })
      const said = askOpenssl('made')
      if (theirs === '') expect(said).toBe('')
      else expect(said).toContain(theirs)
    },
  )

  test('of an authority that may make none', () => {
    office.setIndex({ silent: null })
    office.list('made', 'no-lists')
    const answer = judge(['made.crl'], { of: 'silent', by: 'no-lists' })
    expect(answer).toMatchObject({ code: 'no-current-answer', unused: ['not-for-lists'] })
    expect(askOpenssl('made', 'silent', 'no-lists')).not.toBe('')
  })

  test('a list that has ended', () => {
    office.setIndex({})
    office.list('made', 'root')
    const later = { at: hence(8), examined: hence(8) }
    expect(judge(['made.crl'], later)).toMatchObject({ code: 'no-current-answer', unused: ['expired'] })
    expect(askOpenssl('made', 'desk', 'root', hence(8))).toContain('CRL has expired')
    expect(judge(['made.crl'], { ...later, freshAt: hence(6) })).toMatchObject({ code: 'not-revoked' })
  })

  test('a list that has ended still tells of a revocation', () => {
    office.setIndex({ desk: '250901000000Z,keyCompromise' })
    office.list('made', 'root')
    expect(judge(['made.crl'], { at: hence(8), examined: hence(8) })).toMatchObject({ code: 'revoked', unused: [] })
  })

  test('a newer list lifts a hold, and nothing else', () => {
    const later = { at: hence(8), examined: hence(8) }
    for (const [reason, code] of [
      ['certificateHold', 'not-revoked'],
      ['superseded', 'revoked'],
    ]) {
      office.setIndex({ desk: `250901000000Z,${reason}` })
      office.list('older', 'root')
      expect(judge(['older.crl'], later)).toMatchObject({ code: 'revoked' })
      office.setIndex({})
      office.list('newer', 'root', '-crl_lastupdate', writeShort(hence(6)), '-crl_nextupdate', writeShort(hence(20)))
      expect(judge(['older.crl', 'newer.crl'], later)).toMatchObject({ code })
    }
  })

  test('every byte of a list counts', () => {
    office.setIndex({})
    office.list('made', 'root')
    const der = Uint8Array.from(office.get('made.crl'))
    for (let index = 0; index < der.length; index++) {
      office.put('spoilt.crl', der.with(index, (der[index] as number) ^ 1))
      try {
        expect(judge(['spoilt.crl']).state, `byte ${index}`).toBe('doubtful')
      } catch (error) {
        if (!(error instanceof Error && 'code' in error && error.code === 'revocation-unusable')) throw error
      }
    }
  })

  test('after it has expired a certificate may be missing from a list', () => {
    office.setIndex({})
    office.list('late', 'root', '-crl_lastupdate', writeShort(hence(250)), '-crl_nextupdate', writeShort(hence(260)))
    const times = { at: hence(10), isProved: true, examined: hence(255) }
    expect(judge(['late.crl'], times)).toMatchObject({ code: 'no-current-answer', unused: ['after-expiry'] })
  })
})

describe('revoked after the time that a stamp proves', () => {
  const revoked = (reason: string | null) => `${writeShort(hence(10))}${reason === null ? '' : `,${reason}`}`
  test.each([
    // [reason, proved by another's stamp, time is the key's own word (RFC 3161, section 4)]
    ['superseded', 'revoked-after', 'revoked-after'],
    ['affiliationChanged', 'revoked-after', 'revoked-after'],
    ['cessationOfOperation', 'revoked-after', 'revoked-after'],
    ['keyCompromise', 'revoked-later', 'revoked'],
    ['CACompromise', 'revoked-later', 'revoked'],
    [null, 'revoked-later', 'revoked'],
  ])('%s', (reason, proved, own) => {
    office.setIndex({ desk: revoked(reason) })
    office.list('made', 'root', '-crl_lastupdate', writeShort(hence(12)), '-crl_nextupdate', writeShort(hence(20)))
    const times = { at: hence(5), examined: hence(15) }
    expect(judge(['made.crl'], { ...times, isProved: true })).toMatchObject({ code: proved, unused: [] })
    expect(judge(['made.crl'], { ...times, isProved: false })).toMatchObject({ code: own })
    expect(judge(['made.crl'], { ...times, at: hence(11), isProved: true })).toMatchObject({ code: 'revoked' })
  })

  test.each([
    ['before it', 4, 'revoked'],
    ['after it', 6, 'revoked-after'],
  ])('the key was compromised %s, says its authority', (_, days, code) => {
    const since = `${hence(days)
      .toISOString()
      .replaceAll(/[-:T]|\.\d+/g, '')}`
    office.setIndex({ desk: `${writeShort(hence(10))},keyTime,${since}` })
    office.list('made', 'root', '-crl_lastupdate', writeShort(hence(12)), '-crl_nextupdate', writeShort(hence(20)))
    expect(judge(['made.crl'], { at: hence(5), examined: hence(15), isProved: true })).toMatchObject({ code })
  })
})

describe('answers of an authority', () => {
  const about = { certificate: 'desk', issuer: 'root' }

  /** What `openssl ocsp` says of an answer, with the root trusted. */
  function askOcsp(name: string): string {
    try {
      return office.openssl(
        ...['ocsp', '-issuer', 'root.pem', '-cert', 'desk.pem', '-CAfile', 'root.pem', '-no_nonce', '-respin', name],
      )
    } catch (error) {
      return (error as Error).message
    }
  }

  test.each([
    // [what it knows, by whom, what OpenSSL says, code, why it was not used]
    ['good', { desk: null }, 'root', 'desk.pem: good', 'not-revoked', []],
    ['revoked', { desk: '251001000000Z,superseded' }, 'root', 'desk.pem: revoked', 'revoked', []],
    ['unknown', {}, 'root', 'desk.pem: unknown', 'no-current-answer', ['unknown']],
    ['by whom it appointed', { desk: null }, 'responder', 'desk.pem: good', 'not-revoked', []],
    [
      'by one without the purpose',
      { desk: null },
      'unfit',
      'esponse Verify Failure',
      'no-current-answer',
      ['not-appointed'],
    ],
    ['by one of another', { desk: null }, 'foreign', 'esponse Verify Failure', 'no-current-answer', ['not-appointed']],
    [
      ...['by one whose certificate had expired', { desk: null }, 'expired'],
      ...['esponse Verify Failure', 'no-current-answer', ['issuer-expired']],
    ],
    ['by a namesake', { desk: null }, 'namesake', 'esponse Verify Failure', 'no-current-answer', ['not-appointed']],
  ] as [string, Record<string, string | null>, string, string, string, string[]][])(
    '%s',
    (_, index, by, theirs, code, unused) => {
      office.setIndex(index)
      office.answer('made', about, by)
      expect(judge(['made.ors'])).toMatchObject({ code, unused })
      expect(askOcsp('made.ors')).toContain(theirs)
    },
  )

  test('about another certificate', () => {
    office.setIndex({ second: null })
    office.answer('made', { certificate: 'second', issuer: 'root' }, 'root')
    expect(judge(['made.ors'])).toMatchObject({ code: 'no-current-answer', unused: ['another-certificate'] })
    expect(askOcsp('made.ors')).toContain('ERROR: No Status found')
  })

  test('that ended before the time that is asked about', () => {
    office.setIndex({ desk: null })
    office.answer('made', about, 'root')
    const later = { at: hence(8), examined: hence(8) }
    expect(judge(['made.ors'], later)).toMatchObject({ code: 'no-current-answer', unused: ['expired'] })
    expect(judge(['made.ors'], { at: hence(8), examined: hence(8), freshAt: hence(6) })).toMatchObject({
      code: 'not-revoked',
    })
  })

  test('of somebody whose own certificate was revoked', () => {
    office.setIndex({ desk: null })
    office.answer('made', about, 'responder')
    office.setIndex({ responder: '251001000000Z,keyCompromise' })
    // A list of authorities alone leaves the signer and the responder out.
    office.list('revoked', 'root', '-crlexts', 'authorities')
    expect(judge(['made.ors', 'revoked.crl'])).toMatchObject({ code: 'not-revoked', unused: ['out-of-scope'] })
    const later = { at: hence(6.5), examined: hence(7.5), isProved: true }
    office.list('revoked', 'root', '-crl_lastupdate', writeShort(hence(-1)), '-crl_nextupdate', writeShort(hence(6)))
    expect(judge(['made.ors', 'revoked.crl'], later)).toMatchObject({ code: 'not-revoked' })
    office.list('revoked', 'root', '-crl_nextupdate', writeShort(hence(6)))
    expect(judge(['made.ors', 'revoked.crl'], later)).toMatchObject({
      code: 'no-current-answer',
      unused: ['responder-revoked'],
    })
  })

  test('every byte of an answer counts', { timeout: 60_000 }, () => {
    office.setIndex({ desk: null })
    office.answer('made', about, 'responder')
    const der = Uint8Array.from(office.get('made.ors'))
    const held: number[] = []
    for (let index = 0; index < der.length; index++) {
      office.put('spoilt.ors', der.with(index, (der[index] as number) ^ 1))
      try {
        if (judge(['spoilt.ors']).state !== 'doubtful') held.push(index)
      } catch (error) {
        if (!(error instanceof Error && 'code' in error && error.code === 'revocation-unusable')) throw error
      }
    }
    expect(held).toEqual([])
  })
})

test('a maze of namesakes comes to an end, and is no answer', () => {
  office.setIndex({ desk: null })
  office.list('made', 'root')
  const der = new Uint8Array(office.get('made.crl'))
  // As a stranger could send them along: lists without number, each to be held against certificates without number.
  const forged = Array.from({ length: 150 }, (_, index) => {
    const bytes = Uint8Array.from(der)
    bytes[der.length - 1] = ((der.at(-1) ?? 0) + 1 + index) % 256
    return { kind: 'list' as const, der: bytes, source: 'maze' }
  })
  const [signer, root, namesake] = ['desk', 'root', 'namesake'].map((name) => readCertificate(office, name))
  if (signer === undefined || root === undefined || namesake === undefined) throw new Error('no certificate')
  const known = [root, ...Array.from({ length: 500 }, () => namesake)]
  const evidence = readEvidence(forged)
  const at = new Date(Date.now() + 60_000)
  const start = performance.now()
  const question = { signer, path: [signer, root], known, evidence, at, isProved: false, examined: at, policy }
  expect(judgeRevocation(question).map(({ state }) => state)).not.toContain('holds')
  // 150 times 501 signatures would take minutes.
  expect(performance.now() - start).toBeLessThan(20_000)
})
