/** Priced lines of estimates and invoices. What a repair calls for is common practice, no source. */
import { describe, expect, test } from 'vitest'
import { callsOf, classifyOperation } from '../../../src/facts/recognise/operations.ts'
import { draw, drawRow, page } from '../../reading/page-builder.ts'
import { vocabulary } from '../shipped-vocabulary.ts'
import { recognise, recognisePages } from './recognised.ts'

const priced = (text: string) => recognise(text, 'invoice').operations?.map(({ text: what, amount }) => [what, amount])

describe('priced lines', () => {
  test('in a table; sums, taxes and payments are left out', () => {
    expect(
      priced(`
        Line   Description                    Qty   Amount
        1      Front bumper, replace          1     1,462.95
        2      Front radar calibration        1     280.00
               Subtotal                             1,742.95
               Sales tax                            121.10
               Total due                            1,864.05
               Paid by card                         1,864.05
      `),
    ).toEqual([
      ['Front bumper, replace', 1462.95],
      ['Front radar calibration', 280],
    ])
  })

  test('without headings', () => {
    expect(priced('INVOICE\n1  Front bumper, replace      $1,462.95\n2  Scan before repair         $85.00')).toEqual([
      ['Front bumper, replace', 1462.95],
      ['Scan before repair', 85],
    ])
  })

  test('without the count behind them, which the end of a part number is none of', () => {
    const [counted, numbered] =
      recognise(
        'INVOICE\nWheel sensor, replace x 2      $80.00\nFront radar, replace, part no. MT-9994-X5   $1,185.00',
        'invoice',
      ).operations ?? []
    expect(counted?.text).toBe('Wheel sensor, replace')
    expect(numbered?.part).toBe('MT-9994-X5')
  })

  test('with leaders', () => {
    expect(priced('INVOICE\nFront radar calibration ................ $280.00')).toEqual([
      ['Front radar calibration', 280],
    ])
  })

  test('in other currencies and with decimal commas', () => {
    expect(priced('INVOICE\nFront camera calibration     145,00 EUR\nScan     85,50 EUR')).toEqual([
      ['Front camera calibration', 145],
      ['Scan', 85.5],
    ])
    expect(priced('INVOICE\nFront camera calibration     £1,145.00')).toEqual([['Front camera calibration', 1145]])
  })

  test('with a code, hours and a rate beside them: the last sum counts', () => {
    expect(
      priced(`
        Op     Description                  Hours   Rate     Amount
        CAL1   Front camera calibration     1.5     140.00   210.00
      `),
    ).toEqual([['Front camera calibration', 210]])
  })

  test('whose description was wrapped keep their price', () => {
    const facts = recognisePages(
      [
        page([
          ...drawRow(40, [
            [40, 'Line'],
            [100, 'Description'],
            [450, 'Amount'],
          ]),
          ...drawRow(54, [
            [40, '1'],
            [100, 'Front radar calibration on the road'],
            [450, '280.00'],
          ]),
          ...draw(100, 65, 'with a second person'),
          ...drawRow(79, [
            [40, '2'],
            [100, 'Scan after repair'],
            [450, '85.00'],
          ]),
        ]),
      ],
      'invoice',
    )
    expect(facts.operations?.map(({ text, amount }) => [text, amount])).toEqual([
      ['Front radar calibration on the road with a second person', 280],
      ['Scan after repair', 85],
    ])
  })

  test('are billed on an invoice, and not on an estimate', () => {
    const text = 'Front radar calibration     $280.00'
    expect(recognise(text, 'invoice').operations?.map(({ billed }) => billed)).toEqual([true])
    expect(recognise(text, 'estimate').operations?.map(({ billed }) => billed)).toEqual([false])
  })

  test('of a job whose own line has no price take the sum of the job', () => {
    expect(priced('INVOICE\nA   CAL1   Front camera calibration\nLINE A TOTAL     $210.00')).toEqual([
      ['Front camera calibration', 210],
    ])
  })

  test('are placed where they stand', () => {
    const { evidence } = recognise('INVOICE\nFront radar calibration     $280.00', 'invoice')
    expect(evidence['operations.0']?.[0]?.text).toBe('Front radar calibration $280.00')
  })
})

describe('what a line is', () => {
  test.each([
    ['Front radar calibration, dynamic', 'calibration', ['front-radar'], 'dynamic'],
    ['Static calibration of front camera', 'calibration', ['front-camera'], 'static'],
    ['Steering angle sensor zero point', 'calibration', ['steering-angle'], 'initialisation'],
    ['Aim headlamps', 'calibration', ['headlamp'], undefined],
    ['Four wheel alignment', 'alignment', expect.arrayContaining(['steering-angle']), undefined],
    ['Windshield, replace', 'repair', ['front-camera'], undefined],
    ['Pre-repair scan', 'scan', [], undefined],
    ['Shop supplies', 'other', [], undefined],
  ])('%s', (text, kind, calls, method) => {
    expect(classifyOperation(text, vocabulary)).toMatchObject({ kind, calls, ...(method ? { method } : {}) })
  })

  test.each([
    ['Pre-repair scan', 'before'],
    ['Scan on arrival', 'before'],
    ['Post-repair scan', 'after'],
    ['Scan before delivery', 'after'],
    ['Scans before and after repair', undefined],
  ])('which scan: %s', (text, scan) => {
    expect(classifyOperation(text, vocabulary).scan).toBe(scan)
  })

  test('which side, serial and part', () => {
    expect(
      classifyOperation('Corner radar rear left, replace, S/N LK8-220741, P/N DM-70-4410', vocabulary),
    ).toMatchObject({
      kind: 'repair',
      position: 'rear left',
      serial: 'LK8-220741',
      part: 'DM-70-4410',
    })
  })
})

test.each([
  ['Front bumper cover', ['front-radar', 'ultrasonic']],
  ['Rear bumper cover', ['corner-radar', 'ultrasonic']],
  ['Quarter panel', ['corner-radar', 'ultrasonic']],
  ['Tailgate', ['rear-camera']],
  ['Tailgate latch', []],
  ['Lower control arm', ['steering-angle', 'front-camera', 'front-radar']],
  ['Floor mat', []],
] as const)('what a repair calls for: %s', (text, calls) => {
  expect([...callsOf(text, vocabulary)].sort()).toEqual([...calls].sort())
})

test.each([
  ['1) Remplacer le pare-brise / Replace windshield : 812.40 $', 'Remplacer le pare-brise / Replace windshield', 812.4],
  ['2) Replace windshield: 812,40 EUR', 'Replace windshield', 812.4],
  ['Replace windshield: €1.812,40', 'Replace windshield', 1812.4],
])('a price behind a colon: %s', (line, text, amount) => {
  expect(priced(`INVOICE\n${line}`)).toEqual([[text, amount]])
})
