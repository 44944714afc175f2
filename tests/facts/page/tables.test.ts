/** Tables on paper: headings, then rows beneath them. */
import { describe, expect, test } from 'vitest'
import { isFieldLine } from '../../../src/facts/page/label-spots.ts'
import { cellOf, columnOf, findTables, groupCount, type Table } from '../../../src/facts/page/tables.ts'
import type { Page, Word } from '../../../src/facts/reading.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { celled, draw, drawRow, page, typed } from '../../reading/page-builder.ts'
import { lines } from '../recognise/recognised.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

const tablesOn = (...pages: Page[]) => findTables(layOut(pages), vocabulary, (line) => isFieldLine(line, vocabulary))
const drawn = (...words: Word[][]) => tablesOn(page(words.flat()))
const written = (text: string) => tablesOn(typed(lines(text)))

/** Rows as texts, empty cells as a dash. */
const rowsOf = (table: Table | undefined) => table?.rows.map((row) => row.cells.map((cell) => cell?.text ?? '-'))
const headingsOf = (table: Table | undefined) => table?.columns.map(({ header }) => header.text)

describe('headings', () => {
  test('are told by the vocabulary, and say what their columns hold', () => {
    const [table] = written(`
      Module            Result      Codes
      Engine control    OK          0
      Front radar       Fault       2
    `)
    expect(headingsOf(table)).toEqual(['Module', 'Result', 'Codes'])
    expect(rowsOf(table)).toEqual([
      ['Engine control', 'OK', '0'],
      ['Front radar', 'Fault', '2'],
    ])
    const first = table?.rows[0]
    expect(table && first && cellOf(table, first, 'module')?.text).toBe('Engine control')
    expect(table && columnOf(table, 'amount')).toBe(-1)
    expect(table && first && cellOf(table, first, 'amount')).toBeNull()
  })

  test('may be one in three that nobody knows, not more', () => {
    expect(headingsOf(written('Module   Result   Zorbel\nRadar    OK       7')[0])).toEqual([
      'Module',
      'Result',
      'Zorbel',
    ])
    expect(written('Module   Zorbel   Quent\nRadar    OK       7')).toEqual([])
  })

  test('set close together are cut: "NO SYSTEM"', () => {
    const [table] = drawn(
      draw(40, 40, 'NO SYSTEM'),
      draw(300, 40, 'RESULT'),
      ...[1, 2].map((n) =>
        drawRow(40 + 14 * n, [
          [40, `${n}`],
          [62, `Module ${n}`],
          [300, 'OK'],
        ]),
      ),
    )
    expect(headingsOf(table)).toEqual(['NO', 'SYSTEM', 'RESULT'])
    expect(rowsOf(table)?.[0]).toEqual(['1', 'Module 1', 'OK'])
  })

  test('are no label with its value, though each word of the label heads columns elsewhere', () => {
    expect(written('Odometer at end   18858 mi\nSensor             Front camera\nMethod             Dynamic')).toEqual(
      [],
    )
  })

  test('take the number in front of a name as the number column has it', () => {
    const [table] = drawn(
      drawRow(40, [
        [40, 'No'],
        [62, 'System'],
        [300, 'Result'],
      ]),
      drawRow(54, [
        [40, '10 Front radar'],
        [300, 'OK'],
      ]),
    )
    expect(rowsOf(table)).toEqual([['10', 'Front radar', 'OK']])
  })

  test('that stand side by side again give a row several records', () => {
    const [table] = written(`
      System      Result      System      Result
      Engine      OK          Radar       Fault
      Brakes      OK          Camera      OK
    `)
    expect(table && groupCount(table)).toBe(2)
    expect(table?.columns.map(({ group }) => group)).toEqual([0, 0, 1, 1])
    const row = table?.rows[0]
    expect(table && row && [0, 1].map((group) => cellOf(table, row, 'module', group)?.text)).toEqual([
      'Engine',
      'Radar',
    ])
  })

  test.each(['Module: Result', 'Module', '12  34', 'Front radar   2026-05-21'])('are not: %s', (text) => {
    expect(written(`${text}\nRadar    OK`)).toEqual([])
  })

  test('say in which unit: a note in brackets does not change what a column is', () => {
    const [table] = written('Item      Actual (deg)   Min (deg)   Max (deg)\nCamber    -0.4           -1.0        0.5')
    expect(table && ['actual', 'least', 'most'].map((role) => columnOf(table, role as 'actual'))).toEqual([1, 2, 3])
  })

  test('of a second table end the first', () => {
    const tables = written(`
      Module     Result
      Radar      OK

      Code       Status
      B1A3C      Stored
    `)
    expect(tables.map(headingsOf)).toEqual([
      ['Module', 'Result'],
      ['Code', 'Status'],
    ])
  })
})

