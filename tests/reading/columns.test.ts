/** Parts of a page side by side: cut apart where they are read one after the other, left whole where they are read across. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Word } from '../../src/facts/reading.ts'
import { cutIntoBlocks } from '../../src/reading/columns.ts'
import { layOut } from '../../src/reading/layout.ts'
import { celled, draw, drawLines, drawRow, page } from './page-builder.ts'

/** Each block as its lines, by the height at which they stand. */
function blocksOf(words: readonly Word[]): string[][] {
  return cutIntoBlocks(page(words)).map((block) =>
    layOut([page(block)]).lines.map(({ cells }) => cells.map(({ text }) => text).join(' | ')),
  )
}

const report = [
  'Front radar module',
  'answered without codes',
  'Front camera module',
  'answered with one code',
  'B1A3C stored',
]
const sideBar = ['Shop file 4471', 'Bay 3', 'Printed by desk', 'Copy for insurer', 'Keep seven years']

describe('a side bar', () => {
  // Its lines stand half a line below those of the report: they share no baseline.
  const words = [...drawLines(220, 100, report), ...drawLines(40, 107, sideBar)]

  test('beside a report is cut from it', () => {
    expect(blocksOf(words)).toEqual([sideBar, report])
  })

  test('keeps the title above both and the footer beneath both out', () => {
    const framed = [
      ...draw(40, 40, 'Scan of all modules before repair, Harrow Lane Collision, of today', { size: 14 }),
      ...words,
      ...draw(40, 300, 'Every module of the vehicle was asked twice, as the maker of the vehicle wants it'),
    ]
    const blocks = blocksOf(framed)
    expect(blocks).toContainEqual(sideBar)
    expect(blocks).toContainEqual(report)
    expect(blocks.flat()).toHaveLength(sideBar.length + report.length + 2)
  })

  test('does not mix into the lines of the layout', () => {
    const texts = layOut([page(words)]).lines.map(({ text }) => text)
    expect(texts).toEqual([...sideBar, ...report])
  })
})

describe('what shares baselines is read across', () => {
  test('a table whose last columns are filled in one row, with the page number beneath them', () => {
    const modules = ['Powertrain', 'Body', 'Brakes', 'Steering', 'Restraints', 'Radar', 'Camera', 'Seats']
    const rows = [
      ...drawRow(100, [
        [40, 'System'],
        [160, 'State'],
        [300, 'Code'],
        [360, 'Text'],
      ]),
      ...modules.flatMap((name, at) =>
        name === 'Camera'
          ? drawRow(114 + 14 * at, [
              [40, name],
              [160, 'DTC stored'],
              [300, 'U0155'],
              [360, 'Lost communication'],
            ])
          : drawRow(114 + 14 * at, [
              [40, name],
              [160, 'No DTC'],
            ]),
      ),
      ...draw(460, 600, 'Page 1 of 1'),
    ]
    expect(layOut([page(rows)]).lines.map(({ text }) => text)).toContain('Camera DTC stored U0155 Lost communication')
  })

  test('a grid of labels and values', () => {
    const pairs = [
      ['VIN', '5W9HA4E2XNB104472'],
      ['Odometer', '48211 mi'],
      ['Job', 'RO-4471'],
      ['Battery', '12.6 V'],
      ['Technician', 'R. Okonjo'],
      ['Plate', 'HKD 481'],
    ] as const
    const words = pairs.flatMap(([label, value], i) =>
      drawRow(100 + 14 * i, [
        [40, label],
        [300, value],
      ]),
    )
    expect(blocksOf(words)).toEqual([pairs.map(([label, value]) => `${label} | ${value}`)])
  })

  test('a table of four columns, some of its cells empty', () => {
    const rows = Array.from({ length: 8 }, (_, i) =>
      drawRow(100 + 14 * i, [
        [40, `${i}`],
        [120, `Module ${i}`],
        ...(i % 3 ? ([[300, 'OK']] as const) : []),
        [420, '0'],
      ]),
    )
    expect(blocksOf(rows.flat())).toHaveLength(1)
  })

  test('a page of running text', () => {
    expect(
      blocksOf(drawLines(40, 100, Array(9).fill('The radar was aimed on the bench and then driven.'))),
    ).toHaveLength(1)
  })

  test('a page of few lines', () => {
    const words = [...drawLines(40, 100, ['left one', 'left two']), ...drawLines(300, 106, ['right one', 'right two'])]
    expect(blocksOf(words)).toHaveLength(1)
  })
})

test('words that know their cells are never cut apart', () => {
  const drawn = celled(Array.from({ length: 9 }, (_, i) => [i % 2 ? 'a' : '', i % 2 ? '' : 'b']))
  expect(cutIntoBlocks(drawn)).toEqual([drawn.words])
})

test('a page without words is one empty part', () => {
  expect(cutIntoBlocks(page([]))).toEqual([[]])
})

test('whatever the page, every word stands in exactly one part', () => {
  const anyWord = fc.record({ x: fc.integer({ min: 0, max: 500 }), y: fc.integer({ min: 0, max: 700 }), n: fc.nat(99) })
  fc.assert(
    fc.property(fc.array(anyWord, { maxLength: 80 }), (drawn) => {
      const words = drawn.flatMap(({ x, y, n }, i) => draw(x, y, `w${i}x${n}`))
      const names = (list: readonly Word[]) => list.map(({ text }) => text).sort()
      expect(names(cutIntoBlocks(page(words)).flat())).toEqual(names(words))
    }),
  )
})
