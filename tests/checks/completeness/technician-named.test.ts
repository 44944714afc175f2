import { expect, test } from 'vitest'
import { technicianNamed as check } from '../../../src/checks/completeness/technician-named.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeRecord } from './documents.ts'

const damaged = { problems: [{ code: 'page-unread', message: 'A page could not be read.' }] }

test('a record with the name, by label or by role on the drive', () => {
  const outcomes = runCheck(
    check,
    makePacket([
      makeRecord('a.pdf', {}, { technician: 'Marlo Tresk' }),
      makeRecord('b.pdf', { sensor: 'front-camera' }, { people: [{ role: 'driver', name: 'Ines Quillard' }] }),
    ]),
  )
  expect(outcomes).toMatchObject([{ message: 'named', data: { names: ['Marlo Tresk', 'Ines Quillard'] } }])
})

test('records without it, in one outcome; a reviewer did not do the work', () => {
  const outcomes = runCheck(
    check,
    makePacket([
      makeRecord('a.pdf'),
      makeRecord('b.pdf', { sensor: 'front-camera' }, { people: [{ role: 'reviewer', name: 'Ines Quillard' }] }),
    ]),
  )
  expect(outcomes).toMatchObject([{ state: 'unmet', message: 'not-named', data: { files: ['a.pdf', 'b.pdf'] } }])
})

test('declared, unread, mentioned, not performed, none', () => {
  const people = [{ name: 'Marlo Tresk', role: 'Lead technician' }]
  expect(messagesOf(check, makePacket([makeRecord('a.pdf')], { declaration: { people } }))).toEqual(['declared-only'])
  expect(messagesOf(check, makePacket([makeRecord('a.pdf', {}, damaged)]))).toEqual(['unread'])
  expect(messagesOf(check, makePacket([makeRecord('a.pdf', { outcome: 'not-performed' })]))).toEqual(['no-record'])
  const mention = makeDocument('post-scan', 'post.pdf', { calibrations: makeRecord('x.pdf').calibrations ?? [] })
  const own = makeRecord('a.pdf', {}, { technician: 'Marlo Tresk' })
  expect(messagesOf(check, makePacket([own, mention]))).toEqual(['named'])
  expect(messagesOf(check, makePacket([makeDocument('invoice', 'i.pdf')]))).toEqual(['no-record'])
})
