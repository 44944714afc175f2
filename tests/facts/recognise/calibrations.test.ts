/** Calibrations: one a record or several, under headings, in rows, in whole pages. */
import { describe, expect, test } from 'vitest'
import { celled } from '../../reading/page-builder.ts'
import { lines, recognise, recognisePages } from './recognised.ts'

const record = (text: string) => recognise(`CALIBRATION RECORD\n${lines(text).join('\n')}`, 'calibration')
const calibrations = (text: string) => record(text).calibrations ?? []

describe('a record of one calibration', () => {
  const [one] = calibrations(`
    Date:       2026-05-21
    Sensor:     Front radar
    Method:     Dynamic
    Started:    09:10
    Ended:      09:24:20
    Drive time: 14 min 20 s
    Distance:   11.8 km
    Progress:   100 %
    Serial no.: LK8-220741
    Part no.:   DM-70-4410
    Procedure:  SI 32-118
    Result:     Completed
  `)

  test('is read whole', () => {
    expect(one).toMatchObject({
      sensor: 'front-radar',
      position: null,
      method: 'dynamic',
      outcome: 'completed',
      progressPercent: 100,
      durationSeconds: 860,
      distanceMetres: 11800,
      serial: 'LK8-220741',
      part: 'DM-70-4410',
      procedure: 'SI 32-118',
    })
  })

  test('takes the day of the record for times that stand alone', () => {
    expect(one?.started?.local).toBe('2026-05-21T09:10')
    expect(one?.ended?.local).toBe('2026-05-21T09:24:20')
  })

  test('has no day where the record has none', () => {
    const [undated] = calibrations('Sensor: Front radar\nStarted: 09:10\nResult: Completed')
    expect(undated?.started).toBeUndefined()
  })

  test('says where each of its facts stands', () => {
    const { evidence } = record('Sensor: Front radar\nMethod: Dynamic\nResult: Completed')
    expect(evidence['calibrations.0']?.[0]?.text).toContain('Front radar')
    expect(evidence['calibrations.0.method']?.[0]?.text).toContain('Dynamic')
    expect(evidence['calibrations.0.outcome']?.[0]?.text).toContain('Completed')
  })

  test('takes start and end out of one breath', () => {
    const [run] = calibrations(
      'Date: 2026-05-21\nSensor: Front camera\nMethod: Static\nRun: 13:12 to 13:24\nResult: OK',
    )
    expect([run?.started?.local, run?.ended?.local]).toEqual(['2026-05-21T13:12', '2026-05-21T13:24'])
  })

  test.each([
    ['09:30:15 UTC-05:00 - 09:58:50 UTC-05:00', '-05:00', '-05:00'],
    ['09:30:15-09:58:50', null, null],
    ['09:30:15 CDT – 09:58:50 CDT', '-05:00', '-05:00'],
  ])('parts no zone from its offset: %s', (times, start, end) => {
    const [run] = calibrations(`Date: 2026-05-21\nSensor: Front camera\nMethod: Static\nRun: ${times}\nResult: OK`)
    expect([run?.started?.local, run?.ended?.local]).toEqual(['2026-05-21T09:30:15', '2026-05-21T09:58:50'])
    expect([run?.started?.offset, run?.ended?.offset]).toEqual([start, end])
  })

  test('takes two times beside each other, each with its offset, for no range of one', () => {
    const line = '2026-09-04 09:30:15 UTC-05:00      2026-09-04 09:58:50 UTC-05:00'
    const [run] = calibrations(`Sensor: Front radar\nMethod: Static\n${line}\nResult: Completed`)
    expect(run?.started).toBeUndefined()
  })

  test('gives the drive that it states, and no points', () => {
    expect(record('Sensor: Front radar\nMethod: Dynamic\nDrive time: 14 min\nDistance: 11.8 km').drive).toMatchObject({
      durationSeconds: 840,
      distanceMetres: 11800,
      points: 0,
      started: null,
    })
  })

  test('of no sensor is no calibration', () => {
    expect(calibrations('Method: Dynamic\nResult: Completed')).toEqual([])
  })
})

