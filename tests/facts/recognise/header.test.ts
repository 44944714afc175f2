/** The head of a document: vehicle, job, people, instrument. VINs are made up; their check digits follow 49 CFR 565.15. */
import { describe, expect, test } from 'vitest'
import { draw, drawLines, drawRow, page, typed } from '../../reading/page-builder.ts'
import { lines, recognise, recognisePages } from './recognised.ts'

const vin = '5W9HA4E2XNB104472'

describe('the VIN', () => {
  test.each([
    ['labelled', `VIN: ${vin}`],
    ['glued to its label', `VIN:${vin}`],
    ['without a label', `Corvane M4   ${vin}   white`],
    ['in groups', 'VIN: 5W9 HA4E2 X NB104472'],
  ])('%s', (_how, text) => {
    expect(recognise(`SYSTEM SCAN\n${text}`)).toMatchObject({ vin, vins: [{ value: vin }] })
  })

  test('in part, where the document hides the rest', () => {
    expect(recognise('SYSTEM SCAN\nVIN: *********NB104472').vin).toBe('NB104472')
  })

  test('as printed, wrong or not', () => {
    expect(recognise('SYSTEM SCAN\nVIN: 5W9HA4E21NB104472').vin).toBe('5W9HA4E21NB104472')
  })

  test('out of a picture only where its check digit bears it out', () => {
    const read = (text: string) => {
      const page = typed(lines(text))
      return recognisePages([{ ...page, words: page.words.map((word) => ({ ...word, confidence: 92 })) }]).vin
    }
    expect(read(`VIN: ${vin}`)).toBe(vin)
    expect(read(`VIN: ${vin.replace('0', 'O')}`)).toBe(vin)
    expect(read(`VIN: ${vin.replace('HA4', 'HA9')}`)).toBeUndefined()
    expect(read('VIN: *********4472')).toBeUndefined()
  })

  test('what cannot be read in a picture is not taken from beside it, and no other date stands in for it', () => {
    const read = (text: string) => {
      const page = typed(lines(text))
      return recognisePages([{ ...page, words: page.words.map((word) => ({ ...word, confidence: 92 })) }])
    }
    const whole = 'SYSTEM SCAN\nDate: 2026-01-12 09:33\nClaim: TWR 90-1184\nChecked to: 2026-05-15\nOdometer: 40220 mi'
    expect(read(whole)).toMatchObject({ date: { local: '2026-01-12T09:33' }, odometer: { value: 40220 } })
    expect(read('SYSTEM SCAN\n21 May 2026 14:05\n\nEngine   OK').date?.local).toBe('2026-05-21T14:05')
    expect(read('SYSTEM SCAN\n21 May 2026 14:05\nDate: ▯\n\nEngine   OK').date).toBeUndefined()
    const doubtful = read(whole.replace('2026-01-12 09:33', '▯').replace('90-1184', '▯').replace('40220', '▯'))
    expect(doubtful.date).toBeUndefined()
    expect(doubtful.claimNumber).toBeUndefined()
    expect(doubtful.odometer).toBeUndefined()
  })

  test('every one that the document names, the labelled one first, each with its places', () => {
    const other = '1Y9FG2R35KD550264'
    const facts = recognise(`SYSTEM SCAN\nDonor ${other}\nVIN: ${vin}\nBarcode ${vin}`)
    expect(facts.vin).toBe(vin)
    expect(facts.vins?.map(({ value, evidence }) => [value, evidence.length])).toEqual([
      [vin, 2],
      [other, 1],
    ])
  })

  test('none: numbers of the same length are none', () => {
    expect(recognise('SYSTEM SCAN\nRecord 20260521140512345').vin).toBeUndefined()
  })
})

