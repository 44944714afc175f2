import { describe, expect, it } from 'vitest'
import { sensorAngleSet as check } from '../../../src/checks/completion/sensor-angle-set.ts'
import { findAngles } from '../../../src/checks/sensor-angles.ts'
import type { CalibrationReading, MeasuredValue, OperationReading, Sensor } from '../../../src/facts/document.ts'
import { general, generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf as messages, runCheck } from '../run-check.ts'
import { makeReading } from './records.ts'

const parameters = generalParameters(check.id)
const repair = (text: string, sensor: Sensor = 'front-radar', position: string | null = null): OperationReading => {
  return { text, calls: [sensor], billed: true, kind: 'repair', position }
}
const angle = (value: number, name = 'Vertical sensor angle before drive'): MeasuredValue => {
  return { name, value, unit: 'deg', least: -0.6, most: 0.6, stated: null }
}

function packetWith(text: string, ...readings: Partial<CalibrationReading>[]) {
  return makePacket([
    makeDocument('calibration', 'record.pdf', { calibrations: readings.map(makeReading) }),
    makeDocument('invoice', 'invoice.pdf', { operations: [repair(text)] }),
  ])
}
const messagesOf = (...parts: Parameters<typeof packetWith>) =>
  messages(check, packetWith(...parts), parameters, general.procedures)
const replaced = 'Front radar sensor, replace'

describe('sensor-angle-set', () => {
  it('is met by an angle within its limits, where sensor or bracket was replaced', () => {
    expect(messagesOf(replaced, { values: [angle(0.1)] })).toEqual(['set'])
    expect(messagesOf('Replace front radar bracket', { values: [angle(0.1)] })).toEqual(['set'])
    expect(messagesOf(replaced, { values: [] }, { method: 'static', values: [angle(0.2, 'Azimuth')] })).toEqual(['set'])
  })

  it('is unmet by one outside them, and names the source of what the procedure asks', () => {
    const [outcome] = runCheck(check, packetWith(replaced, { values: [angle(0.9)] }), parameters, general.procedures)
    expect(outcome).toMatchObject({
      message: 'out',
      data: { value: '0.9 deg', sensor: 'front radar', least: -0.6, most: 0.6 },
    })
    expect(outcome?.sources?.length).toBe(1)
    const stated: MeasuredValue = { name: 'Elevation', value: 3, unit: null, stated: 'out' }
    expect(messagesOf(replaced, { values: [stated] })).toEqual(['out'])
  })

  it('is undecided where no angle is stated, or the drive learned it, or no limits stand beside it', () => {
    expect(messagesOf(replaced, {})).toEqual(['not-stated'])
    expect(messagesOf(replaced, { values: [angle(0.1, 'Horizontal angle learned')] })).toEqual(['not-stated'])
    expect(messagesOf(replaced, { values: [{ name: 'Azimuth', value: 0.2, unit: 'deg', stated: null }] })).toEqual([
      'limits-not-stated',
    ])
    const packet = packetWith(replaced, {})
    const partly = packet.documents.map((document) => ({
      ...document,
      problems: [{ code: 'lost-words', message: 'some' }],
    }))
    expect(messages(check, { ...packet, documents: partly }, parameters, general.procedures)).toEqual(['unread'])
  })

  it('does not apply to a sensor that was not touched, is not aimed by its mount, or has no record', () => {
    expect(messagesOf('Front bumper cover, replace', { values: [angle(0.9)] })).toEqual(['not-applicable'])
    expect(messagesOf(replaced, { sensor: 'front-camera', values: [angle(0.9)] })).toEqual(['not-applicable'])
    const procedures = [...general.procedures, { basis: 'The maker.', values: { angleFirst: false } }]
    expect(messages(check, packetWith(replaced, {}), parameters, procedures)).toEqual(['not-applicable'])
    expect(messages(check, packetWith(replaced, {}), parameters)).toEqual(['not-applicable'])
  })

  it('does not take one side for the other', () => {
    const corner = (position: string) =>
      makeReading({ sensor: 'corner-radar', position, method: 'static', values: [angle(0.9, 'Azimuth')] })
    const operations = [repair('Corner radar left, replace', 'corner-radar', 'left')]
    const packet = (position: string) =>
      makePacket([
        makeDocument('calibration', 'a.pdf', { calibrations: [corner(position)] }),
        makeDocument('invoice', 'b.pdf', { operations }),
      ])
    expect(messages(check, packet('rear left'), parameters, general.procedures)).toEqual(['out'])
    expect(messages(check, packet('right'), parameters, general.procedures)).toEqual(['not-applicable'])
  })

  it.each([
    ['Vertical sensor angle', true],
    ['Mounting tilt before the drive', true],
    ['AZIMUTH DEVIATION', true],
    ['Horizontal aim', true],
    ['Horizontal angle learned', false],
    ['Azimuth correction', false],
    ['Steering angle at rest', false],
    ['Target rotation', false],
    ['Horizontal aim before', false],
    ['Reflector height', false],
  ])('"%s" is an angle of the sensor: %s', (name, is) => {
    expect(findAngles(makeReading({ values: [angle(0, name)] })).length > 0).toBe(is)
  })
})
