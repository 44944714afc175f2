import { describe, expect, test } from 'vitest'
import type { Word } from '../../../../src/facts/reading.ts'
import { matchPages } from '../../../../src/seal/pdf/history/pages.ts'
import { compareWords } from '../../../../src/seal/pdf/history/rows.ts'

/** Words in rows 20 points apart, 30 points a word. */
const set = (...rows: string[]): Word[] =>
  rows.flatMap((row, line) =>
    row
      .split(' ')
      .map((text, index): Word => ({ text, size: 10, box: [index * 30, line * 20, index * 30 + 25, line * 20 + 10] })),
  )
const compare = (before: Word[], after: Word[]) => {
  const { changed, isReordered } = compareWords(1, before, after)
  return {
    pairs: changed.map(({ before: one, after: other }) => [one?.text ?? null, other?.text ?? null]),
    isReordered,
  }
}

describe('words of two states of a page', () => {
  test('the same', () => {
    expect(compare(set('VIN 1', 'Result failed'), set('VIN 1', 'Result failed'))).toEqual({
      pairs: [],
      isReordered: false,
    })
  })

  test('a word is another: shown with those before it', () => {
    expect(compare(set('Front radar 2 Result failed at 12'), set('Front radar 2 Result passed at 12')).pairs).toEqual([
      ['radar 2 Result failed', 'radar 2 Result passed'],
    ])
  })

  test('a row put in moves the others, which are no others for it', () => {
    expect(compare(set('a b', 'c d', 'e f'), set('a b', 'new row', 'c d', 'e f')).pairs).toEqual([[null, 'new row']])
  })

  test('words that changed places in a row, and rows that did', () => {
    expect(compare(set('left 1 right 2'), set('left 2 right 1')).pairs).toEqual([['left 1 right 2', 'left 2 right 1']])
    expect(compare(set('a 1', 'b 2'), set('b 2', 'a 1'))).toEqual({ pairs: [], isReordered: true })
  })

  test('only the words that differ count as gone and come', () => {
    const { changed } = compareWords(1, set('Result failed at 12 mm'), set('Result passed at 13 mm'))
    expect(changed[0]?.gone).toEqual([
      [30, 0, 55, 10],
      [90, 0, 115, 10],
    ])
    expect(changed[0]?.come).toHaveLength(2)
  })
})

test('pages are matched by their words where some were put in or taken out', () => {
  const page = (number: number, ...rows: string[]) => ({
    number,
    width: 300,
    height: 200,
    unit: 'pt' as const,
    words: set(...rows),
  })
  const pairs = matchPages(
    [page(1, 'a b c d e'), page(2, 'f g h')],
    [page(1, 'new'), page(2, 'a b c d x'), page(3, 'f g h')],
  )
  expect(pairs.map(([one, other]) => [one?.number ?? null, other?.number ?? null])).toEqual([
    [1, 2],
    [2, 3],
    [null, 1],
  ])
})
