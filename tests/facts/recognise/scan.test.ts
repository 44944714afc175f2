/** Modules, their states and trouble codes, in every manner of setting them out. Codes are of the form of SAE J2012. */
import { describe, expect, test } from 'vitest'
import { celled, draw, drawRow, page } from '../../reading/page-builder.ts'
import { recognise, recognisePages } from './recognised.ts'

const scan = (text: string) => recognise(text, 'scan')
const modules = (text: string) => scan(text).modules?.map(({ name, state }) => [name, state])
const codes = (text: string) =>
  scan(text).codes?.map(({ module, code, failureType, status, text: words }) =>
    [module, failureType ? `${code}-${failureType}` : code, status, words].filter((part) => part !== undefined),
  )

describe('modules', () => {
  test('in a table', () => {
    expect(
      modules(`
        Module              Result
        Engine control      OK
        Front radar         Fault
        Park assist         No response
        Trailer             Not fitted
      `),
    ).toEqual([
      ['Engine control', 'no-fault'],
      ['Front radar', 'fault'],
      ['Park assist', 'no-response'],
      ['Trailer', 'not-fitted'],
    ])
  })

  test('in a table whose first column names their groups, each cell of it beside several rows', () => {
    const report = (y: number, rows: readonly (readonly [y: number, x: number, text: string])[]) =>
      [
        ...drawRow(y, [
          [40, 'Group'],
          [140, 'Control unit'],
          [300, 'DTCs'],
          [420, 'State'],
        ]),
      ].concat(rows.flatMap(([at, x, text]) => draw(x, at, text)))
    const row = (y: number, name: string, code: string, state: string) =>
      [
        [y, 140, name],
        [y, 300, code],
        [y, 420, state],
      ] as const
    const first = report(80, [
      ...row(104, 'Gear selector', 'none', 'OK'),
      [119, 40, 'Driveline'],
      ...row(134, 'Rear axle', 'none', 'OK'),
      [164, 40, 'Assistance'],
      ...row(164, 'Lane camera', 'U0415-81', 'stored'),
      ...row(194, 'Side radar', 'none', 'OK'),
    ])
    const second = report(60, [
      [84, 40, 'Comfort'],
      ...row(84, 'Sunroof', 'none', 'OK'),
      ...row(114, 'Seats', 'none', 'OK'),
    ])
    const read = recognisePages(
      [page([...draw(40, 40, 'Vehicle scan'), ...first]), page(second, { number: 2 })],
      'scan',
    )
    expect(read.modules?.map(({ name, state }) => [name, state])).toEqual([
      ['Gear selector', 'no-fault'],
      ['Rear axle', 'no-fault'],
      ['Lane camera', 'fault'],
      ['Side radar', 'no-fault'],
      ['Sunroof', 'no-fault'],
      ['Seats', 'no-fault'],
    ])
    expect(read.codes?.map(({ code, module, status }) => [code, module, status])).toEqual([
      ['U0415', 'Lane camera', 'stored'],
    ])
  })

  test('in a table whose every row names its group first', () => {
    const rows = ['Chassis   Brakes          OK', 'Chassis   Steering rack   OK', 'Body      Left door       Fault']
    expect(modules(['Area      Module          Result', ...rows].join('\n'))).toEqual([
      ['Brakes', 'no-fault'],
      ['Steering rack', 'no-fault'],
      ['Left door', 'fault'],
    ])
  })

  test('in a table that counts their codes', () => {
    expect(modules('Module           Codes\nEngine control   0\nFront radar      2')).toEqual([
      ['Engine control', 'no-fault'],
      ['Front radar', 'fault'],
    ])
  })

  test('in a table that counts their codes by status, each status in a column of its own', () => {
    const text = `
      Address   Control unit     Active   Stored   Permanent
      10        Engine control   0        0        0
      1B        Brakes           0        2        0
      2C        Front radar      1        0        1
    `
    expect(modules(text)).toEqual([
      ['Engine control', 'no-fault'],
      ['Brakes', 'fault'],
      ['Front radar', 'fault'],
    ])
    expect(modules(text.replaceAll('Control unit', 'Mounting    '))).toEqual([])
  })

  test('as cards: a name, beneath it what identifies the module, and its state', () => {
    expect(
      modules(`
        Brakes
        Unit 3       Part 4174-B     Without fault, all clear

        Front radar
        Unit 7       SW 2.11         Faults stored

        Wipers
        Address 1F
        No reply
      `),
    ).toEqual([
      ['Brakes', 'no-fault'],
      ['Front radar', 'fault'],
      ['Wipers', 'no-response'],
    ])
  })

  test('whose state is said twice', () => {
    expect(modules('Engine          Clear, no codes\nFront radar     Faulty, code stored')).toEqual([
      ['Engine', 'no-fault'],
      ['Front radar', 'fault'],
    ])
  })

  test('in a table whose groups stand side by side', () => {
    expect(modules('System     Result     System     Result\nEngine     OK         Radar      Fault')).toEqual([
      ['Engine', 'no-fault'],
      ['Radar', 'fault'],
    ])
  })

  test('in a table under a heading that asks: "Answered"', () => {
    expect(modules('Module           Answered\nEngine control   Yes\nFront radar      No')).toEqual([
      ['Engine control', 'no-fault'],
      ['Front radar', 'no-response'],
    ])
  })

  test.each([1, 2, 3, 4])('as pairs of name and state, %i beside each other', (columns) => {
    const names = ['Engine', 'Brakes', 'Airbag', 'Steering', 'Front radar', 'Front camera', 'Gateway', 'Cluster']
    const cells = names.map((name, i) => `${name.padEnd(16)}${i === 4 ? 'Fault' : 'OK'}`.padEnd(26))
    const rows: string[] = []
    for (let i = 0; i < cells.length; i += columns) rows.push(cells.slice(i, i + columns).join(''))
    expect(modules(rows.join('\n'))).toEqual(names.map((name, i) => [name, i === 4 ? 'fault' : 'no-fault']))
  })

  test.each(['Front radar: OK', 'Front radar ..... OK', 'Front radar - OK', '✓ Front radar', 'Front radar ✓'])(
    'in one breath: %s',
    (text) => expect(modules(`${text}\n`)).toEqual([['Front radar', 'no-fault']]),
  )

  test('with marks that the report explains itself', () => {
    expect(
      modules(`
        - no fault   F fault   N/F not fitted
        Engine control      -
        Front radar         F
        Trailer             N/F
      `),
    ).toEqual([
      ['Engine control', 'no-fault'],
      ['Front radar', 'fault'],
      ['Trailer', 'not-fitted'],
    ])
  })

  test('with marks before them, an address between', () => {
    expect(
      modules(`
        O = no fault   F = fault
        F   17   Instrument panel
        O   2C   Front radar
      `),
    ).toEqual([
      ['Instrument panel', 'fault'],
      ['Front radar', 'no-fault'],
    ])
  })

  test('as headings with a state beneath', () => {
    expect(modules('Engine control\nNo codes\nFront radar\nNo communication')).toEqual([
      ['Engine control', 'no-fault'],
      ['Front radar', 'no-response'],
    ])
  })

  test('once, though named twice; what is known of a fault stays', () => {
    expect(modules('Front radar    OK\nEngine         OK\nFront radar    Fault')).toEqual([
      ['Front radar', 'fault'],
      ['Engine', 'no-fault'],
    ])
  })

  test('tell their system, sensor and position by their name', () => {
    const facts = scan('Rear corner radar left    OK\nBrake control             OK\nBody control              OK')
    expect(facts.modules?.map(({ system, sensor, position }) => [system, sensor, position])).toEqual([
      ['driver-assistance', 'corner-radar', 'rear left'],
      ['brake', undefined, undefined],
      ['other', undefined, undefined],
    ])
  })

  test.each([
    'Result          OK',
    'Odometer        48211 mi',
    'Modules with codes   3',
    'Codes found     none',
    'Ride height     OK',
    'What we did was     OK',
  ])('are no modules: %s', (text) => {
    expect(modules(`Engine    OK\n\n${text}`)).toEqual([['Engine', 'no-fault']])
  })

  test('in a list of measurements are none', () => {
    expect(modules('Reading        Value     Unit\nSupply         12.6      V\nEngine speed   0         rpm')).toEqual(
      [],
    )
  })
})

