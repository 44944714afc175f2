/** Until when an instrument's own check or licence holds, its data, and what only looks like it. */
import { describe, expect, test } from 'vitest'
import { recognise } from './recognised.ts'

const record = (text: string) => recognise(`SENSOR CALIBRATION RECORD\n${text}`).instrument

describe('until when its own check holds', () => {
  test.each([
    ['Tool self-check due: 31 Jan 2027', '2027-01-31'],
    ['Station check valid through: December 31, 2026', '2026-12-31'],
    ['Instrument self-test valid until 08/31/2026. Scan took 2 min 34 s.', '2026-08-31'],
    ['Instrument: Corvane M4\nLicence valid to: 2026-12-31', '2026-12-31'],
    ['Instrument: Corvane M4\nCheck due: 2026-12-31', '2026-12-31'],
    ['Instrument: Corvane M4\nService due: 2026-12-31', '2026-12-31'],
  ])('%s', (text, local) => {
    expect(record(text)?.checkedUntil?.local).toBe(local)
  })

  test.each([
    ['a plate', 'Instrument: Corvane M4\nLicense plate valid to: 2026-12-31'],
    ['a policy', 'Instrument: Corvane M4\nInsurance valid until: 2026-12-31'],
    ['the vehicle', 'Instrument: Corvane M4\nVehicle inspection valid until: 2026-12-31'],
    ['the vehicle, whose service is due', 'Odometer: 41200 mi\nService due: 2026-12-31\nInstrument: Corvane M4'],
    ['a service apart from the instrument', 'Instrument: Corvane M4\nOperator: I. Marsh\nService due: 2026-12-31'],
    ['an offer', 'Valid until: 2026-12-31'],
    ['a payment', 'Instrument: Corvane M4\nPayment due: 2026-12-31'],
    ['a day that may be of the check or of its end', 'Tool self-test: 2026-12-31'],
    ['far from the instrument', 'Instrument: Corvane M4\n\nOne\nTwo\nThree\nFour\nValid until: 2026-12-31'],
  ])('not of %s', (_what, text) => {
    expect(record(text)?.checkedUntil).toBeUndefined()
  })

  test('an invoice speaks of no instrument', () => {
    expect(recognise('INVOICE\nTool check due: 2026-12-31', 'invoice').instrument).toBeUndefined()
  })

  test('when it was made', () => {
    expect(record('Station no.: HA3-1180\nLast check: 02.02.2026')).toMatchObject({
      checkedOn: { local: '2026-02-02' },
    })
  })
})

test('the data that it calibrates by', () => {
  expect(record('Target data set: LG-2026-02')?.calibrationData).toBe('LG-2026-02')
  expect(recognise('WHEEL ALIGNMENT REPORT\nSpecification: 2022 Norbeck', 'alignment').instrument).toBeUndefined()
})

test("a plain serial beside the instrument is its own, in a sentence about the sensor the sensor's", () => {
  const text = `We confirm that the front radar of this vehicle, serial number NR-77-20415, was calibrated on 2026-06-17.

Instrument: Orrberg D7
Serial no.: OD7-114-0093
`
  const facts = recognise(`CALIBRATION CERTIFICATE: front radar, dynamic\n${text}`)
  expect(facts.instrument?.serial).toBe('OD7-114-0093')
  expect(facts.calibrations?.[0]?.serial).toBe('NR-77-20415')
})