describe('the outcome', () => {
  test.each([
    ['Completed', 'completed'],
    ['Completed successfully', 'completed'],
    ['Not completed', 'aborted'],
    ['Failed', 'failed'],
    ['Aborted by the user', 'aborted'],
    ['Not performed', 'not-performed'],
    ['Zorbel', 'unknown'],
    ['Completado con éxito', 'completed'],
    ['Terminada sin errores', 'completed'],
    ['Satisfactoria', 'completed'],
    ['No aprobada', 'failed'],
    ['No finalizado', 'aborted'],
    ['Cancelado por la operadora', 'aborted'],
    ['No realizada', 'not-performed'],
    ['Casi terminada', 'unknown'],
  ])('behind its label: %s', (text, outcome) => {
    const found = calibrations(`Sensor: Front radar\nMethod: Dynamic\nResult: ${text}`)[0]?.outcome
    // What is not complete has either failed or been broken off: both are told from "completed".
    expect(outcome === 'aborted' && found === 'failed' ? 'aborted' : found).toBe(outcome)
  })

  test('on a line of its own, as slips print it', () => {
    expect(calibrations('Sensor: Front radar\nMethod: Dynamic\n\nSTOPPED - NOT COMPLETED')[0]?.outcome).not.toBe(
      'completed',
    )
    expect(calibrations('Sensor: Front radar\nMethod: Dynamic\n\nCALIBRATION COMPLETED')[0]?.outcome).toBe('completed')
  })

  test('is not that of one measured value', () => {
    const [one] = calibrations(`
      Sensor: Front camera
      Method: Static
      Value       Actual   Min    Max    Result
      Pitch       0.1      -1.0   1.0    OK
    `)
    expect(one?.outcome).toBe('unknown')
  })

  test('is not in the label that asks what was calibrated', () => {
    expect(calibrations('Calibrated sensor: Occupant classification\nMethod: Initialization')[0]).toMatchObject({
      sensor: 'occupant-classification',
      outcome: 'unknown',
    })
    expect(calibrations('Calibrated sensor: Front radar\nMethod: Static\nFront radar calibrated')[0]?.outcome).toBe(
      'completed',
    )
  })

  test('is not advice', () => {
    expect(
      calibrations('Sensor: Front radar\nMethod: Dynamic\nBefore the calibration is completed, keep to the lane.')[0]
        ?.outcome,
    ).toBe('unknown')
  })
})

describe('a record in Spanish', () => {
  const { calibrations: found = [], ...facts } = recognise(`
    Registro de calibraciones

    Fecha: 21 de mayo de 2026
    Operadora: Nerea Altuna Rey

    1) Radar delantero: recorrido de calibración

    Hora de inicio           9:02
    Hora de fin              9:21
    Tiempo transcurrido      19 min
    Distancia recorrida      14,8 km
    Avance                   100 %
    N.º de serie del radar   RD-77120
    Intentos                 2
    Dictamen                 Superada

    2) Cámara de parabrisas

    Modo                     Con dianas, en el taller
    Comienzo                 10:40
    Finalización             11:02
    Resultado                Interrumpida por el técnico

    Parámetro              Lectura   Unidad   Límite inferior   Límite superior
    Distancia a la diana   3,502     m        3,480             3,520
    Cabeceo                -0,31     grados   -1,50             1,50
  `)

  test('is told by its heading, and names who worked', () =>
    expect(facts).toMatchObject({ kind: 'calibration', kindFrom: 'heading', technician: 'Nerea Altuna Rey' }))

  test('is cut at its numbered headings', () =>
    expect(found.map(({ sensor, method, outcome }) => [sensor, method, outcome])).toEqual([
      ['front-radar', 'dynamic', 'completed'],
      ['front-camera', 'static', 'aborted'],
    ]))

  test('states the run', () =>
    expect(found[0]).toMatchObject({
      durationSeconds: 1140,
      distanceMetres: 14800,
      progressPercent: 100,
      serial: 'RD-77120',
      started: { local: '2026-05-21T09:02' },
      ended: { local: '2026-05-21T09:21' },
    }))

  test('states what was measured', () =>
    expect(found[1]?.values).toMatchObject([
      { value: 3.502, unit: 'm', least: 3.48, most: 3.52 },
      { value: -0.31, unit: 'deg', least: -1.5, most: 1.5 },
    ]))

  test('by labels without headings', () =>
    expect(
      recognise('Acta de calibración\nSensor calibrado: Cámara delantera\nTipo: estático\nEstado final: Apta')
        .calibrations,
    ).toMatchObject([{ sensor: 'front-camera', method: 'static', outcome: 'completed' }]))
})