describe('the date of loss', () => {
  test.each([
    ['DATE OF LOSS: 05/21/2026', '2026-05-21'],
    ['Accident date   21 May 2026', '2026-05-21'],
    ['Loss: 2026-05-21\nDate of loss: 21-May-2026', '2026-05-21'],
  ])('%s', (text, local) => {
    const facts = recognise(`INVOICE\nInvoice date: 05/30/2026\n${text}\nBumper cover, replace   1   200.00`)
    expect(facts.lossDate?.local).toBe(local)
    expect(facts.date?.local).toBe('2026-05-30')
    expect(facts.evidence.lossDate?.length).toBeGreaterThan(0)
  })

  test('none where a paper gives two, or no date', () => {
    const paper = (text: string) => recognise(`INVOICE\nInvoice date: 05/30/2026\n${text}`).lossDate
    expect(paper('Date of loss: 05/21/2026\nDate of loss: 03/02/2025')).toBeUndefined()
    expect(paper('Loss: total')).toBeUndefined()
    expect(paper('Total: 200.00')).toBeUndefined()
  })
})

describe('the date', () => {
  test.each([
    ['Scan date: 2026-05-21 14:05', '2026-05-21T14:05', null],
    ['Scanned: 21-MAY-2026 2:05 PM', '2026-05-21T14:05', null],
    ['Scan date: 2026-05-21 14:05:09 -06:00', '2026-05-21T14:05:09', '-06:00'],
    ['Date: 21.05.2026   Time: 14:05', '2026-05-21T14:05', null],
    ['Date        21 May 2026', '2026-05-21', null],
    ['Scan time      21 May 2026 02:05 PM EDT', '2026-05-21T14:05', '-04:00'],
    ['Read      21 May 2026 14:05', '2026-05-21T14:05', null],
  ])('%s', (text, local, offset) => {
    expect(recognise(`SYSTEM SCAN\n${text}`).date).toMatchObject({ local, offset })
  })

  test('whose day and month cannot be told apart is kept open, with both readings', () => {
    expect(recognise('SYSTEM SCAN\nScan date: 03/04/2026 14:05').date).toMatchObject({
      local: null,
      alternatives: expect.arrayContaining(['2026-04-03T14:05', '2026-03-04T14:05']),
    })
  })

  test('is settled by another date of the same document', () => {
    const facts = recognise('SYSTEM SCAN\nScan date: 03/04/2026 14:05\nLoss date: 25/03/2026')
    expect(facts.date?.local).toBe('2026-04-03T14:05')
  })

  test('is left open where nothing in the document proves its order: the packet may', () => {
    const { date } = recognise('SYSTEM SCAN\nScan date: 03/04/2026 14:05\nOdometer: 31,204 mi', 'scan')
    expect(date).toMatchObject({ local: null, alternatives: ['2026-04-03T14:05', '2026-03-04T14:05'] })
  })

  test('is not that of an expiry, a licence or a loss beside it', () => {
    const facts = recognise(`
      SYSTEM SCAN
      Loss date:         2026-05-02
      Licence expires:   2027-01-01
      Bench check valid until 2026-12-31
      Scan date:         2026-05-21 14:05
    `)
    expect(facts.date?.local).toBe('2026-05-21T14:05')
    expect(recognise('SYSTEM SCAN\nLicence expires:   2027-01-01').date).toBeUndefined()
  })

  test('is not that of the service information which the record cites', () => {
    const text = `
      CALIBRATION RECORD
      Sensor:         Front camera
      Method:         Static
      Result:         Completed
      OEM procedure:  AFV 52-3942, issued 2026-04-14
      Data version:   2025-03
    `
    expect(recognise(text).date).toBeUndefined()
    expect(recognise(text.replace('Method:', 'Scan date:      2026-05-21 14:05\n      Method:')).date?.local).toBe(
      '2026-05-21T14:05',
    )
    expect(recognise('CALIBRATION RECORD\nSensor:  Front camera\nIssued:  2026-05-21 14:05').date?.local).toBe(
      '2026-05-21T14:05',
    )
  })

  test('of printing, in the footer, gives way to the date of the work', () => {
    const facts = recognise(
      `CALIBRATION RECORD
      Sensor:   Front radar
      Method:   Dynamic
      Started:  2026-05-21 09:10
      Ended:    2026-05-21 09:24
      Result:   Completed
      Progress: 100 %

      Printed:  2026-06-02 16:40`.replace(/^ {6}/gm, ''),
    )
    expect(facts.date?.local).toBe('2026-05-21T09:10')
  })

  test('may stand alone beneath the title', () => {
    expect(recognise('SYSTEM SCAN\n21 May 2026 14:05\n\nEngine   OK\nRadar   OK').date?.local).toBe('2026-05-21T14:05')
  })

  test.each([
    ['a title', ['ESTIMATE', '21-MAY-2026'], '2026-05-21'],
    ['the name of something else', ['DEADLINE', '21-MAY-2026'], undefined],
  ])('may stand alone beneath %s in a corner', (_, corner, local) => {
    const head = [
      drawRow(40, [
        [50, 'Corran Glass'],
        [480, corner[0] ?? ''],
      ]),
      drawRow(52, [
        [50, '7 Hale Rd'],
        [480, corner[1] ?? ''],
      ]),
    ]
    const rest = drawLines(50, 100, ['VIN: 5W9HA4E2XNB104472', 'Line  Work  Net', '01  Windshield  918.35'])
    expect(recognisePages([page([...head.flat(), ...rest])]).date?.local).toBe(local)
  })

  test('goes on beneath where its clock is parted from its half of the day and its zone', () => {
    const read = (beneath: string) =>
      recognisePages([
        page([
          ...drawRow(
            40,
            [
              [50, 'READ'],
              [300, 'PLATE'],
            ],
            { size: 7 },
          ),
          ...drawRow(50, [
            [50, 'Monday, May 4, 2026 at 8:47'],
            [300, 'JHD 2240'],
          ]),
          ...draw(50, 61, beneath),
          ...drawLines(50, 100, ['SYSTEM SCAN', 'No codes.']),
        ]),
      ]).date
    expect(read('PM MDT')).toMatchObject({ local: '2026-05-04T20:47', offset: '-06:00' })
    expect(read('Bay 3')).toMatchObject({ local: '2026-05-04T08:47', offset: null })
  })

  test.each([
    ['Registration: WX21 KDV', '+01:00'],
    ['Total: £684.90', '+01:00'],
    ['Combe Mill, Holsdown TQ9 5AA', '+01:00'],
    ['Plate: 8GT W41', null],
  ])('has the zone that its words have where it was made: %s', (text, offset) => {
    expect(recognise(`SYSTEM SCAN\n${text}\nScan date: 2026-10-09 15:47 BST`).date).toMatchObject({ offset })
  })

  test('is absent where the document has none', () => {
    expect(recognise('SYSTEM SCAN\nEngine   OK').date).toBeUndefined()
  })
})