describe('codes', () => {
  test('in a table, with module, status and text', () => {
    expect(
      codes(`
        Module          Code        Status      Description
        Front radar     C1A67-54    Active      Sensor not calibrated
        Brakes          C0035       Stored      Wheel speed, left
      `),
    ).toEqual([
      ['Front radar', 'C1A67-54', 'active', 'Sensor not calibrated'],
      ['Brakes', 'C0035', 'stored', 'Wheel speed, left'],
    ])
  })

  test('in a table whose next rows belong to the module above', () => {
    expect(
      codes(`
        Module          Code        Status
        Front radar     C1A67       Active
                        C1A68       Stored
      `),
    ).toEqual([
      ['Front radar', 'C1A67', 'active'],
      ['Front radar', 'C1A68', 'stored'],
    ])
  })

  test('with their failure type in a column of its own (two hexadecimal digits, SAE J2012-DA)', () => {
    expect(
      codes(`
        Module          DTC      FTB    Status
        Front radar     C1A67    54     Active
        Airbag          B0001    1A     Pending
      `),
    ).toEqual([
      ['Front radar', 'C1A67-54', 'active'],
      ['Airbag', 'B0001-1A', 'pending'],
    ])
  })

  test.each([
    ['C1A67-54 Sensor not calibrated (Active)', 'active'],
    ['C1A67-54 Sensor not calibrated [stored]', 'stored'],
    ['C1A67-54 Sensor not calibrated - Pending', 'pending'],
    ['C1A67-54 Sensor not calibrated    Confirmed', 'confirmed'],
    ['C1A67-54    Permanent    Sensor not calibrated', 'permanent'],
    ['C1A67-54 Sensor not calibrated', 'unknown'],
  ])('on a line under the heading of their module: %s', (line, status) => {
    expect(codes(`Front radar\n  ${line}`)).toEqual([['Front radar', 'C1A67-54', status, 'Sensor not calibrated']])
  })

  test('with letters for their status, explained by the report', () => {
    expect(
      codes(`
        CUR current   HIS history
        Module          Code        ST
        Front radar     C1A67       CUR
        Brakes          C0035       HIS
      `),
    ).toEqual([
      ['Front radar', 'C1A67', 'active'],
      ['Brakes', 'C0035', 'stored'],
    ])
  })

  test('whose text stands beneath', () => {
    expect(codes('Front radar\nC1A67    Active\n  Sensor not calibrated since it was fitted')).toEqual([
      ['Front radar', 'C1A67', 'active', 'Sensor not calibrated since it was fitted'],
    ])
  })

  test('with the name of a module of the list above behind them', () => {
    expect(
      codes(`
        Engine control   OK
        Front radar      Fault

        Trouble codes
        C1A10-54   Front radar [Confirmed]
                   Not aligned
      `),
    ).toEqual([['Front radar', 'C1A10-54', 'confirmed', 'Not aligned']])
  })

  test('make their module faulty, whatever it is called elsewhere', () => {
    const facts = scan('Front radar    OK\n\nFront radar\nC1A67 Sensor not calibrated (Active)')
    expect(facts.modules?.map(({ name, state }) => [name, state])).toEqual([['Front radar', 'fault']])
    expect(facts.codes?.[0]?.system).toBe('driver-assistance')
  })

  test('once a module, with the status that either mention gives', () => {
    expect(codes('Front radar\nC1A67\n\nModule         Code     Status\nFront radar    C1A67    Active')).toEqual([
      ['Front radar', 'C1A67', 'active'],
    ])
  })

  test('of two modules are two', () => {
    expect(codes('Front radar\n  U0121 (stored)\nSteering\n  U0121 (stored)')?.map(([module]) => module)).toEqual([
      'Front radar',
      'Steering',
    ])
  })

  test('wrapped in their cell keep their whole text', () => {
    const facts = recognisePages(
      [
        page([
          ...drawRow(40, [
            [40, 'Module'],
            [150, 'Code'],
            [220, 'Status'],
            [300, 'Description'],
          ]),
          ...drawRow(54, [
            [40, 'Front radar'],
            [150, 'C1A67'],
            [220, 'Active'],
            [300, 'Sensor not calibrated'],
          ]),
          ...draw(300, 65, 'since it was fitted'),
        ]),
      ],
      'scan',
    )
    expect(facts.codes?.[0]?.text).toContain('Sensor not calibrated since it was fitted')
  })

  test('are none: words and numbers of like form', () => {
    expect(codes('Part B1234-XY\nSoftware C2.10\nBay P4')).toEqual([])
  })
})