describe('a heading of sensor and method', () => {
  const under = (heading: string) =>
    calibrations(`Date: 2026-05-21\n\n${heading}\n\nStarted:  09:10\nEnded:  09:24\nResult:  Completed`)

  test('set apart by a colon', () => {
    expect(under('3. Front radar: calibration on the road')).toMatchObject([
      { sensor: 'front-radar', method: 'dynamic', outcome: 'completed' },
    ])
  })

  test('and no line that says how it went', () => {
    expect(
      calibrations('Sensor: Front camera\nMethod: Static\nFront radar: not needed\nResult: Completed'),
    ).toMatchObject([{ sensor: 'front-camera' }])
  })
})

describe('several calibrations', () => {
  const found = calibrations(`
    Date: 2026-05-21

    1. Front radar
    Method:   Dynamic
    Started:  09:10
    Result:   Completed

    2. Front camera
    Method:   Static
    Started:  10:30
    Result:   Failed
    Serial:   QW-77120

    3. Corner radar, rear left
    Method:   Static
    Result:   Completed
  `)

  test('under headings keep what stands beneath each', () => {
    expect(found.map(({ sensor, position, method, outcome }) => [sensor, position, method, outcome])).toEqual([
      ['front-radar', null, 'dynamic', 'completed'],
      ['front-camera', null, 'static', 'failed'],
      ['corner-radar', 'rear left', 'static', 'completed'],
    ])
    expect(found.map(({ serial }) => serial)).toEqual([undefined, 'QW-77120', undefined])
  })

  test('in the rows of a table', () => {
    const rows = calibrations(`
      Date: 2026-05-21
      Sensor              Method     Started   Ended    Result
      Front radar         Dynamic    09:10     09:24    Completed
      Front camera        Static     10:30     10:55    Failed
      Corner radar left   Static     11:10     11:30    OK
    `)
    expect(rows.map(({ sensor, position, method, outcome }) => [sensor, position, method, outcome])).toEqual([
      ['front-radar', null, 'dynamic', 'completed'],
      ['front-camera', null, 'static', 'failed'],
      ['corner-radar', 'left', 'static', 'completed'],
    ])
    expect(rows[1]?.ended?.local).toBe('2026-05-21T10:55')
  })

  test('in a table of one row take the rest of the page with them', () => {
    const [only, ...more] = calibrations(`
      Date: 2026-05-21
      Sensor              Method     Result
      Front radar         Dynamic    Completed

      Started:   09:10
      Progress:  100 %
    `)
    expect(more).toEqual([])
    expect(only).toMatchObject({ method: 'dynamic', progressPercent: 100, started: { local: '2026-05-21T09:10' } })
  })

  test('take from a closing table what their own part left unsaid', () => {
    const [radar, camera] = calibrations(`
      Front radar
      Method:   Dynamic

      Front camera
      Method:   Static

      Sensor            Method     Result       Serial
      Front radar       Dynamic    Completed    LK8-220741
      Front camera      Static     Failed       QW-77120
    `)
    expect([radar?.outcome, radar?.serial]).toEqual(['completed', 'LK8-220741'])
    expect([camera?.outcome, camera?.serial]).toEqual(['failed', 'QW-77120'])
  })

  test('that are two parts on one sensor are one, unless they contradict each other', () => {
    const parts = (second: string) =>
      calibrations(
        `Front radar\nSerial: LK8-220741\n\nFront camera\nMethod: Static\nResult: OK\n\nFront radar\n${second}`,
      )
    expect(parts('Method: Dynamic\nResult: Completed').map(({ sensor }) => sensor)).toEqual([
      'front-radar',
      'front-camera',
    ])
    expect(parts('Method: Dynamic\nResult: Completed')[0]).toMatchObject({ serial: 'LK8-220741', outcome: 'completed' })
    expect(parts('Serial: LK8-999999\nMethod: Dynamic').map(({ serial }) => serial)).toEqual([
      'LK8-220741',
      undefined,
      'LK8-999999',
    ])
  })

  test('that were joined keep their evidence under their new number', () => {
    const { calibrations: joined, evidence } = record(
      'Front radar\nSerial: LK8-220741\n\nFront camera\nMethod: Static\nResult: OK\n\nFront radar\nMethod: Dynamic\nResult: Completed',
    )
    expect(joined).toHaveLength(2)
    expect(evidence['calibrations.0.outcome']?.[0]?.text).toContain('Completed')
    expect(Object.keys(evidence).filter((path) => path.startsWith('calibrations.2'))).toEqual([])
  })

  test('in a structured file stand once, with the values of all their rows', () => {
    const { calibrations: rows } = recognisePages(
      [
        celled([
          ['sensor', 'method', 'outcome', 'measured name', 'actual', 'min', 'max'],
          ['Front camera', 'static', 'completed', 'Pitch', '0.1', '-1.0', '1.0'],
          ['Front camera', 'static', 'completed', 'Yaw', '-0.2', '-1.0', '1.0'],
        ]),
      ],
      'calibration',
    )
    expect(rows?.map(({ sensor, values }) => [sensor, values?.map(({ name, value }) => [name, value])])).toEqual([
      [
        'front-camera',
        [
          ['Pitch', 0.1],
          ['Yaw', -0.2],
        ],
      ],
    ])
  })
})