describe('the odometer', () => {
  test.each([
    ['Odometer: 48,211 mi', 48211, 'mi'],
    ['Odometer: 27 438 km', 27438, 'km'],
    ['Mileage  48211', 48211, null],
    ['Km at intake: 27438', 27438, 'km'],
    ['Miles in: 48211', 48211, 'mi'],
  ])('%s', (text, value, unit) => {
    expect(recognise(`SYSTEM SCAN\n${text}`).odometer).toEqual({ value, unit })
  })

  test('is no distance driven, speed or service interval', () => {
    expect(
      recognise('SYSTEM SCAN\nDrive distance 11.8 mi\nNext service in 10 000 km\nDriven 4200 km since').odometer,
    ).toBeUndefined()
  })
})

describe('the job and the claim', () => {
  test.each([
    ['Repair order: 4471', '4471'],
    ['RO#4471', '4471'],
    ['Job no.: W-20933', 'W-20933'],
    ['Work order: 4471 for the 2024 Durnholt Quill', '4471'],
    ['Job: YT-88. Progress was good', 'YT-88'],
    ['Our job: 4471 (two of three)', '4471'],
  ])('%s', (text, job) => {
    expect(recognise(`SYSTEM SCAN\n${text}`).jobNumber).toBe(job)
  })

  test('are told apart', () => {
    const facts = recognise('SYSTEM SCAN\nClaim no.: BW-77120-A\nRO: 4471')
    expect([facts.claimNumber, facts.jobNumber]).toEqual(['BW-77120-A', '4471'])
  })
})

