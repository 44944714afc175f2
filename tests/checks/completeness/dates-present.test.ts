import { expect, test } from 'vitest'
import { datesPresent } from '../../../src/checks/completeness/dates-present.ts'
import type { DateReading } from '../../../src/facts/document.ts'
import { makeDate, makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeRecord, makeUnread } from './documents.ts'

const timed = makeDate('2026-10-20T14:05')

test('every scan and calibration record carries date and time', () => {
  const packet = makePacket([
    makeDocument('pre-scan', 'a.pdf', { date: timed }),
    makeRecord('b.pdf', { started: timed }),
    makeDocument('invoice', 'c.pdf'),
  ])
  expect(runCheck(datesPresent, packet)[0]).toMatchObject({ message: 'dated', data: { files: ['a.pdf', 'b.pdf'] } })
})

test('no date', () => {
  const packet = makePacket([makeDocument('post-scan', 'a.pdf'), makeDocument('pre-scan', 'b.pdf', { date: timed })])
  expect(runCheck(datesPresent, packet)).toMatchObject([
    { state: 'unmet', message: 'no-date', data: { file: 'a.pdf' } },
  ])
})

test('the date of an attempt is a date', () => {
  const attempts = [{ outcome: 'completed' as const, at: timed }]
  expect(messagesOf(datesPresent, makePacket([makeRecord('a.pdf', { attempts })]))).toEqual(['dated'])
})

test('a day without a time', () => {
  const packet = makePacket([makeDocument('scan', 'a.pdf', { date: makeDate('2026-10-20') })])
  expect(runCheck(datesPresent, packet)).toMatchObject([{ message: 'no-time-of-day', data: { printed: '2026-10-20' } }])
  const record = makeRecord('a.pdf', { started: timed }, { date: makeDate('2026-10-20') })
  expect(messagesOf(datesPresent, makePacket([record]))).toEqual(['dated'])
})

test('a date that can be read in two ways', () => {
  const unclear: DateReading = { ...timed, text: '04/05/2026', local: null, alternatives: ['2026-04-05', '2026-05-04'] }
  expect(runCheck(datesPresent, makePacket([makeDocument('scan', 'a.pdf', { date: unclear })]))).toMatchObject([
    { message: 'day-and-month-unclear', data: { alternatives: ['2026-04-05', '2026-05-04'] } },
  ])
})

function packetOf(scanDate: DateReading, clocks: [string, string] = ['office', 'bay']) {
  const calibration = makeRecord('cal.pdf', {
    started: makeDate('2026-10-20T13:00Z'),
    ended: makeDate('2026-10-20T13:30Z'),
  })
  const bounds = [scanDate.earliest, scanDate.latest] as const
  return makePacket([makeDocument('post-scan', 'post.pdf', { date: scanDate }), calibration], {
    events: [
      makeEvent('calibration-1', '2026-10-20T13:00:00Z', '2026-10-20T13:30:00Z', { file: 'cal.pdf', clock: clocks[1] }),
      makeEvent('post-scan-1', bounds, bounds, { file: 'post.pdf', clock: clocks[0] }),
    ],
  })
}

test('a zone that is missing matters where the order hangs on it', () => {
  expect(runCheck(datesPresent, packetOf(timed))).toMatchObject([
    { message: 'zone-decides', data: { file: 'post.pdf', before: 'calibration-1', after: 'post-scan-1' } },
  ])
  expect(messagesOf(datesPresent, packetOf(makeDate('2026-10-20T14:05Z')))).toEqual(['dated'])
  expect(messagesOf(datesPresent, packetOf(makeDate('2026-10-22T14:05')))).toEqual(['dated'])
  expect(messagesOf(datesPresent, packetOf(timed, ['bay', 'bay']))).toEqual(['dated'])
})

test('a file that was not read may carry one; other papers need none', () => {
  expect(messagesOf(datesPresent, makePacket([makeUnread('post-scan', 'a.pdf')]))).toEqual(['unread'])
  expect(messagesOf(datesPresent, makePacket([makeDocument('invoice', 'a.pdf')]))).toEqual(['no-records'])
})
