import { expect, test } from 'vitest'
import { sensorSerialAgrees } from '../../../src/checks/identity/sensor-serial-agrees.ts'
import type { CalibrationReading, DocumentFacts, OperationReading, Sensor } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, vin } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const parameters = generalParameters('sensor-serial-agrees')

function record(serial: string | undefined, sensor: Sensor = 'front-radar', position: string | null = null) {
  const reading: CalibrationReading = { sensor, position, method: 'dynamic', outcome: 'completed' }
  if (serial !== undefined) reading.serial = serial
  return makeDocument('calibration', `${position ?? ''}${sensor}.pdf`, { calibrations: [reading] })
}
function invoice(...operations: Partial<OperationReading>[]): DocumentFacts {
  const whole = operations.map((operation): OperationReading => {
    return { text: 'Front radar replaced', calls: ['front-radar'], billed: true, kind: 'repair', ...operation }
  })
  return makeDocument('invoice', 'invoice.pdf', { operations: whole })
}
function label(file: string, ...texts: string[]): DocumentFacts {
  const barcodes = texts.map((text) => ({ symbology: 'code-128', text }))
  return makeDocument('photo', file, { vin: undefined, photo: { taken: null, location: null, barcodes } })
}
const judge = (...documents: DocumentFacts[]) => runCheck(sensorSerialAgrees, makePacket(documents), parameters)
const messages = (...documents: DocumentFacts[]) => judge(...documents).map((outcome) => outcome.message)

test('record, invoice and label say the same, grouped and cased differently', () => {
  const [outcome] = judge(
    record('FR-7A-553019'),
    invoice({ serial: 'fr7a553019' }),
    label('label.jpg', 'FR 7A 553019', vin),
  )
  expect(outcome).toMatchObject({
    message: 'agrees',
    data: { sensor: 'front radar', serial: 'FR-7A-553019', files: ['front-radar.pdf', 'invoice.pdf', 'label.jpg'] },
  })
})

test('the typed end of the number agrees; too short an end leaves it open', () => {
  expect(messages(record('3019'), invoice({ serial: 'FR7A553019' }))).toEqual(['agrees'])
  expect(messages(record('019'), invoice({ serial: 'FR7A553019' }))).toEqual(['too-short'])
  expect(messages(record('FR7A'), invoice({ serial: 'FR7A553019' }))).toEqual(['differs'])
})

test('another number in the invoice', () => {
  expect(judge(record('FR7A553019'), invoice({ serial: 'FR7A553091' }))).toMatchObject([
    {
      state: 'unmet',
      message: 'differs',
      data: { serial: 'FR7A553019', other: 'FR7A553091', otherFile: 'invoice.pdf' },
    },
  ])
})

test('serial numbers of other sensors and positions are never compared', () => {
  const left = record('AAAA1111', 'corner-radar', 'left')
  const right = record('BBBB2222', 'corner-radar', 'right')
  expect(messages(left, right)).toEqual(['nothing-to-compare', 'nothing-to-compare'])
  expect(messages(record('AAAA1111'), record('BBBB2222', 'front-camera'))).toEqual([
    'nothing-to-compare',
    'nothing-to-compare',
  ])
  expect(messages(left, invoice({ serial: 'AAAA1111', calls: ['corner-radar'] }))).toEqual(['agrees'])
  expect(messages(record('AAAA1111'), invoice({ serial: 'BBBB2222', calls: ['front-radar', 'front-camera'] }))).toEqual(
    ['nothing-to-compare'],
  )
})

test('the only label beside the only number', () => {
  expect(messages(record('FR7A553019'), label('a.jpg', 'FR7A553091'))).toEqual(['label-differs'])
  expect(messages(record('3019'), label('a.jpg', '1P4477-S-FR7A553019'))).toEqual(['agrees'])
  expect(messages(record('FR7A553019'), label('a.jpg', 'L77'))).toEqual(['nothing-to-compare'])
})

test('labels that may be of other sensors leave it open', () => {
  expect(messages(record('FR7A553019'), label('a.jpg', 'FR7A553091'), label('b.jpg', 'CAM0000001'))).toEqual([
    'label-unclear',
  ])
  const camera = record('CAM0000001', 'front-camera')
  const radar = record('FR7A553019')
  expect(messages(camera, radar, label('a.jpg', 'CAM0000001'), label('b.jpg', 'FR7A553019'))).toEqual([
    'agrees',
    'agrees',
  ])
  expect(messages(camera, radar, label('a.jpg', 'CAM0000001'), label('b.jpg', 'FR7A553091'))).toEqual([
    'agrees',
    'label-differs',
  ])
})

test('a part number on the label is no serial number', () => {
  const bill = invoice({ text: 'Front radar', part: '4477-AB' })
  expect(messages(record('FR7A553019'), bill, label('a.jpg', '4477AB'))).toEqual(['nothing-to-compare'])
})

test('a replaced sensor whose number nobody wrote down', () => {
  expect(judge(record(undefined), invoice({}))).toMatchObject([
    { state: 'unmet', message: 'none-recorded', data: { sensor: 'front radar', operation: 'Front radar replaced' } },
  ])
  const both = invoice({ text: 'Corner radars left and right, replace', calls: ['corner-radar'] })
  expect(messages(both)).toEqual(['none-recorded'])
  const declaration = { repairs: [{ what: 'Front radar replaced' }] }
  const packet = makePacket([record(undefined)], { declaration })
  expect(runCheck(sensorSerialAgrees, packet, parameters).map((one) => one.message)).toEqual(['none-recorded'])
})

test.each([
  ['Replace front radar bracket'],
  ['Windshield replaced, camera refitted'],
  ['Front radar removed and refitted'],
])('"%s" replaces no sensor', (text) => {
  expect(messages(invoice({ text, calls: ['front-radar', 'front-camera'] }))).toEqual(['not-applicable'])
})

test('the number of a replaced sensor may stand in a file that was not read, or on a label', () => {
  const unread = makeDocument('calibration', 'scan.pdf', {
    vin: undefined,
    problems: [{ code: 'no-text-layer', message: '-' }],
  })
  expect(messages(invoice({}), unread)).toEqual(['unread'])
  expect(messages(invoice({}), label('a.jpg', 'FR7A553019'))).toEqual(['unread'])
})

test('no number and no replaced sensor', () => {
  expect(messages(record(undefined))).toEqual(['not-applicable'])
})

/** A paper with bar codes on its pages. */
const paper = (...texts: string[]) =>
  makeDocument('other', 'sheet.pdf', { barcodes: texts.map((text) => ({ symbology: 'code-128', text })) })

test('a bar code on a paper bears a number out, and never speaks against it', () => {
  const [outcome] = judge(record('FR7A553019'), paper('RO-48117', 'FR7A553019'))
  expect(outcome).toMatchObject({ message: 'agrees', data: { files: ['front-radar.pdf', 'sheet.pdf'] } })
  expect(messages(record('FR7A553019'), paper('FR7A553091'))).toEqual(['nothing-to-compare'])
  expect(messages(record('553019'), paper('3019'))).toEqual(['nothing-to-compare'])
  expect(messages(invoice({}), paper('RO-48117'))).toEqual(['none-recorded'])
})
