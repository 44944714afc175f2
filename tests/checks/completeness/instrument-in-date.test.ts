import { expect, test } from 'vitest'
import { instrumentInDate as check } from '../../../src/checks/completeness/instrument-in-date.ts'
import type { DateReading, DocumentFacts, InstrumentReading } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDate, makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeRecord } from './documents.ts'

const general = generalParameters(check.id)
const scan = (file: string, instrument: InstrumentReading, date = '2026-05-21T14:05') =>
  makeDocument('post-scan', file, { instrument, date: makeDate(date) })
const messages = (...documents: DocumentFacts[]) => messagesOf(check, makePacket(documents), general)

/** 03/04/2026, of which nothing tells whether day or month stands first. */
const ambiguous: DateReading = { ...makeDate('2026-03-04'), local: null, alternatives: ['2026-03-04', '2026-04-03'] }

test.each([
  ['2026-12-31', 'in-date'],
  ['2026-05-21', 'in-date'],
  ['2026-05-20', 'expired'],
])('until %s, worked on 2026-05-21: %s', (until, message) => {
  expect(messages(scan('a.pdf', { checkedUntil: makeDate(until) }))).toEqual([message])
})

test('one instrument that has expired, on several records, is one outcome', () => {
  const expired = { serial: 'O7-1', checkedUntil: makeDate('2026-01-31') }
  const good = { serial: 'O8-1', checkedUntil: makeDate('2027-01-31') }
  const packet = makePacket([scan('a.pdf', expired), scan('b.pdf', expired), scan('c.pdf', good)])
  expect(runCheck(check, packet, general)).toMatchObject([
    { state: 'unmet', message: 'expired', data: { files: ['a.pdf', 'b.pdf'], until: '2026-01-31', day: '2026-05-21' } },
    { state: 'met', message: 'in-date', data: { files: ['c.pdf'] } },
  ])
})

test('the day of the work, not that of the printing', () => {
  const started = makeDate('2026-05-21T13:00')
  const rest = { date: makeDate('2026-06-30'), instrument: { checkedUntil: makeDate('2026-05-31') } }
  expect(messages(makeRecord('a.pdf', { started }, rest))).toEqual(['in-date'])
})

test('day and month that cannot be told apart', () => {
  expect(messages(scan('a.pdf', { checkedUntil: ambiguous }, '2026-03-20'))).toEqual(['unclear'])
  expect(messages(scan('a.pdf', { checkedUntil: ambiguous }, '2026-03-01'))).toEqual(['in-date'])
  expect(messages(scan('a.pdf', { checkedUntil: ambiguous }, '2026-04-20'))).toEqual(['expired'])
  expect(messages(scan('a.pdf', { checkedOn: ambiguous }, '2026-04-20'))).toEqual(['unclear'])
})

test('the last check alone', () => {
  expect(messages(scan('a.pdf', { checkedOn: makeDate('2026-02-02') }))).toEqual(['in-date'])
  expect(messages(scan('a.pdf', { checkedOn: makeDate('2025-02-02') }))).toEqual(['check-old'])
  expect(messages(scan('a.pdf', { checkedOn: makeDate('2026-06-02') }))).toEqual(['checked-after'])
})

test('not stated, without a day, and on a paper that no instrument made', () => {
  expect(messages(scan('a.pdf', { name: 'Ombrel 7' }))).toEqual(['not-stated'])
  const until = { instrument: { checkedUntil: makeDate('2026-01-31') } }
  expect(messages(makeDocument('post-scan', 'a.pdf', until))).toEqual(['day-unknown'])
  expect(messages(makeDocument('invoice', 'i.pdf', { ...until, date: makeDate('2026-05-21') }))).toEqual(['not-stated'])
})
