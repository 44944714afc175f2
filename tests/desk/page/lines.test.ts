import { describe, expect, test } from 'vitest'
import { fontUnits, markLines, sortWords, wordsBetween } from '../../../src/desk/page/logic/lines.ts'

describe('words of a long page', () => {
  const words = Array.from({ length: 1000 }, (_, at) => ({
    text: `w${at}`,
    box: [0, (999 - at) * 12, 30, (999 - at) * 12 + 10] as [number, number, number, number],
  }))
  const sorted = sortWords(words)

  test('those whose top lies between two heights', () => {
    expect(wordsBetween(sorted, 24, 60).map(({ text }) => text)).toEqual(['w997', 'w996', 'w995'])
    expect(wordsBetween(sorted, -50, 1)).toHaveLength(1)
    expect(wordsBetween(sorted, 12_000, 13_000)).toEqual([])
  })

  test('what was given stays in its order', () => {
    expect(words[0]?.text).toBe('w0')
  })
})

describe('the letters of a word', () => {
  test('fill the grid of 6 by 12 units, and no more', () => {
    expect(fontUnits({ text: 'abcd', box: [0, 1, 24, 11] })).toBeCloseTo(10, 1)
    expect(fontUnits({ text: 'abcd', box: [0, 0, 24, 30] })).toBeLessThanOrEqual(10)
  })

  test('are smaller where their font is narrower', () => {
    expect(fontUnits({ text: 'ill-fill', box: [0, 0, 24, 10] })).toBeCloseTo(24 / (8 * 0.602))
  })

  test('can be seen, whatever the box', () => {
    expect(fontUnits({ text: 'x', box: [5, 5, 5, 5] })).toBe(1)
    expect(fontUnits({ text: '', box: [0, 0, 9, 9] })).toBeGreaterThan(0)
  })
})

describe('lines of the declaration', () => {
  const text = 'packet: 1\r\nrepairs:\n  - { what: Grille, ended: 2026-10-07T11:15 }\n'

  test('columns count from 1, the last is left out, as places of packet.yaml have them', () => {
    const line = markLines(text, [[21, 3, 44, 3]])[2]
    expect(line?.pieces.filter(({ marked }) => marked).map((piece) => piece.text)).toEqual(['ended: 2026-10-07T11:15'])
    expect(line?.pieces.map((piece) => piece.text).join('')).toBe('  - { what: Grille, ended: 2026-10-07T11:15 }')
  })

  test('over several lines', () => {
    const marked = markLines('abcd\nefgh\nijkl', [[3, 1, 3, 3]]).map(({ pieces }) =>
      pieces.filter((piece) => piece.marked).map((piece) => piece.text),
    )
    expect(marked).toEqual([['cd'], ['efgh'], ['ij']])
  })

  test('boxes beyond the text do no harm', () => {
    expect(
      markLines('ab', [
        [1, 9, 4, 9],
        [0, 1, 99, 1],
      ])[0]?.pieces,
    ).toEqual([{ text: 'ab', marked: true }])
  })
})
