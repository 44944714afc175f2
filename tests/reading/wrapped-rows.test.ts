import { describe, expect, it } from 'vitest'
import type { Word } from '../../src/facts/reading.ts'
import { layOut } from '../../src/reading/layout.ts'
import { draw, drawRow, page } from './page-builder.ts'

const columns = [40, 160, 230, 300, 480] as const

/** A cell's lines about the middle of its row, 11 points apart. */
function cell(column: number, middle: number, ...lines: string[]): Word[] {
  const top = middle - 5.5 * lines.length
  return lines.flatMap((line, at) => draw(columns[column] ?? 0, top + 11 * at, line))
}

const headings = drawRow(
  100,
  ['Module', 'Result', 'DTC', 'Description', 'Status'].map((text, at) => [columns[at] ?? 0, text] as const),
)
const linesOf = (words: Word[]) =>
  layOut([page(words)]).lines.map(({ cells }) => cells.map(({ text }) => text).join(' | '))

describe('a table whose cells are wrapped and set to the middle', () => {
  const rows = [
    ...headings,
    ...[cell(0, 125, 'Steering'), cell(1, 125, 'Pass')].flat(),
    ...[cell(0, 142, 'Powertrain'), cell(1, 142, 'Pass')].flat(),
    ...[
      cell(0, 175, 'Anti-lock brakes', '(ABS)'),
      cell(1, 175, 'Fault'),
      cell(2, 175, 'C0040-', '11'),
      cell(3, 175, 'Right front wheel sensor', 'circuit short', 'to ground'),
      cell(4, 175, 'Current'),
    ].flat(),
  ]

  it('is read row by row, and what was broken at a hyphen is one word', () => {
    expect(linesOf(rows)).toEqual([
      'Module | Result | DTC | Description | Status',
      'Steering | Pass',
      'Powertrain | Pass',
      'Anti-lock brakes (ABS) | Fault | C0040-11 | Right front wheel sensor circuit short to ground | Current',
    ])
  })

  it('gives a cell that spans rows to the first of them', () => {
    const spanned = [
      ...rows,
      ...[cell(2, 215, 'C1A03-', '54'), cell(3, 215, 'Missing calibration'), cell(4, 215, 'Current')].flat(),
      ...[cell(0, 231, 'Front radar'), cell(1, 231, 'Fault')].flat(),
      ...[cell(2, 247, 'U0415-', '00'), cell(3, 247, 'Invalid data'), cell(4, 247, 'History')].flat(),
      ...[cell(0, 280, 'Restraints'), cell(1, 280, 'No', 'response')].flat(),
    ]
    expect(linesOf(spanned).slice(4)).toEqual([
      'Front radar | Fault | C1A03-54 | Missing calibration | Current',
      'U0415-00 | Invalid data | History',
      'Restraints | No response',
    ])
  })

  it('leaves what stands above and beneath it as it is', () => {
    const around = [
      ...draw(40, 60, 'Scan report'),
      ...rows,
      ...drawRow(300, [
        [40, 'Tool:'],
        [160, 'Kestrel HX2'],
      ]),
    ]
    const lines = linesOf(around)
    expect(lines[0]).toBe('Scan report')
    expect(lines.at(-1)).toBe('Tool: | Kestrel HX2')
  })
})

describe('what is not such a table', () => {
  it('a table whose rows share their baselines is read line by line', () => {
    const plain = [
      ...headings,
      ...[0, 1, 2].flatMap((row) => columns.flatMap((x) => draw(x, 130 + 14 * row, `r${row}`))),
    ]
    expect(linesOf(plain).slice(1)).toEqual([
      'r0 | r0 | r0 | r0 | r0',
      'r1 | r1 | r1 | r1 | r1',
      'r2 | r2 | r2 | r2 | r2',
    ])
  })

  it('columns of text with baselines of their own are not rows', () => {
    const left = Array.from({ length: 9 }, (_, at) => draw(40, 130 + 12 * at, `left text ${at}`)).flat()
    const right = Array.from({ length: 9 }, (_, at) => draw(320, 136 + 12 * at, `right text ${at}`)).flat()
    const lines = linesOf([...left, ...right])
    expect(lines.indexOf('left text 8')).toBeLessThan(lines.indexOf('right text 0'))
  })
})