test('a row of equal answers is no heading', () => {
  expect(
    written('Module          Result    Status\nFront radar     OK        OK\nBrakes          OK        OK').map(rowsOf),
  ).toEqual([
    [
      ['Front radar', 'OK', 'OK'],
      ['Brakes', 'OK', 'OK'],
    ],
  ])
})

describe('rows', () => {
  test('end at a line of a label and its value', () => {
    const [table] = written(`
      Module            Result
      Engine control    OK
      Odometer:         48211 mi
      Front radar       OK
    `)
    expect(rowsOf(table)).toEqual([['Engine control', 'OK']])
  })

  test('end far below', () => {
    const [table] = drawn(
      drawRow(40, [
        [40, 'Module'],
        [300, 'Result'],
      ]),
      drawRow(54, [
        [40, 'Radar'],
        [300, 'OK'],
      ]),
      drawRow(140, [
        [40, 'Signed'],
        [300, 'Okonjo'],
      ]),
    )
    expect(rowsOf(table)).toEqual([['Radar', 'OK']])
  })

  test('go on over the page, without the header that stands there again', () => {
    const one = typed(['Harrow Lane', 'Module         Result', 'Engine         OK'])
    const two = typed(['Harrow Lane', 'Module         Result', 'Front radar    Fault'], 2)
    const tables = tablesOn(one, two)
    expect(tables.flatMap((table) => rowsOf(table) ?? [])).toEqual([
      ['Engine', 'OK'],
      ['Front radar', 'Fault'],
    ])
  })

  test('that were wrapped keep their cell', () => {
    const [table] = drawn(
      drawRow(40, [
        [40, 'Module'],
        [200, 'Code'],
        [300, 'Description'],
      ]),
      drawRow(54, [
        [40, 'Front radar'],
        [200, 'C1A67'],
        [300, 'Sensor not calibrated since'],
      ]),
      draw(300, 65, 'it was fitted'),
      drawRow(80, [
        [40, 'Brakes'],
        [200, 'C0035'],
        [300, 'Wheel speed'],
      ]),
    )
    expect(rowsOf(table)).toEqual([
      ['Front radar', 'C1A67', 'Sensor not calibrated since it was fitted'],
      ['Brakes', 'C0035', 'Wheel speed'],
    ])
    expect(table?.rows[0]?.continued.map(({ text }) => text)).toEqual(['it was fitted'])
  })

  test('may leave cells out: what stands beneath a heading is its own', () => {
    const [table] = written(`
      Module            Code      Status
      Engine control              OK
      Front radar       C1A67     Stored
    `)
    expect(rowsOf(table)).toEqual([
      ['Engine control', '-', 'OK'],
      ['Front radar', 'C1A67', 'Stored'],
    ])
  })

  test('with numbers set to the right edge go by that edge', () => {
    const right = (x: number, y: number, text: string) => draw(x - 5 * text.length, y, text)
    const [table] = drawn(
      [...draw(40, 40, 'Description'), ...right(400, 40, 'Hours'), ...right(520, 40, 'Amount')],
      [...draw(40, 54, 'Front radar calibration'), ...right(400, 54, '1.5'), ...right(520, 54, '310.00')],
      [...draw(40, 68, 'Scan'), ...right(520, 68, '85.00')],
    )
    expect(rowsOf(table)).toEqual([
      ['Front radar calibration', '1.5', '310.00'],
      ['Scan', '-', '85.00'],
    ])
  })
})