describe('people and the rest', () => {
  const facts = recognise(`
    SYSTEM SCAN
    Technician:   Odalys Fenwright (level 2)
    Plate:        RKT 2207
    Battery:      12,6 V
    Vehicle:      2024 Durnholt Quill
    Tool:         Brantling Sweep 4
    Tool serial:  SW4-008813
    Software:     9.2.0
  `)

  test('the technician, without what is added in brackets', () => expect(facts.technician).toBe('Odalys Fenwright'))
  test('the plate', () => expect(facts.plate).toBe('RKT 2207'))
  test('the battery, with a decimal comma', () => expect(facts.batteryVolts).toBe(12.6))
  test('the vehicle', () => expect(facts.vehicle).toEqual({ year: 2024, make: 'Durnholt', model: 'Quill' }))
  test('the instrument', () =>
    expect(facts.instrument).toEqual({ name: 'Brantling Sweep 4', serial: 'SW4-008813', software: '9.2.0' }))

  test('a technician on an invoice signed for nothing that was measured', () => {
    expect(recognise('INVOICE\nTechnician: Odalys Fenwright\nScan   $ 85.00').technician).toBeUndefined()
  })

  test('volts of a sensor are not the battery’s', () => {
    expect(recognise('SYSTEM SCAN\nC1A67   sensor circuit 12.1 V').batteryVolts).toBeUndefined()
  })

  test('every fact of the head is placed where it stands', () => {
    for (const key of ['technician', 'plate', 'batteryVolts', 'vehicle', 'instrument.serial'])
      expect(facts.evidence[key]?.[0]?.page).toBe(1)
    expect(facts.evidence.plate?.[0]?.text).toContain('RKT 2207')
  })
})

describe('who worked, in the feminine', () => {
  test.each([
    'Técnica responsable',
    'Operaria',
    'Técnica',
    'Mecánica responsable',
    'Realizado por',
    'Technikerin',
    'Prüferin',
    'Technicienne',
    'Opératrice',
  ])('%s', (label) =>
    expect(recognise(`PRE-REPAIR SCAN\n${label}: Eider Montalvo`, 'pre-scan').technician).toBe('Eider Montalvo'),
  )
})

describe('a unit in the label is that of the bare number beside it', () => {
  const units = (text: string) => recognise(`CALIBRATION RECORD\nDate: 2026-05-21\n${text}`, 'calibration')

  test.each([
    ['Supply (V): 12,9', 12.9],
    ['Battery voltage [mV]: 12900', 12.9],
    ['Battery (%): 85', undefined],
  ])('%s', (text, volts) => expect(units(text).batteryVolts).toBe(volts))

  test.each([
    ['Mileage (km): 28114', 'km'],
    ['Kilometraje (mi): 28114', 'mi'],
    ['Mileage (km): 28114 mi', 'mi'],
  ])('%s', (text, unit) => expect(units(text).odometer).toEqual({ value: 28114, unit }))

  test('a drive and a tire', () => {
    const facts = units(`
Sensor: Front radar
Method: Dynamic
Distance driven (km): 14.8
Road time (min): 19
Tire pressure (kPa): 240
`)
    expect(facts.calibrations).toMatchObject([{ distanceMetres: 14800, durationSeconds: 1140 }])
    expect(facts.conditions).toMatchObject([{ about: 'tire-pressure', value: 240, unit: 'kPa' }])
  })

  test('in the heading of a column', () => {
    const facts = units(`

Sensor           Method     Duration (min)   Distance (mi)   Result
Front radar      Dynamic    23               10              Completed
Front camera     Dynamic    12               5               Completed
`)
    expect(facts.calibrations).toMatchObject([
      // A mile is 1609.344 m (international yard and pound agreement, 1959).
      { durationSeconds: 1380, distanceMetres: 16093 },
      { durationSeconds: 720, distanceMetres: 8047 },
    ])
  })
})