describe('counts', () => {
  test.each([
    ['Codes found: 3', 3],
    ['Total codes      0', 0],
    ['DTCs: none', 0],
    ['16 control units answered and there were 2 trouble codes', 2],
    ['No trouble codes were stored in any unit', 0],
  ])('of codes: %s', (text, count) => {
    const facts = scan(`Engine    OK\n\n${text}`)
    expect(facts.statedCodeCount).toBe(count)
    expect(facts.evidence.statedCodeCount).toHaveLength(1)
  })

  test('of modules', () => {
    expect(scan('Modules scanned: 16\nEngine    OK').statedModuleCount).toBe(16)
  })

  test('of codes that are not stated are absent', () => {
    expect(scan('Engine    OK\nFront radar    OK').statedCodeCount).toBeUndefined()
  })
})

test('a scan with nothing in it has no modules and no codes, and is no clean scan by that', () => {
  expect(scan('SYSTEM SCAN\nHarrow Lane')).toMatchObject({ modules: [], codes: [] })
})

test('codes beneath the row of their module, in cells of their own or in one', () => {
  const text = `
     #   ECU                    Status
     03  ABS / Stability        1 fault
         C0040-11      Right front wheel speed sensor circuit short to ground   [history]
     05  Forward Radar          2 faults
         C1A03-54      Radar not calibrated  [present]
         U0415-00 Invalid data received from ABS [stored]
     06  Airbag                 OK
  `
  expect(codes(text)).toEqual([
    ['ABS / Stability', 'C0040-11', 'stored', 'Right front wheel speed sensor circuit short to ground'],
    ['Forward Radar', 'C1A03-54', 'active', 'Radar not calibrated'],
    ['Forward Radar', 'U0415-00', 'stored', 'Invalid data received from ABS'],
  ])
})