test('the values of a structured file are told from how far the calibration came', () => {
  const { calibrations: rows } = recognisePages(
    [
      celled([
        ['sensor', 'method', 'time started', 'learned', 'check point', 'measured value', 'lower', 'upper', 'ok'],
        ['Front camera', 'Dynamic', '2026-08-25 13:05', '100 %', 'Pitch', '-0.26 deg', '-2.00', '2.00', 'OK'],
        ['Front camera', 'Dynamic', '2026-08-25 13:05', '100 %', 'Yaw', '-0.71 deg', '-2.50', '2.50', 'OK'],
      ]),
    ],
    'calibration',
  )
  expect(rows).toHaveLength(1)
  expect(rows?.[0]).toMatchObject({
    progressPercent: 100,
    values: [
      { name: 'Pitch', value: -0.26, least: -2, most: 2, stated: 'ok' },
      { name: 'Yaw', value: -0.71, least: -2.5, most: 2.5, stated: 'ok' },
    ],
  })
})

test('of several numbers beside a value that nest in one row, the nearest to its name is its own', () => {
  const { calibrations: rows } = recognisePages(
    [
      celled([
        ['sensor', 'method', 'result', 'data set', 'check point', 'measured value', 'lower', 'upper', 'ok'],
        [
          'Steering angle sensor',
          'Zero setting',
          'Completed',
          '2025-06',
          'Angle at centre',
          '0.20 deg',
          '-1.50',
          '1.50',
          'OK',
        ],
      ]),
    ],
    'calibration',
  )
  expect(rows?.[0]?.values).toMatchObject([{ name: 'Angle at centre', value: 0.2, unit: 'deg' }])
})

test('labels at the foot of a page take their values from the head of the next one', () => {
  const facts = recognise(
    `CALIBRATION RECORD
Date: 2026-05-21

System calibrated     Calibration type
\fFront radar           Dynamic, road drive
Start time            End time
2026-05-21 13:22      2026-05-21 13:36
Status                Sensor S/N
Passed                MC73-4601033`,
    'calibration',
  )
  expect(facts.calibrations).toMatchObject([{ sensor: 'front-radar', method: 'dynamic', outcome: 'completed' }])
  expect(facts.evidence['calibrations.0.method']).toMatchObject([{ page: 2, text: 'Dynamic, road drive' }])
})

