import { expect, test } from 'vitest'
import { peopleIdentified as check } from '../../../src/checks/completeness/people-identified.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeUnread, photo } from './documents.ts'

const general = generalParameters(check.id)
const person = (role: 'reviewer' | 'driver') => ({ people: [{ role, name: 'Hanne Broddick' }] })

test('named on a paper, or declared', () => {
  expect(runCheck(check, makePacket([makeDocument('statement', 'qc.pdf', person('reviewer'))]), general)).toMatchObject(
    [{ message: 'named', data: { names: ['Hanne Broddick'], files: ['qc.pdf'] } }],
  )
  const declaration = { people: [{ name: 'Hanne Broddick', role: 'Quality control' }] }
  expect(messagesOf(check, makePacket([], { declaration }), general)).toEqual(['named'])
})

test('a driver, or a declared technician, reviewed nothing by that', () => {
  const declaration = { people: [{ name: 'Marlo Tresk', role: 'technician' }] }
  const packet = makePacket([makeDocument('calibration', 'a.pdf', person('driver'))], { declaration })
  expect(runCheck(check, packet, general)).toMatchObject([{ state: 'unmet', message: 'none-named' }])
})

test('an unread file may name one; photographs alone name nobody', () => {
  const read = makeDocument('invoice', 'i.pdf')
  expect(messagesOf(check, makePacket([read, makeUnread('statement', 'qc.pdf')]), general)).toEqual(['maybe-unread'])
  expect(messagesOf(check, makePacket([photo]), general)).toEqual(['no-files'])
})
