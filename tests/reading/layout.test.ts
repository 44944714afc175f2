/** Words → lines → cells. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxAround, type Layout, placeOf } from '../../src/facts/layout.ts'
import type { Page, Word } from '../../src/facts/reading.ts'
import { layOut } from '../../src/reading/layout.ts'
import { celled, draw, drawLines, drawRow, page, typed } from './page-builder.ts'

const cellsOf = (layout: Layout) => layout.lines.map((line) => line.cells.map((cell) => cell.text))
const cellsOn = (...words: Word[][]) => cellsOf(layOut([page(words.flat())]))

describe('lines', () => {
  test('run from top to bottom and from left to right, in whatever order the words come', () => {
    const words = [...draw(200, 60, 'beneath right'), ...draw(40, 40, 'first'), ...draw(40, 60, 'beneath')]
    expect(cellsOn(words)).toEqual([['first'], ['beneath', 'beneath right']])
  })

  test('take words of mixed sizes that stand on one height, and no more', () => {
    // A heading of 18 points with 9 points beside it, and the small line right beneath.
    const words = [...draw(40, 40, 'SCAN', { size: 18 }), ...draw(120, 45, 'of 12 modules', { size: 9 })]
    expect(cellsOn(words, draw(120, 56, 'page 2', { size: 9 }))).toEqual([['SCAN', 'of 12 modules'], ['page 2']])
  })

  test('hold some hundred words at most: a longer one is cut, and no word is lost', () => {
    const words = drawRow(
      40,
      Array.from({ length: 1201 }, (_, i) => [10 + 40 * i, `w${i}`] as const),
    )
    const { lines } = layOut([page(words, { width: 50_000 })])
    expect(lines.map((line) => line.cells.length)).toEqual([500, 500, 201])
    expect(lines.map(({ text }) => text).join(' ')).toBe(words.map(({ text }) => text).join(' '))
  })

  test('of a picture are those of the same page on paper, whatever its pixels, and are seen where they are', () => {
    const paper = page([
      ...drawRow(40, [
        [40, 'Control unit'],
        [300, 'Result'],
      ]),
      ...drawRow(56, [
        [40, 'Front radar'],
        [300, 'No codes'],
      ]),
    ])
    const by = 4.3
    const box = (word: Word) => word.box.map((at) => at * by) as unknown as Word['box']
    const words = paper.words.map((word) => ({ ...word, box: box(word), size: word.size * by, confidence: 96 }))
    const picture = { ...paper, words, unit: 'px' as const, width: 612 * by, height: 792 * by }
    const [drawn, seen] = [layOut([paper]), layOut([picture])]
    expect(cellsOf(seen)).toEqual(cellsOf(drawn))
    expect(seen.bodySize).toBeCloseTo(9)
    const last = seen.lines.at(-1)?.cells.at(-1)
    expect(placeOf(1, last?.words ?? []).box?.[0]).toBeCloseTo(300 * by, 0)
    expect(layOut([{ ...picture, words: [] }]).lines).toEqual([])
  })

  test('do not grow by chains: a slope of words falls apart', () => {
    const slope = [0, 1, 2, 3].flatMap((i) => draw(40 + 60 * i, 40 + 4 * i, `w${i}`))
    expect(layOut([page(slope)]).lines.length).toBeGreaterThan(1)
  })

  test('know their page, index, size, weight and the white space above', () => {
    const { lines } = layOut([
      page([...draw(40, 40, 'Title', { size: 20, bold: true }), ...draw(40, 75, 'text')]),
      page(draw(40, 50, 'next'), { number: 2 }),
    ])
    expect(lines.map(({ index, page: at, size, bold, gapAbove }) => ({ index, at, size, bold, gapAbove }))).toEqual([
      { index: 0, at: 1, size: 20, bold: true, gapAbove: Number.POSITIVE_INFINITY },
      { index: 1, at: 1, size: 10, bold: false, gapAbove: 15 },
      { index: 2, at: 2, size: 10, bold: false, gapAbove: Number.POSITIVE_INFINITY },
    ])
  })

  test('leave turned words out: a margin stamp is nobody’s text', () => {
    expect(cellsOn(draw(40, 40, 'Odometer 48211'), draw(180, 40, 'COPY', { turned: true }))).toEqual([
      ['Odometer 48211'],
    ])
  })
})

describe('cells', () => {
  test('hold words with ordinary spaces between them, in proportional type', () => {
    expect(cellsOn(draw(40, 40, 'Front radar module'))).toEqual([['Front radar module']])
  })

  test('hold words with one space between them, in fixed pitch; two spaces part them', () => {
    expect(cellsOn(draw(40, 40, 'FRONT RADAR  OK', { fixed: true }))).toEqual([['FRONT RADAR', 'OK']])
  })

  test('measure the gap by the smaller type beside it', () => {
    // 12 points of white are little beside a heading of 20, and a column beside text of 8.
    expect(cellsOn(draw(40, 40, 'HEAD', { size: 20 }), draw(92, 40, 'LINE', { size: 20 }))).toEqual([['HEAD LINE']])
    expect(cellsOn(draw(40, 40, 'head', { size: 8 }), draw(68, 40, 'line', { size: 8 }))).toEqual([['head', 'line']])
  })

  test('end at a bullet or a bar, which itself is no word', () => {
    expect(cellsOn(draw(40, 40, 'VIN read • 12.6 V | 48211 mi'))).toEqual([['VIN read', '12.6 V', '48211 mi']])
    expect(cellsOn(draw(40, 40, '• • •'))).toEqual([])
  })

  test('take a colon that stands apart to the label before it', () => {
    expect(cellsOn(draw(40, 40, 'Scanned'), draw(120, 40, ': 09:12'))).toEqual([['Scanned :', '09:12']])
  })

  test.each([
    ['VIN:5W9HA4E2XNB104472', 'VIN: 5W9HA4E2XNB104472'],
    ['RO#4471', 'RO# 4471'],
    ['BATT=13.2V', 'BATT= 13.2V'],
    ['12:40', '12:40'],
    ['http://shop.example', 'http://shop.example'],
    ['OK:', 'OK:'],
    ['C1A67-54', 'C1A67-54'],
  ])('cut a label glued to its value: %s', (text, cut) => {
    expect(cellsOn(draw(40, 40, text))).toEqual([[cut]])
  })

  test('a glued word is cut at its place, so that marks on the page stay right', () => {
    const [line] = layOut([page(draw(40, 40, 'RO#4471'))]).lines
    expect(line?.cells[0]?.words.map(({ box }) => box)).toEqual([
      [40, 40, 55, 50],
      [55, 40, 75, 50],
    ])
  })

  test('have no rules drawn with characters, nor leader dots', () => {
    expect(cellsOn(draw(40, 40, '=========='), draw(40, 60, 'Camber ........ -0.4'))).toEqual([['Camber', '-0.4']])
    expect(cellsOn(draw(40, 40, 'not read --'))).toEqual([['not read --']])
  })

  test('of delimited text are kept as they were, however close they stand', () => {
    expect(
      cellsOf(
        layOut([
          celled([
            ['Front radar', 'OK | fine'],
            ['', 'x y'],
          ]),
        ]),
      ),
    ).toEqual([['Front radar', 'OK | fine'], ['x y']])
  })
})

describe('page furniture', () => {
  const body = (n: number) => drawLines(40, 300, [`Module ${n} OK`, `Module ${n + 1} OK`])
  const paged = (n: number) =>
    page([...draw(40, 30, 'Harrow Lane Collision'), ...body(10 * n), ...draw(40, 760, `Page ${n} of 3`)], { number: n })

  test('is marked from the second page on; numbers may differ, what stands in the middle counts', () => {
    const { lines } = layOut([paged(1), paged(2), paged(3)])
    const marks = lines.map(({ page: at, text, furniture }) => [at, text.replace(/\d+/g, 'n'), furniture])
    expect(marks.filter(([, text]) => text === 'Harrow Lane Collision')).toEqual([
      [1, 'Harrow Lane Collision', null],
      [2, 'Harrow Lane Collision', 'repeated'],
      [3, 'Harrow Lane Collision', 'repeated'],
    ])
    expect(marks.filter(([, text]) => text === 'Module n OK').map(([, , mark]) => mark)).toEqual(Array(6).fill(null))
    expect(marks.filter(([, text]) => text === 'Page n of n').map(([, , mark]) => mark)).toEqual(
      Array(3).fill('page-number'),
    )
  })

  test('a line that is repeated on one page only is text', () => {
    const { lines } = layOut([page(drawLines(40, 30, ['No codes', 'No codes']))])
    expect(lines.map(({ furniture }) => furniture)).toEqual([null, null])
  })

  test.each([
    ['Page 1 of 3', 1, 3],
    ['PAGE 2/3', 2, 3],
    ['pg. 2', 2, null],
    ['p. 3 of 3', 3, 3],
    ['Sheet 1 of 2', 1, 2],
    ['Seite 2 von 4', 2, 4],
    ['(1/3)', 1, 3],
    ['1 of 3', 1, 3],
  ])('a page number: %s', (text, number, of) => {
    const { pageNumbers } = layOut([page(draw(280, 770, text))])
    expect(pageNumbers).toEqual([{ page: 1, number, of, place: expect.objectContaining({ page: 1, text }) }])
  })

  test.each(['4/3', '2 of 1', '0.5 of 3 mm', '12/2026'])('no page number: %s', (text) => {
    expect(layOut([page(draw(280, 770, text))]).pageNumbers).toEqual([])
  })

  test('a bare fraction in the middle of a page is none', () => {
    expect(layOut([page(draw(280, 400, '1/3'))]).pageNumbers).toEqual([])
  })

  test('a bare fraction with a label before it, or in a file of cells, is none', () => {
    expect(layOut([page([...draw(40, 770, 'Fuel level:'), ...draw(200, 770, '3/4')])]).pageNumbers).toEqual([])
    const rows = [
      ['VIN', '7XFSL8MR2RN431687'],
      ['Fuel level', '3/4'],
    ]
    expect(layOut([celled(rows)]).pageNumbers).toEqual([])
    expect(layOut([page([...draw(40, 770, 'RO 4471'), ...draw(400, 770, '1/2')])]).pageNumbers).toHaveLength(1)
  })

  test('a page number beside other text does not make the line furniture', () => {
    const { lines, pageNumbers } = layOut([page([...draw(40, 770, 'RO 4471'), ...draw(400, 770, 'Page 1 of 2')])])
    expect(pageNumbers.map(({ number }) => number)).toEqual([1])
    expect(lines.map(({ furniture }) => furniture)).toEqual([null])
  })
})

test('the body size is the size of most words', () => {
  const words = [...draw(40, 20, 'BIG', { size: 24 }), ...drawLines(40, 60, ['a b c', 'd e f'], { size: 9 })]
  expect(layOut([page(words)]).bodySize).toBe(9)
  expect(layOut([]).bodySize).toBeGreaterThan(0)
})

const anyWord = fc.record({
  text: fc.oneof(
    fc.stringMatching(/^\S{1,8}$/),
    fc.constantFrom('•', ':', '----', 'VIN:', 'Page', '1/2', 'RO#77', '✓', '%'),
  ),
  x: fc.integer({ min: 0, max: 600 }),
  y: fc.integer({ min: 0, max: 780 }),
  size: fc.integer({ min: 1, max: 40 }),
})

const anyPage: fc.Arbitrary<Page> = fc
  .array(anyWord, { maxLength: 60 })
  .map((drawn) =>
    page(
      drawn.map(({ text, x, y, size }): Word => ({ text, box: [x, y, x + 0.5 * size * text.length, y + size], size })),
    ),
  )

describe('whatever the page', () => {
  test('no word is lost but rules and bullets, and none is made', () => {
    fc.assert(
      fc.property(anyPage, (drawn) => {
        const letters = (texts: readonly string[]) => texts.join('').split('').sort().join('')
        const kept = drawn.words.map(({ text }) => text).filter((text) => /[\p{L}\p{N}]/u.test(text))
        const laid = layOut([drawn])
          .lines.flatMap(({ cells }) => cells.flatMap(({ words }) => words.map(({ text }) => text)))
          .filter((text) => /[\p{L}\p{N}]/u.test(text))
        // Glued words are cut: letters and digits are the same, words may be more.
        const only = (text: string) => text.replace(/[^\p{L}\p{N}]/gu, '')
        expect(letters(laid.map(only))).toBe(letters(kept.map(only)))
      }),
    )
  })

  test('boxes hold what stands in them', () => {
    fc.assert(
      fc.property(anyPage, (drawn) => {
        for (const line of layOut([drawn]).lines) {
          expect(line.box).toEqual(boxAround(line.cells.map(({ box }) => box)))
          for (const cell of line.cells) expect(cell.box).toEqual(boxAround(cell.words.map(({ box }) => box)))
        }
      }),
    )
  })
})

test('a typed page of fixed pitch gives its columns back', () => {
  const text = ['MODULE            STATUS     DTC', 'Engine control    OK         0', 'Front radar       FAULT      2']
  expect(cellsOf(layOut([typed(text)]))).toEqual(text.map((line) => line.split(/ {2,}/)))
})

describe('dots', () => {
  const seen = (words: Word[]) => words.map((word) => ({ ...word, confidence: 90 }))
  const row = drawRow(40, [
    [40, 'Odometer'],
    [110, '.'],
    [130, '...'],
    [160, '...52690'],
    [206, 'mi'],
  ])
  const range = draw(40, 40, '5 .. 10 mm')

  test('that lead to a value are no words of a picture, however few of them were seen', () => {
    expect(cellsOn(seen(row))).toEqual([['Odometer', '52690 mi']])
  })

  test('between the ends of a range stay, in pictures and elsewhere', () => {
    expect(cellsOn(range)).toEqual([['5 .. 10 mm']])
    expect(cellsOn(seen(range))).toEqual([['5 .. 10 mm']])
  })
})

test('a place is the box around the words, to a tenth of a point, and their text', () => {
  expect(placeOf(2, draw(40.04, 30.06, 'Front radar'))).toEqual({
    page: 2,
    box: [40, 30.1, 92.8, 40.1],
    text: 'Front radar',
  })
})

test('a colon before a value belongs to the label before it where a reader of pictures saw no space', () => {
  const tied = draw(40, 40, 'Voltage :13.8V')
  expect(cellsOn(tied.map((word) => ({ ...word, confidence: 90 })))).toEqual([['Voltage : 13.8V']])
  expect(cellsOn(tied)).toEqual([['Voltage :13.8V']])
})