describe('the percentage', () => {
  const climbing = calibrations(`
    Date: 2026-05-21
    Sensor:  Front radar
    Method:  Dynamic
    09:10:00   0 %
    09:14:30   42 %
    09:24:20   100 %
    Result:  Completed
  `)[0]

  test('is read as it climbed, each with its time', () => {
    expect(climbing?.readings?.map(({ percent, at }) => [percent, at?.local])).toEqual([
      [0, '2026-05-21T09:10:00'],
      [42, '2026-05-21T09:14:30'],
      [100, '2026-05-21T09:24:20'],
    ])
  })

  test('is read as it climbed where the speed stands behind it', () => {
    const rows = '10:01:00    6% at 47 km/h\n10:03:00    58% at 71 km/h\n10:05:00    93% @ 64 km/h'
    const [only] = calibrations(`Date: 2026-05-21\nSensor:  Front radar\nMethod:  Dynamic\n${rows}\nResult:  Aborted`)
    expect(only?.readings?.map(({ percent }) => percent)).toEqual([6, 58, 93])
    expect(only?.progressPercent).toBe(93)
  })

  test('stands in the column that holds percentages, whatever the one for the time is called', () => {
    const head = 'Date:    2026-05-21\nSensor:  Front radar\nMethod:  Dynamic\n\n'
    const rows = 'At          Progress\n10:01:00    12 %\n10:03:00    78 %\n10:05:00    41 %'
    expect(calibrations(`${head}${rows}\nResult:  Completed`)[0]?.readings?.map(({ percent }) => percent)).toEqual([
      12, 78, 41,
    ])
  })

  test('is told from a charge that is listed beside it, and not taken from a line of two', () => {
    const head = 'Date: 2026-05-21\nSensor:  Front radar\nMethod:  Dynamic\n'
    const percents = (rows: string) =>
      calibrations(`${head}${rows}\nResult:  Completed`)[0]?.readings?.map(({ percent }) => percent)
    const table = 'Time        Charge     Progress\n09:10:00    92 %       0 %\n09:24:20    91 %       100 %\n'
    expect(percents(table)).toEqual([0, 100])
    expect(percents('09:10:00    92 %       0 %\n09:24:20    91 %       100 %\n')).toBeUndefined()
  })

  test('ends where the list ends, if nothing else says how far it came', () => {
    expect(climbing?.progressPercent).toBe(100)
  })

  test.each(['Progress: 142 %', 'Progress: 142', 'Result: Stopped at 2026 %'])(
    'is none beyond the whole: %s',
    (text) => {
      expect(calibrations(`Sensor: Front radar\nMethod: Dynamic\n${text}`)[0]?.progressPercent).toBeUndefined()
    },
  )

  test('beside the outcome counts', () => {
    expect(calibrations('Sensor: Front radar\nMethod: Dynamic\nResult: Stopped at 55 %')[0]?.progressPercent).toBe(55)
  })
})

describe('attempts', () => {
  test('in a table', () => {
    const [one] = calibrations(`
      Date: 2026-05-21
      Sensor:  Front radar
      Method:  Dynamic

      Run    Started    Progress    Result
      1      09:10      42 %        Aborted
      2      09:40      100 %       Completed
    `)
    expect(one?.attempts).toMatchObject([
      { outcome: 'aborted', progressPercent: 42, at: { local: '2026-05-21T09:10' } },
      { outcome: 'completed', progressPercent: 100, at: { local: '2026-05-21T09:40' } },
    ])
    expect(one).toMatchObject({ outcome: 'completed', progressPercent: 100 })
  })

  test.each([
    'Attempt 1: aborted at 38 %\nAttempt 2: completed, 100 %',
    '1st run - aborted at 38 %\n2nd run - completed, 100 %',
    'Run 1   aborted at 38 %\nRun 2   completed, 100 %',
  ])('in words: %s', (text) => {
    expect(calibrations(`Sensor: Front radar\nMethod: Dynamic\n${text}`)[0]).toMatchObject({
      outcome: 'completed',
      progressPercent: 100,
      attempts: [
        { outcome: 'aborted', progressPercent: 38 },
        { outcome: 'completed', progressPercent: 100 },
      ],
    })
  })
})

describe('a matrix of sensors and methods', () => {
  const cells = (text: string) =>
    calibrations(text).map(({ sensor, position, method, outcome }) => [sensor, position, method, outcome].join(' '))

  test('gives a calibration for each crossing that states an outcome', () => {
    expect(
      cells(`
        Sensor               Static        Dynamic
        Front camera         completed     failed
        Front radar          n/a           completed
        Rear corner radar L  ✓             -
        Remarks: none
      `),
    ).toEqual([
      'front-camera  static completed',
      'front-camera  dynamic failed',
      'front-radar  dynamic completed',
      'corner-radar rear left static completed',
    ])
  })

  test('is not seen in a line that merely names a method', () => {
    expect(cells('Sensor: Front radar\nMethod: Static\nResult: Completed')).toEqual(['front-radar  static completed'])
  })
})