describe('the status of a code', () => {
  test('is its own, not what the column of states says of the module', () => {
    const table = `
      System          State        DTC       Type   Status      Text
      Front radar     DTC stored   C1B14     78     Confirmed   Alignment incorrect
      Brake control   DTC stored   C0035     12     Active      Wheel speed sensor
    `
    expect(codes(table)).toEqual([
      ['Front radar', 'C1B14-78', 'confirmed', 'Alignment incorrect'],
      ['Brake control', 'C0035-12', 'active', 'Wheel speed sensor'],
    ])
  })

  test('is not told by the state of the module where it has no column of its own', () => {
    expect(
      codes(
        'Module         Result         Code       Text\nFront radar    DTC stored     C1B14-78   Alignment incorrect',
      ),
    ).toEqual([['Front radar', 'C1B14-78', 'unknown', 'Alignment incorrect']])
  })

  test('stands on a card of its own lines with the module and the text', () => {
    const card = `
      SYSTEM SCAN

      Module:     Anti-lock brake
      Code:       C0040-62
      Status:     Active
      Meaning:    Right front wheel speed signal
      Module:     Front camera
      Code:       C1A67-54
      Status:     Stored
      Meaning:    Calibration data missing
    `
    expect(codes(card)).toEqual([
      ['Anti-lock brake', 'C0040-62', 'active', 'Right front wheel speed signal'],
      ['Front camera', 'C1A67-54', 'stored', 'Calibration data missing'],
    ])
  })
})

test('a module whose name is elsewhere a label, and a state that is elsewhere a heading, stay rows of their table', () => {
  const table = `
    System               State        DTC        Status
    Engine control       No DTC
    Restraint system     No DTC
    Steering angle       No DTC
    Front radar          DTC stored   C1B14-78   Active
    Keyless entry        No DTC
  `
  expect(modules(table)).toEqual([
    ['Engine control', 'no-fault'],
    ['Restraint system', 'no-fault'],
    ['Steering angle', 'no-fault'],
    ['Front radar', 'fault'],
    ['Keyless entry', 'no-fault'],
  ])
})

test('a report in two languages', () => {
  const facts = scan(`
    AUSGANGSSCAN / POST-REPAIR SCAN
    Datum / Date           17.06.2026 14:20
    Kennzeichen / Plate    LK-RV 418
    Kilometerstand / Odometer.. 48 247 km

    NR  STEUERGERAET / ECU            STATUS / STATE   CODES
    01  Motor / Engine                i.O. / OK        0
    02  Frontkamera / Front camera    i.O. / OK        0
    03  Airbag / Restraint            n.i.O. / fault   1
  `)
  expect(facts).toMatchObject({ plate: 'LK-RV 418', odometer: { value: 48247, unit: 'km' } })
  expect(facts.date?.local).toBe('2026-06-17T14:20')
  expect(facts.modules?.map(({ name, state }) => [name, state])).toEqual([
    ['Motor / Engine', 'no-fault'],
    ['Frontkamera / Front camera', 'no-fault'],
    ['Airbag / Restraint', 'fault'],
  ])
})

test('a label and its value in the column beside a code name no module', () => {
  const facts = scan(`
    Orden / Work order: OT-5560         Carroceria / Body: FAULT
    Software version: 4.0.8             B1455-12  stored
  `)
  expect(facts.modules?.map(({ name }) => name)).not.toContain('Software version: 4.0.8')
})

