import { expect, test } from 'vitest'
import { secondPersonOnDrive as check } from '../../../src/checks/safety/second-person-on-drive.ts'
import type { DocumentFacts, PersonReading } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { makeRecord } from '../completeness/documents.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const driver = (name: string): PersonReading => ({ role: 'driver', name })
const observer = (name: string): PersonReading => ({ role: 'observer', name })
const record = (rest: Partial<DocumentFacts>) => makeRecord('drive.pdf', {}, rest)
const judge = (documents: DocumentFacts[], declaration: Partial<Declaration> | null = null) =>
  runCheck(check, makePacket(documents, { declaration }))
const messages = (...args: Parameters<typeof judge>) => judge(...args).map(({ message }) => message)

test('two people, each in a role', () => {
  expect(judge([record({ people: [driver('Marlo Tresk'), observer('Ines Quillard')] })])).toMatchObject([
    { state: 'met', message: 'two-named', data: { driver: 'Marlo Tresk', observer: 'Ines Quillard' } },
  ])
})

test('an observer beside the technician', () => {
  const people = [observer('Ines Quillard')]
  expect(messages([record({ technician: 'Marlo Tresk', people })])).toEqual(['observer-beside-technician'])
  expect(messages([record({ technician: 'Ines Quillard', people })])).toEqual(['one-named'])
})

test('a sentence that says so, on the record or on another paper', () => {
  const statements = [{ about: 'watched' as const, text: 'A second person watched the instrument.' }]
  expect(messages([record({ statements })])).toEqual(['said'])
  expect(judge([record({}), makeDocument('statement', 'qc.pdf', { statements })])).toMatchObject([
    { message: 'said', data: { source: ['qc.pdf'] } },
  ])
})

test('one name in both roles', () => {
  expect(judge([record({ people: [driver('Marlo Tresk'), observer('TRESK, MARLO')] })])).toMatchObject([
    { state: 'unmet', message: 'one-person' },
  ])
  const third = [driver('Marlo Tresk'), observer('Marlo Tresk'), observer('Ines Quillard')]
  expect(messages([record({ people: third })])).toEqual(['two-named'])
})

test('names that may be one person’s', () => {
  expect(messages([record({ people: [driver('M. Tresk'), observer('Marlo Tresk')] })])).toEqual(['names-unclear'])
})

test('declared where the record says nothing, or too little', () => {
  const people = [
    { name: 'Marlo Tresk', role: 'driver' },
    { name: 'Ines Quillard', role: 'observer' },
  ]
  expect(messages([record({})], { people })).toEqual(['two-named'])
  expect(messages([record({ people: [driver('Marlo Tresk')] })], { people })).toEqual(['two-named'])
})

test('a declaration does not mend what the record says', () => {
  const people = [
    { name: 'Marlo Tresk', role: 'driver' },
    { name: 'Ines Quillard', role: 'observer' },
  ]
  const both = [driver('Marlo Tresk'), observer('Marlo Tresk')]
  expect(messages([record({ people: both })], { people })).toEqual(['one-person'])
})

test('too little, nothing, and no drive', () => {
  expect(messages([record({ people: [driver('Marlo Tresk')] })])).toEqual(['one-named'])
  expect(messages([record({ technician: 'Marlo Tresk' })])).toEqual(['not-said'])
  expect(messages([makeRecord('bay.pdf', { method: 'static' })])).toEqual(['no-dynamic'])
})