test('a letter: an outcome in one of several sentences, and the serial number of the instrument', () => {
  const facts = record(`
    below is the result of the calibration of the forward facing camera of the Corvane M4,
    carried out by us with the Aimwright 3 (serial AW3-7781, software 3.0.9).
    The static calibration was completed successfully. Target distance was as specified by the maker of it.
  `)
  expect(facts.instrument).toEqual({ serial: 'AW3-7781', software: '3.0.9' })
  expect(facts.calibrations).toMatchObject([{ sensor: 'front-camera', method: 'static', outcome: 'completed' }])
  expect(facts.calibrations?.[0]?.serial).toBeUndefined()
})

describe('how many attempts it took', () => {
  const told = (text: string) =>
    calibrations(`Sensor: Front radar\nMethod: Dynamic\n${text}\nResult: Completed`)[0]?.attemptCount

  test.each([
    ['Attempts: 2', 2],
    ['Attempts: 1 of 1', 1],
    ['Number of attempts: one', 1],
    ['Completed at the first attempt.', 1],
  ])('%s', (text, count) => {
    expect(told(text)).toBe(count)
  })

  test('also in a note above the only calibration of a record, and not above one of several', () => {
    const note = 'CALIBRATION RECORD\nNote: Completed at the first attempt.\n'
    const one = (sensor: string) => `Sensor: ${sensor}\nMethod: Static\nResult: Completed\n`
    const counts = (text: string) =>
      recognise(text, 'calibration').calibrations?.map(({ attemptCount }) => attemptCount)
    expect(counts(note + one('Front radar'))).toEqual([1])
    expect(counts(note + one('Front radar') + one('Front camera'))).toEqual([undefined, undefined])
  })

  test.each([
    'Attempts: 2 of 3',
    'Attempts: several',
    'Not completed at the first attempt.',
    'Attempt 2: 100 %',
    'Runs well',
  ])('left out where it is not told: %s', (text) => {
    expect(told(text)).toBeUndefined()
  })
})

test('cards side by side keep their own outcomes', () => {
  const cards = calibrations(`
    Front camera                       Blind spot radar, rear left
    Type           Static              Type           Static
    Began          13:20               Began          13:50
    Outcome        Completed           Outcome        Failed

    Blind spot radar, rear right       Steering angle sensor
    Type           Static              Type           Zero point set
    Outcome        Completed           Outcome        Completed
  `)
  expect(cards.map(({ sensor, position, method, outcome }) => [sensor, position, method, outcome])).toEqual([
    ['front-camera', null, 'static', 'completed'],
    ['corner-radar', 'rear left', 'static', 'failed'],
    ['corner-radar', 'rear right', 'static', 'completed'],
    ['steering-angle', null, 'initialisation', 'completed'],
  ])
})

test('sensors named above or beside their facts part a record, a condition named like a sensor does not', () => {
  const { calibrations } = recognise(
    `
    CALIBRATION REPORT

    System calibrated            Calibration type
    Parking sensors              Initialization
    Start time                   End time
    2026-08-09 11:14             2026-08-09 11:19
    Status                       Fuel level
    Successful                   full

    System calibrated            Side
    Left corner radar            left
    Calibration type             Start time
    Static                       2026-08-09 11:38
    End time                     Status
    2026-08-09 12:09             Completed
    Cargo                        Fuel level
    none                         full
    Ride height
    level, unladen
    `,
    'calibration',
  )
  expect(calibrations?.map(({ sensor, method, outcome }) => [sensor, method, outcome])).toEqual([
    ['ultrasonic', 'initialisation', 'completed'],
    ['corner-radar', 'static', 'completed'],
  ])
})

test.each([
  ['Completed without error', 'completed'],
  ['The calibration was completed without any faults.', 'completed'],
  ['Completed with error', 'failed'],
  ['Without error', 'unknown'],
])('an outcome that speaks of no trouble: %s', (text, outcome) => {
  expect(calibrations(`Sensor: Front radar\nMethod: Dynamic\nResult: ${text}`)[0]?.outcome).toBe(outcome)
})