test('the count of a report is not that of one module in its table', () => {
  const rows = ['Powertrain', 'Brakes', 'Steering'].map((name) => [name, 'No fault codes'])
  const table = [
    ['ECU', 'Status', 'Fault code', 'Fault text'],
    ...rows,
    ['Radar', 'Fault codes stored', 'C1B14-78', 'Alignment'],
  ]
  const title = ['Report', 'Pre-scan report']
  expect(recognisePages([celled([title, [], ...table])]).statedCodeCount).toBeUndefined()
  expect(recognisePages([celled([title, ['Fault codes total', '1'], [], ...table])]).statedCodeCount).toBe(1)
})

describe('modules beside a column of labels', () => {
  const head = 'PRE-REPAIR SCAN\n'
  test('are read, and codes beneath one belong to it', () => {
    const facts = recognise(
      `${head}Battery: 12.6 V              Airbag: OK\nWork order: OT-5560          Body: FAULT\n                               B1455-12 stored`,
    )
    expect(facts.modules?.map(({ name, state }) => [name, state])).toEqual([
      ['Airbag', 'no-fault'],
      ['Body', 'fault'],
    ])
    expect(facts.codes?.map(({ module, code }) => [module, code])).toEqual([['Body', 'B1455']])
  })

  test('a state said in two languages may break off', () => {
    expect(modules('Front camera: AVERÍA /\nFAULT')).toEqual([['Front camera', 'fault']])
  })

  test('a count of codes beneath their table ends it', () => {
    const facts = scan(`
      ECU                State       Codes
      Motor / Engine     i.O. / OK   0
      Radar / Radar      i.O. / OK   0

      Geprüft / ECUs scanned: 2      Gesamt / Total fault codes: 0
    `)
    expect([facts.statedModuleCount, facts.statedCodeCount]).toEqual([2, 0])
  })
})

describe('a table on its side', () => {
  test('lists a module in each column', () => {
    const text =
      'System    Engine   Airbag   Front camera\nResult    OK       OK       Fault\nCodes     -        -        U1102-54 (stored)'
    expect(modules(text)).toEqual([
      ['Engine', 'no-fault'],
      ['Airbag', 'no-fault'],
      ['Front camera', 'fault'],
    ])
    expect(codes(text)).toEqual([['Front camera', 'U1102-54', 'stored']])
  })

  test('is none where the first line is one of headings', () => {
    expect(modules('Module    Result   Codes\nEngine    OK       0\nAirbag    Fault    1')).toEqual([
      ['Engine', 'no-fault'],
      ['Airbag', 'fault'],
    ])
  })
})

describe('in other languages', () => {
  test.each([
    ['Steuergerät        Zustand\nBremsregelung      kein Fehler\nRadar vorne        Fehler gespeichert'],
    ['Calculateur        État\nFreinage           aucun défaut\nRadar avant        défaut'],
    ['Centralita         Estado\nFrenos             SIN FALLOS\nRadar delantero    CON FALLOS'],
  ])('%s', (text) => {
    expect(modules(text)?.map(([, state]) => state)).toEqual(['no-fault', 'fault'])
  })

  test.each([
    ['C1B12-96 Sensor defekt (aktiv)', 'active'],
    ['C1B12-96 Sensor defekt (nicht vorhanden)', 'stored'],
    ['C1B12-96 capteur (mémorisé)', 'stored'],
    ['C1B12-96 sensor (presente)', 'active'],
  ])('%s', (line, status) => {
    expect(scan(`Front radar\n${line}`).codes?.[0]?.status).toBe(status)
  })
})

test.each([
  ['Fault codes total,2', 2],
  ['Total fault codes,,2', 2],
])('a count of codes in a delimited file: %s', (line, count) => {
  const cells = [
    ['Module', 'State'],
    ['Engine', 'OK'],
    ['Radar', 'Fault'],
    [''],
    line.split(',').filter((cell) => cell !== ''),
  ]
  expect(recognisePages([celled(cells)], 'pre-scan').statedCodeCount).toBe(count)
})

test('a sentence names the module behind its code, and a dash of any length parts the status from the text', () => {
  expect(
    codes(`
      Fault entries
      • U0415:81 in Lane Camera, Stored — invalid data from brake module
      • C1B22:11 in the Ride Height Unit, Active – sensor supply low
      • B1A07-15 in memory, History
    `),
  ).toEqual([
    ['Lane Camera', 'U0415-81', 'stored', 'invalid data from brake module'],
    ['Ride Height Unit', 'C1B22-11', 'active', 'sensor supply low'],
    ['B1A07-15', 'stored', 'in memory'],
  ])
})
