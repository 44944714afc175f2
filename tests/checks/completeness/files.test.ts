import { expect, test } from 'vitest'
import { filesReadable } from '../../../src/checks/completeness/files-readable.ts'
import { filesRecognised } from '../../../src/checks/completeness/files-recognised.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeUnread, photo } from './documents.ts'

test('all files read; a photograph has no words to read, a note about a date loses none', () => {
  const noted = makeDocument('scan', 'a.pdf', { problems: [{ code: 'ambiguous-date', message: '-' }] })
  const wordless = { ...photo, problems: [{ code: 'no-text-layer', message: '-' }] }
  expect(runCheck(filesReadable, makePacket([noted, wordless]))).toMatchObject([
    { message: 'all-read', data: { count: 2, files: ['a.pdf', 'target.jpg'] } },
  ])
})

test.each([
  ['damaged', 'closed'],
  ['encrypted', 'closed'],
  ['empty-file', 'closed'],
  ['blank', 'closed'],
  ['timed-out', 'closed'],
  ['reader-failed', 'closed'],
  ['reader-crashed', 'closed'],
  ['out-of-memory', 'closed'],
  ['no-text-layer', 'picture-only'],
  ['page-without-text', 'partial'],
  ['read-from-picture', 'from-picture'],
  ['damaged-content', 'partial'],
  ['too-large', 'partial'],
  ['unreadable-text', 'partial'],
  ['a-code-nobody-has-heard-of', 'partial'],
  ['unknown-format', 'format-not-read'],
  ['nested-archive', 'format-not-read'],
])('a file that is %s', (code, message) => {
  const packet = makePacket([makeUnread('other', 'x.pdf', code), makeDocument('scan', 'a.pdf')])
  expect(runCheck(filesReadable, packet)).toMatchObject([
    { state: 'unmet', message, data: { file: 'x.pdf', codes: [code] }, evidence: [{ file: 'x.pdf' }] },
  ])
})

test('a picture of a document in which characters were chosen is told as one that is a picture alone', () => {
  const remark = { code: 'look-alikes-chosen', message: 'Characters that look alike were chosen.' }
  const scan = makeUnread('other', 'x.pdf', 'read-from-picture')
  const packet = makePacket([{ ...scan, problems: [...scan.problems, remark] }])
  const [outcome] = runCheck(filesReadable, packet)
  expect(outcome).toMatchObject({ message: 'from-picture' })
  expect(outcome?.data.problems).toContain('Characters that look alike were chosen')
})

test('a damaged file of which something was read was read in part', () => {
  expect(messagesOf(filesReadable, makePacket([makeUnread('scan', 'x.pdf', 'truncated', { vin: '000421' })]))).toEqual([
    'partial',
  ])
  // Every scan is given lists of modules and codes; while they are empty, nothing was read.
  const empty = makeUnread('scan', 'x.pdf', 'truncated', { modules: [], codes: [] })
  expect(messagesOf(filesReadable, makePacket([empty]))).toEqual(['closed'])
})

test('a file of a foreign format that the packet declares is evidence', () => {
  const declared = makeUnread('pre-scan', 'x.bin', 'unknown-format', { kindFrom: 'declared' })
  expect(messagesOf(filesReadable, makePacket([declared]))).toEqual(['closed'])
})

test('a record saved as a picture is not read', () => {
  const screen = makeDocument('other', 'screen.png', { vin: undefined, media: 'image/png' })
  expect(messagesOf(filesReadable, makePacket([screen]))).toEqual(['picture-only'])
})

test('the role of every file', () => {
  expect(messagesOf(filesRecognised, makePacket([makeDocument('scan', 'a.pdf'), photo]))).toEqual(['all-recognised'])
  expect(messagesOf(filesRecognised, makePacket([makeDocument('other', 'a.pdf', { kindFrom: 'declared' })]))).toEqual([
    'all-recognised',
  ])
  expect(runCheck(filesRecognised, makePacket([makeDocument('other', 'a.pdf'), photo]))).toMatchObject([
    { state: 'unmet', message: 'role-unknown', data: { file: 'a.pdf' } },
  ])
  expect(messagesOf(filesRecognised, makePacket([makeUnread('other', 'a.pdf', 'encrypted')]))).toEqual(['unread'])
})

test('a packet without files', () => {
  expect(messagesOf(filesReadable, makePacket([]))).toEqual(['no-files'])
  expect(messagesOf(filesRecognised, makePacket([]))).toEqual(['no-files'])
})