test('the serial number of the instrument under a plain "Serie"', () =>
  expect(recognise('POST-REPAIR SCAN\nEquipo: Brisel Kanto\nSerie: BK-30-7714', 'post-scan').instrument).toMatchObject({
    name: 'Brisel Kanto',
    serial: 'BK-30-7714',
  }))

test('values that share a line or a label with another', () => {
  const facts = recognise(
    'INVOICE\nLic.: RKT 2207 In: 48,219 Out: 48,240\nMake / Model: Corvane M4 Sport\nModel year: 2022',
  )
  expect(facts).toMatchObject({ plate: 'RKT 2207', vehicle: { year: 2022, make: 'Corvane', model: 'M4 Sport' } })
})

test('an odometer of two digits without a unit is left out: its rest may stand on the next line', () => {
  expect(recognise('INVOICE\nOdometer: 48\n247 km').odometer?.value).not.toBe(48)
  expect(recognise('SYSTEM SCAN\nOdometer: 48 km').odometer).toEqual({ value: 48, unit: 'km' })
})

test('a model year behind the names', () => {
  expect(recognise('PRE-REPAIR SCAN\nModel: Salvora Lince 2022').vehicle?.year).toBe(2022)
})

describe('sentences of labels and values', () => {
  test('a full stop ends a number, and the next label starts behind it', () => {
    const read = recognise(`
      CALIBRATION RECORD
      Repair order no. K/2204. Registration: BK21 LMO. VIN: ${vin}. Vehicle: Ostrel Vane,
      2022. Odometer after the run: 21,460 miles.
    `)
    expect(read).toMatchObject({ jobNumber: 'K/2204', plate: 'BK21 LMO', vin, odometer: { value: 21460, unit: 'mi' } })
    expect(read.vehicle).toMatchObject({ year: 2022, make: 'Ostrel', model: 'Vane' })
  })

  test('a plate in running text may end in letters', () => {
    const text = 'The car of registration BK21 LMO was\nseen in our bay on that day and aimed anew.'
    expect(recognise(`CALIBRATION RECORD\n${text}`).plate).toBe('BK21 LMO')
  })
})

test('the model year may stand beneath the names of the vehicle, in the same column', () => {
  const read = recognise(`
    CALIBRATION RECORD
    Vehicle     Ostrel Vane, model year     Odometer    21,460 mi
                2022                        Plate       LMO 2204
    VIN         ${vin}
  `)
  expect(read.vehicle).toMatchObject({ year: 2022, make: 'Ostrel', model: 'Vane' })
  expect(read.plate).toBe('LMO 2204')
})

test('a note may open with its date and the number of the job', () => {
  const note =
    '14 March 2026 - RO K/2204\n\nThe bumper is on, the radar waits for its bracket.\nTechnician: Ilse Maronne'
  expect(recognise(note, 'statement')).toMatchObject({ date: { local: '2026-03-14' }, jobNumber: 'K/2204' })
  const labelled = 'NOTE\nRO K/2204, part due 14 March 2026\nTechnician: Ilse Maronne'
  expect(recognise(labelled, 'statement').date).toBeUndefined()
})

test('a date that breaks off before its time goes on beneath', () => {
  const read = recognise(`
    VEHICLE SCAN
    Read at                      Odometer
    Monday, 2 March 2026 at      21,460 mi
    4:20 PM
    Plate                        Technician
    LMO 2204                     Ilse Maronne
  `)
  expect(read.date?.local).toBe('2026-03-02T16:20')
})