test('a time written with a spaced h', () => {
  const [one] = calibrations(
    'Date: 2026-04-21\nSensor: Front radar\nStarted: 09 h 05\nEnded: 2026-04-21 09 h 28\nResult: Completed',
  )
  expect([one?.started?.local, one?.ended?.local]).toEqual(['2026-04-21T09:05', '2026-04-21T09:28'])
})

describe('what other forms of a record say', () => {
  test.each([
    ['Method: ☒ Static ☐ Dynamic', 'static'],
    ['Method: [ ] Static [x] Dynamic', 'dynamic'],
    ['Method: ☐ Static ☐ Dynamic', 'unknown'],
    ['Method: ☒ Static ☒ Dynamic', 'unknown'],
  ])('of options what is ticked: %s', (line, method) => {
    expect(calibrations(`Sensor: Front camera\n${line}\nResult: Completed`)[0]?.method).toBe(method)
  })

  test('of options the sensor that is ticked, wherever it stands', () => {
    const [one] = calibrations('Sensor: ☐ Front radar ☒ Front camera\nMethod: Static\nResult: Completed')
    expect(one?.sensor).toBe('front-camera')
  })

  test.each([
    ['elapsed seconds: 1421', 1421],
    ['Duration (min): 23,5', 1410],
    ['Duration: 00:22:40', 1360],
  ])('a duration whose unit may stand in its label: %s', (line, seconds) => {
    const [one] = calibrations(`Sensor: Front camera\nMethod: Dynamic\n${line}\nResult: Completed`)
    expect(one?.durationSeconds).toBe(seconds)
  })

  test('start and end in the head of a record of one sensor', () => {
    const [one] = calibrations(`
      Date     14-Oct-2026
      Start    10:02
      End      10:27

      Sensor   Corner radar, rear left
      Method   Static
      Result   Completed
    `)
    expect([one?.started?.local, one?.ended?.local]).toEqual(['2026-10-14T10:02', '2026-10-14T10:27'])
  })

  test('a row of a value alone belongs to the sensor above it', () => {
    const [one] = calibrations(`
      Sensor         Method    Result       Value       Actual   Min     Max
      Front radar    Static    Completed    Azimuth     0.14     -0.80   0.80
                                            Elevation   -0.22    -1.00   1.00
    `)
    expect(one?.values?.map(({ name, value }) => [name, value])).toEqual([
      ['Azimuth', 0.14],
      ['Elevation', -0.22],
    ])
  })
})

test.each([
  [
    'German',
    'Einstellprotokoll Radarsensor vorne\nVerfahren: statisch\nSeriennummer: BR-1\nErgebnis: erfolgreich abgeschlossen',
    'front-radar',
    'static',
    'completed',
  ],
  [
    'French',
    'Compte rendu de calibrage\nCapteur : caméra frontale\nMéthode : dynamique\nRésultat : réussi',
    'front-camera',
    'dynamic',
    'completed',
  ],
  [
    'Spanish',
    'Informe de calibración\nSensor: radar trasero izquierdo\nMétodo: estático\nResultado: interrumpido',
    'corner-radar',
    'static',
    'aborted',
  ],
] as const)('a record in %s', (_language, text, sensor, method, outcome) => {
  const facts = recognise(text)
  expect(facts.kind).toBe('calibration')
  expect(facts.calibrations).toMatchObject([{ sensor, method, outcome }])
})

test.each([
  ['Completed on 2nd vehicle', 'unknown'],
  ['Completed on the second attempt', 'completed'],
  ['only partly completed', 'unknown'],
  ['nearly complete', 'unknown'],
  ['learned, then lost', 'unknown'],
  ['Completed for a different VIN', 'unknown'],
  ['terminated normally', 'completed'],
])('an outcome that is half a one is none: %s', (said, outcome) => {
  expect(calibrations(`Sensor: Front radar\nMethod: Static\nResult: ${said}`)[0]?.outcome).toBe(outcome)
})

test('pairs of label and value side by side are no table on its side', () => {
  const [one] = calibrations(`
    Component    Front camera    Mode                Dynamic
    Begin        09:10           Finish              09:24
    Outcome      Completed       Learning progress   100 %
  `)
  expect(one).toMatchObject({ sensor: 'front-camera', method: 'dynamic', outcome: 'completed', progressPercent: 100 })
})
