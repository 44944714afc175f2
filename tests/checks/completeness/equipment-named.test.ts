import { expect, test } from 'vitest'
import { equipmentNamed as check } from '../../../src/checks/completeness/equipment-named.ts'
import type { InstrumentReading } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeRecord } from './documents.ts'

const general = generalParameters(check.id)
const record = (file: string, instrument: InstrumentReading, sensor: 'front-radar' | 'front-camera' = 'front-radar') =>
  makeRecord(file, { sensor }, { instrument, evidence: { 'instrument.software': [] } })

test('the instrument by name or serial, and its version', () => {
  expect(messagesOf(check, makePacket([record('a.pdf', { name: 'Ombrel 7', software: '5.1' })]), general)).toEqual([
    'named',
  ])
  expect(messagesOf(check, makePacket([record('a.pdf', { serial: 'O7-1', software: '5.1' })]), general)).toEqual([
    'named',
  ])
})

test('what is lacking, one outcome for the files that lack the same', () => {
  const packet = makePacket([
    record('a.pdf', { name: 'Ombrel 7' }),
    record('b.pdf', { name: 'Ombrel 7' }, 'front-camera'),
    makeRecord('c.pdf', { sensor: 'corner-radar' }),
  ])
  expect(runCheck(check, packet, general)).toMatchObject([
    { state: 'unmet', message: 'lacking', data: { files: ['a.pdf', 'b.pdf'], particulars: ['software version'] } },
    { state: 'unmet', data: { files: ['c.pdf'], particulars: ['name or serial number', 'software version'] } },
  ])
})

test('a rulebook may want more', () => {
  const wanted = { wanted: ['serial', 'calibration-data'] }
  expect(messagesOf(check, makePacket([record('a.pdf', { name: 'Ombrel 7', software: '5.1' })]), wanted)).toEqual([
    'lacking',
  ])
  expect(messagesOf(check, makePacket([record('a.pdf', { serial: 'O7-1', calibrationData: '26-A' })]), wanted)).toEqual(
    ['named'],
  )
  expect(() => check.run(makePacket([record('a.pdf', {})]), { wanted: ['colour'] }, [])).toThrow(
    /knows instrument, serial/,
  )
})

test('a record not read in full, and no record', () => {
  const problems = [{ code: 'page-unread', message: 'A page could not be read.' }]
  expect(messagesOf(check, makePacket([makeRecord('a.pdf', {}, { problems })]), general)).toEqual(['unread'])
  expect(messagesOf(check, makePacket([makeDocument('invoice', 'i.pdf')]), general)).toEqual(['no-record'])
})
