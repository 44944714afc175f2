import { describe, expect, test } from 'vitest'
import { postScanPresent } from '../../../src/checks/completeness/post-scan-present.ts'
import { preScanPresent } from '../../../src/checks/completeness/pre-scan-present.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'
import { makeInvoice, makeUnread, photo } from './documents.ts'

describe.each([
  ['pre-scan', preScanPresent, 'post-scan'],
  ['post-scan', postScanPresent, 'pre-scan'],
] as const)('%s-present', (kind, check, other) => {
  const judge = (...documents: DocumentFacts[]) => runCheck(check, makePacket(documents))[0]

  test('present by its heading, its content or a declaration', () => {
    for (const kindFrom of ['heading', 'content', 'declared'] as const) {
      const outcome = judge(
        makeDocument(kind, 'a.pdf', { kindFrom }),
        makeDocument(kind, 'b.pdf', { kindFrom: 'inferred' }),
      )
      expect(outcome).toMatchObject({ state: 'met', message: 'present', data: { files: ['a.pdf'] } })
    }
  })

  test('told by the file name, or by inference alone', () => {
    expect(judge(makeDocument(kind, 'a.pdf', { kindFrom: 'name' }))).toMatchObject({
      state: 'unmet',
      message: 'by-name',
    })
    expect(judge(makeDocument(kind, 'a.pdf', { kindFrom: 'inferred' }))).toMatchObject({
      state: 'unmet',
      message: 'inferred',
    })
  })

  test('declared, but a picture without words', () => {
    const outcome = judge(makeUnread(kind, 'a.pdf', 'no-text-layer', { kindFrom: 'declared' }))
    expect(outcome).toMatchObject({ state: 'unmet', message: 'not-read' })
  })

  test('read in part is read, when modules were found', () => {
    const outcome = judge(
      makeUnread(kind, 'a.pdf', 'page-without-text', { modules: [{ name: 'Brakes', state: 'no-fault' }] }),
    )
    expect(outcome?.message).toBe('present')
  })

  test('none, and only other records', () => {
    const outcome = judge(makeDocument(other, 'b.pdf'), makeInvoice({}))
    expect(outcome).toMatchObject({ state: 'unmet', message: 'none' })
    expect(outcome?.evidence.map((place) => place.file)).toEqual(['b.pdf', 'invoice.pdf'])
  })

  test('photographs do not hide that there is none', () => {
    expect(judge(photo)).toMatchObject({ state: 'unmet', message: 'none-but-photos', data: { files: ['target.jpg'] } })
  })

  test('a scan of which nothing tells when it was made', () => {
    expect(judge(makeDocument('scan', 'a.pdf'))).toMatchObject({ state: 'undecided', message: 'scan-undecided' })
  })

  test.each(['damaged', 'encrypted', 'empty-file', 'no-text-layer', 'unknown-format', 'timed-out'])(
    'a file of unknown role that is %s may be it',
    (code) => {
      const outcome = judge(makeUnread('other', 'x.pdf', code))
      expect(outcome).toMatchObject({ state: 'undecided', message: 'maybe-unread', data: { files: ['x.pdf'] } })
    },
  )

  test('a readable file of unknown role may be it only when it looks like a record', () => {
    expect(judge(makeDocument('other', 'letter.pdf'))?.message).toBe('none')
    expect(judge(makeDocument('other', 'odd.pdf', { instrument: { name: 'Ombrel 7' } }))?.message).toBe('maybe-unread')
    expect(judge(makeDocument('other', 'screen.png', { vin: undefined, media: 'image/png' }))?.message).toBe(
      'maybe-unread',
    )
  })

  test('an unread invoice is not a scan', () => {
    expect(judge(makeUnread('invoice', 'invoice.pdf'))?.message).toBe('none')
  })
})
