import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { compareParts } from '../../../src/checks/identity/part-numbers.ts'
import { sensorPartAgrees as check } from '../../../src/checks/identity/sensor-part-agrees.ts'
import type { CalibrationReading, OperationReading } from '../../../src/facts/document.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const record = (part: string | undefined, rest: Partial<CalibrationReading> = {}, file = 'record.pdf') =>
  makeDocument('calibration', file, {
    calibrations: [
      {
        sensor: 'front-radar',
        position: null,
        method: 'dynamic',
        outcome: 'completed',
        ...(part ? { part } : {}),
        ...rest,
      },
    ],
  })
const bill = (part: string, rest: Partial<OperationReading> = {}) =>
  makeDocument('invoice', 'invoice.pdf', {
    operations: [
      { text: 'Front radar sensor, replace', calls: ['front-radar'], kind: 'repair', billed: true, part, ...rest },
    ],
  })

describe('part numbers', () => {
  it.each([
    ['NB-4418-C2', 'NB 4418 C2', 'same'],
    ['NB-4418-C2', 'NB-4418', 'same'],
    ['NB-4418-C2', 'NB-4418-C3', 'revision'],
    ['MV 980 566 A', 'MV 980 566 B', 'revision'],
    ['NB-4418-C2', 'NB-4481-C2', 'different'],
    ['DM-70-4410', 'DM-70-4499', 'different'],
    ['NB-4418-C2', '0055918273', 'other-scheme'],
  ])('%s and %s: %s', (a, b, want) => {
    expect(compareParts(a, b)).toBe(want)
    expect(compareParts(b, a)).toBe(want)
  })

  it('are the same however they are grouped', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^[A-Z]{2}\d{6}$/), fc.integer({ min: 1, max: 7 }), (part, at) => {
        expect(compareParts(part, `${part.slice(0, at)}-${part.slice(at)}`)).toBe('same')
      }),
    )
  })
})

describe('sensor-part-agrees', () => {
  it.each([
    ['NB-4418-C2', 'agrees'],
    ['NB-4481-C2', 'differs'],
    ['NB-4418-D1', 'revision-differs'],
    ['77120055', 'other-scheme'],
  ])('record NB-4418-C2, invoice %s: %s', (part, message) => {
    expect(messagesOf(check, makePacket([record('NB-4418-C2'), bill(part)]))).toEqual([message])
  })

  it('takes the number of a bracket, or of a line for several sensors, for no sensor', () => {
    const bracket = bill('NB-9900-A', { text: 'Front radar bracket' })
    const bumper = bill('NB-9900-A', { text: 'Front radar and bumper', calls: ['front-radar', 'ultrasonic'] })
    for (const other of [bracket, bumper])
      expect(messagesOf(check, makePacket([record('NB-4418-C2'), other]))).toEqual(['nothing-to-compare'])
  })

  it('keeps left and right apart', () => {
    const side = (position: string, part: string) =>
      record(part, { sensor: 'corner-radar', position }, `${position}.pdf`)
    const packet = makePacket([side('left', 'LK 8840-RL'), side('right', 'LK 8840-RR')])
    expect(messagesOf(check, packet)).toEqual(['nothing-to-compare', 'nothing-to-compare'])
  })

  it('finds the number on a label and in running text', () => {
    const label = makeDocument('photo', 'label.jpg', {
      photo: { taken: null, location: null, barcodes: [{ symbology: 'DataMatrix', text: 'NB-4418-C2 FR7A553019' }] },
    })
    const [outcome] = runCheck(check, makePacket([record('NB-4418-C2'), label]))
    expect(outcome).toMatchObject({ message: 'agrees', data: { files: ['record.pdf', 'label.jpg'] } })
    const lines = [makePlace('Radar installed: part NB-4418-C2'), makePlace('Ordered as 77120055')]
    const content = { 'invoice.pdf': { lines, pageNumbers: [], track: null, information: null } }
    expect(messagesOf(check, makePacket([record('NB-4418-C2'), bill('77120055')], { content }))).toEqual(['agrees'])
  })

  it('says so where no number is stated', () => {
    expect(messagesOf(check, makePacket([record(undefined)]))).toEqual(['not-stated'])
  })
})