describe('structured tables', () => {
  test('go by their own columns, however the words stand on the page', () => {
    const [table] = tablesOn(
      celled([
        ['module', 'result'],
        ['a very long name of a module indeed', 'OK'],
        ['', 'Fault'],
      ]),
    )
    expect(rowsOf(table)).toEqual([
      ['a very long name of a module indeed', 'OK'],
      ['-', 'Fault'],
    ])
  })

  test('know a heading by its end: "component serial"', () => {
    const [table] = tablesOn(
      celled([
        ['sensor name', 'component serial', 'run outcome'],
        ['Front radar', 'LK8-1', 'OK'],
      ]),
    )
    expect(table && columnOf(table, 'serial')).toBe(1)
    expect(table && columnOf(table, 'outcome')).toBe(2)
  })

  test('have one group, though a heading stands twice', () => {
    const [table] = tablesOn(
      celled([
        ['module', 'result', 'result'],
        ['Radar', 'OK', '2 codes'],
      ]),
    )
    expect(rowsOf(table)).toEqual([['Radar', 'OK', '2 codes']])
    expect(table && groupCount(table)).toBe(1)
  })

  test('end at an empty row with a name and a value behind it', () => {
    const [table] = tablesOn(
      celled([
        ['Parameter', 'Measured', 'Low', 'High', 'Result'],
        ['Horizontal angle', '-0.39 deg', '-3.00', '3.00', 'OK'],
        [],
        ['Sensor', 'Left corner radar'],
        ['Position', 'left'],
      ]),
    )
    expect(rowsOf(table)).toEqual([['Horizontal angle', '-0.39 deg', '-3.00', '3.00', 'OK']])
  })

  test('go on behind an empty row with full rows', () => {
    const [table] = tablesOn(
      celled([
        ['Parameter', 'Measured', 'Low', 'High', 'Result'],
        ['Horizontal angle', '-0.39 deg', '-3.00', '3.00', 'OK'],
        [],
        ['Vertical angle', '-0.53 deg', '-1.00', '1.00', 'OK'],
      ]),
    )
    expect(rowsOf(table)).toHaveLength(2)
  })
})

describe('a heading "OK"', () => {
  const headings = ['Check point', 'Measured value', 'Lower', 'Upper', 'OK']
  const values = ['Pitch', '-0.26 deg', '-2.00', '2.00', 'OK']

  test('heads the verdicts behind other headings', () => {
    expect(headingsOf(tablesOn(celled([headings, values]))[0])).toEqual(headings)
    const paper = drawn(
      ...[headings, values].map((row, at) =>
        drawRow(
          40 + 14 * at,
          row.map((text, c) => [40 + 100 * c, text]),
        ),
      ),
    )
    expect(headingsOf(paper[0])).toEqual(headings)
    expect(paper[0] && columnOf(paper[0], 'check')).toBe(4)
  })

  test('is an answer behind a name, or in a row of answers', () => {
    expect(written('Condition   Fault   Result   OK')).toEqual([])
    expect(written('Brake module   Value   Result   Limit   OK\nRadar    3   4   5   OK')).toEqual([])
    expect(written('Status   OK\nResult   OK')).toEqual([])
  })
})

describe('headings on two lines', () => {
  const wide = (second: readonly [number, string][]) => [
    drawRow(40, [
      [40, 'Sensor'],
      [200, 'Beginn /'],
      [300, 'Ende /'],
      [400, 'Ergebnis /'],
    ]),
    drawRow(51, second),
    drawRow(70, [
      [40, 'Front radar'],
      [200, '09:15'],
      [300, '09:38'],
      [400, 'fertig /'],
    ]),
    drawRow(81, [[400, 'completed']]),
  ]

  test('are read together, and so are rows that break off', () => {
    const [table] = drawn(
      ...wide([
        [200, 'Start'],
        [300, 'End'],
        [400, 'Result'],
      ]),
    )
    expect(headingsOf(table)).toEqual(['Sensor', 'Beginn / Start', 'Ende / End', 'Ergebnis / Result'])
    expect(rowsOf(table)).toEqual([['Front radar', '09:15', '09:38', 'fertig / completed']])
    expect(table?.headerBeneath?.text).toBe('Start End Result')
  })

  test('not where the second line is a row', () => {
    const [table] = written('Module          Result\nEngine control  Good\nFront radar     Fault')
    expect(table?.headerBeneath).toBeUndefined()
    expect(table?.rows.length).toBe(2)
  })
})
