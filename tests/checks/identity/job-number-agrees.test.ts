import { describe, expect, it } from 'vitest'
import { jobNumberAgrees as check } from '../../../src/checks/identity/job-number-agrees.ts'
import { jobNumbers } from '../../../src/checks/identity/job-numbers.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const estimate = (jobNumber: string | undefined, rest: Partial<DocumentFacts> = {}) =>
  makeDocument('estimate', 'estimate.pdf', { jobNumber, ...rest })
const invoice = (jobNumber: string | undefined, rest: Partial<DocumentFacts> = {}) =>
  makeDocument('invoice', 'invoice.pdf', { jobNumber, ...rest })
const record = (jobNumber: string | undefined, file = 'record.pdf', serial = 'AA-100') =>
  makeDocument('calibration', file, { jobNumber, instrument: { serial } })
const linesOf = (file: string, ...texts: string[]) => ({
  [file]: { lines: texts.map((text) => makePlace(text)), pageNumbers: [], track: null, information: null },
})

describe('job numbers', () => {
  it.each([
    ['RO-4471', '4471'],
    ['RO 26-1183', '26-1183 VIN 7XMTD4FE4PA207483'],
    ['AND ESTIMATE W-5083', 'W-5083'],
    ['W7731', '7731'],
    ['RO418827', 'Repair order no. 418827'],
    ['3360', '3360-1'],
    ['30618', '30618 S1'],
    ['00731', '731'],
    ['LG 26 0413 552', 'LG-26-0413-552'],
  ])('%s and %s are one', (a, b) => {
    expect(jobNumbers.same(a, b)).toBe(true)
    expect(jobNumbers.same(b, a)).toBe(true)
  })

  it.each([
    ['4471', '4472'],
    ['26-1183', '26-1184'],
    ['A-2026-0611', 'B-2026-0611'],
    ['2-1187', '2'],
    ['7716', '77161'],
  ])('%s and %s are two', (a, b) => {
    expect(jobNumbers.same(a, b)).toBe(false)
    expect(jobNumbers.same(b, a)).toBe(false)
  })
})

describe('job-number-agrees', () => {
  it.each([
    ['RO-4471', '4471', 'agree'],
    ['4471', '4417', 'slip'],
    ['4471', '4472', 'slip'],
    ['8471', 'B471', 'look-alike'],
    ['4471', '9023', 'differs'],
    ['4471', '7a3f9b21', 'other-numbering'],
    ['4471', undefined, 'not-stated'],
  ])('estimate %s, invoice %s: %s', (a, b, message) => {
    expect(messagesOf(check, makePacket([estimate(a), invoice(b)]))).toEqual([message])
  })

  it('holds another number against a record only where its instrument made records of this job', () => {
    const own = [estimate('4471'), invoice('4471'), record('4471')]
    expect(messagesOf(check, makePacket([...own, record('9023', 'odd.pdf')]))).toEqual(['differs'])
    expect(messagesOf(check, makePacket([...own, record('9023', 'odd.pdf', 'ZZ-900')]))).toEqual(['own-number'])
    expect(messagesOf(check, makePacket([...own, record('S-90233', 'odd.pdf')]))).toEqual(['other-numbering'])
    expect(messagesOf(check, makePacket([...own, record('4472', 'odd.pdf', 'ZZ-900')]))).toEqual(['slip'])
  })

  it("allows a supplier's paper its own number, with the shop's beside it or without", () => {
    const glass = makeDocument('invoice', 'glass.pdf', { jobNumber: '9023' })
    const shop = linesOf('invoice.pdf', 'Amber Ridge Collision', '2 Sample Lane', 'Invoice 4471', 'Total 100.00')
    const bill = ['Pebble Lake Glass', '7 Sample Road', 'Invoice', 'Bill to: Amber Ridge Collision']
    const packet = (...more: string[]) =>
      makePacket([estimate('4471'), invoice('4471'), glass], {
        content: { ...shop, ...linesOf('glass.pdf', ...bill, ...more) },
      })
    expect(messagesOf(check, packet('Order 9023'))).toEqual(['supplier-number'])
    expect(messagesOf(check, packet('Order 9023, for your RO 4471'))).toEqual(['agree'])
  })

  it('finds the number of an invoice in its words or its name before it misses it', () => {
    const content = linesOf('invoice.pdf', 'Invoice 4471')
    expect(messagesOf(check, makePacket([estimate('4471'), invoice(undefined)], { content }))).toEqual(['one-reading'])
    const named = invoice(undefined, { file: 'final 4471.pdf' })
    expect(messagesOf(check, makePacket([estimate('4471'), named]))).toEqual(['one-reading'])
    const unread = invoice(undefined, { problems: [{ code: 'no-text-layer', message: '' }] })
    expect(messagesOf(check, makePacket([estimate('4471'), unread]))).toEqual(['one-reading'])
  })

  it('misses no number in scans, records and estimates', () => {
    const scans = ['a.pdf', 'b.pdf'].map((file) => makeDocument('pre-scan', file))
    expect(messagesOf(check, makePacket([...scans, record(undefined), estimate('4471'), invoice('4471')]))).toEqual([
      'agree',
    ])
  })

  it('keeps claims apart from jobs, and hears what is declared', () => {
    const papers = [
      estimate('4471', { claimNumber: 'HM-2605-71903' }),
      invoice('4471', { claimNumber: 'HM-2605-71930' }),
    ]
    const declaration = { job: '4471', claim: 'HM-2605-71903' }
    const outcomes = runCheck(check, makePacket(papers, { declaration }))
    expect(outcomes.map(({ message, data }) => [message, data.number])).toEqual([
      ['agree', 'job number'],
      ['slip', 'claim number'],
    ])
    const mixed = [estimate('4471'), invoice('4471'), record('HM-2605-71903')]
    expect(messagesOf(check, makePacket(mixed, { declaration }))).toEqual(['agree', 'one-reading'])
  })

  it('says so where nothing names a job', () => {
    expect(messagesOf(check, makePacket([makeDocument('pre-scan', 'a.pdf')]))).toEqual(['no-number'])
  })
})
