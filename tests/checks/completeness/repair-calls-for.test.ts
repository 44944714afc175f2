import { describe, expect, test } from 'vitest'
import { repairCallsFor as check } from '../../../src/checks/completeness/repair-calls-for.ts'
import type { DocumentFacts, ModuleReading, OperationReading, Sensor } from '../../../src/facts/document.ts'
import type { Declaration } from '../../../src/packet/packet.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'
import { makeInvoice, makeRecord, makeUnread } from './documents.ts'

const judge = (documents: DocumentFacts[], declaration: Partial<Declaration> | null = null) =>
  runCheck(check, makePacket(documents, { declaration }), generalParameters(check.id))
const messages = (...args: Parameters<typeof judge>) => judge(...args).map(({ message }) => message)

const repair = (text: string, ...calls: Sensor[]): Partial<OperationReading> => ({ text, calls, kind: 'repair' })
const glass = makeInvoice(repair('Windshield, replace', 'front-camera'))
const scan = (...modules: ModuleReading[]) => makeDocument('pre-scan', 'pre.pdf', { modules })
const camera: ModuleReading = { name: 'Lane camera', state: 'no-fault', sensor: 'front-camera' }
const engine: ModuleReading = { name: 'Engine', state: 'no-fault', system: 'other' }

describe('met', () => {
  test('recorded, whatever came of it', () => {
    const record = makeRecord('a.pdf', { sensor: 'front-camera', outcome: 'failed' })
    expect(judge([glass, record])).toMatchObject([
      { state: 'met', message: 'recorded', data: { repairs: ['Windshield, replace'], sensor: 'front camera' } },
    ])
  })

  test('declared as not needed, with the reason', () => {
    const notNeeded = [{ sensor: 'front-camera' as const, because: 'this model has none.' }]
    expect(judge([glass, scan(camera)], { notNeeded })).toMatchObject([
      { message: 'not-needed', data: { because: 'this model has none' } },
    ])
  })
})

describe('unmet', () => {
  test('the vehicle has the sensor, and the repair was at its place', () => {
    expect(judge([glass, scan(camera)])).toMatchObject([
      { state: 'unmet', message: 'not-recorded', data: { modules: ['Lane camera in pre.pdf'] } },
    ])
    const repairs = [{ what: 'Windshield replaced' }]
    expect(messages([scan(camera)], { repairs })).toEqual(['not-recorded'])
  })

  test('the vehicle has it, and the repair was elsewhere, or its words do not tell what was done', () => {
    for (const text of ['Four-wheel alignment', 'Roof panel, replace', 'Windshield'])
      expect(messages([makeInvoice(repair(text, 'front-camera')), scan(camera)])).toEqual(['usual'])
  })

  test('a sensor that most makers want tested, not calibrated', () => {
    const sonar: ModuleReading = { name: 'Parking sensors', state: 'no-fault', sensor: 'ultrasonic' }
    const bumper = makeInvoice(repair('Front bumper cover, replace', 'ultrasonic'))
    expect(messages([bumper, scan(sonar)])).toEqual(['seldom'])
  })

  test('recorded as not performed', () => {
    const skipped = makeRecord('a.pdf', { sensor: 'front-camera', outcome: 'not-performed' })
    expect(messages([glass, skipped, scan(camera)])).toEqual(['not-performed'])
  })
})

describe('undecided', () => {
  test('what is declared or listed is answered for by calibration-recorded', () => {
    const calibrations = [{ sensor: 'front-camera' as const }]
    expect(messages([glass, scan(camera)], { calibrations })).toEqual(['required-elsewhere'])
    const listed = makeInvoice(repair('Windshield, replace', 'front-camera'), { calls: ['front-camera'] })
    expect(messages([listed, scan(camera)])).toEqual(['required-elsewhere'])
  })

  test('nothing shows that the vehicle has the sensor', () => {
    expect(messages([glass, scan(engine)])).toEqual(['may-not-be-fitted'])
    expect(messages([glass, scan({ ...camera, state: 'not-fitted' })])).toEqual(['may-not-be-fitted'])
    expect(messages([glass])).toEqual(['fitting-unknown'])
    expect(messages([makeInvoice(repair('Front bumper cover, replace', 'ultrasonic'))])).toEqual(['may-not-be-fitted'])
  })

  test('painted, or something small on the part', () => {
    for (const text of ['Windshield trim clip, replace', 'Roof, refinish', 'Polish windshield'])
      expect(messages([makeInvoice(repair(text, 'front-camera')), scan(camera)])).toEqual(['surface-work'])
    const both = makeInvoice(repair('Roof, refinish', 'front-camera'), repair('Windshield, replace', 'front-camera'))
    expect(messages([both, scan(camera)])).toEqual(['not-recorded'])
    expect(messages([], { repairs: [{ what: 'Windshield, polished' }] })).toEqual(['none-called-for'])
  })

  test('an unread file may be the record', () => {
    expect(messages([glass, scan(camera), makeUnread('calibration', 'a.pdf')])).toEqual(['maybe-unread'])
  })

  test('no repair calls for one, or for one that is asked for elsewhere', () => {
    expect(messages([makeInvoice(repair('Fender, paint'))])).toEqual(['none-called-for'])
    expect(messages([makeInvoice(repair('Tie rod, replace', 'steering-angle'))])).toEqual(['none-called-for'])
  })
})

test('several repairs that call for one sensor are one outcome', () => {
  const invoice = makeInvoice(
    repair('Windshield, replace', 'front-camera'),
    repair('Roof panel, replace', 'front-camera', 'rear-camera'),
  )
  expect(judge([invoice, scan(camera)])).toMatchObject([
    { message: 'not-recorded', data: { repairs: ['Windshield, replace', 'Roof panel, replace'] } },
    { message: 'may-not-be-fitted', data: { sensor: 'rear camera' } },
  ])
})
