import fc from 'fast-check'
import { describe, expect, test, vi } from 'vitest'
import { flow, type Piece } from '../../src/report/pdf-flow.ts'
import { type Look, makeLetters, spellMissing } from '../../src/report/pdf-letters.ts'
import { neutralise } from '../../src/report/terminal-text.ts'

vi.setConfig({ testTimeout: 60_000 })

const look: Look = { weight: 'regular', size: 10, color: '#000000' }
const latin = (point: number) => point < 0x250

describe('letters that the font lacks', () => {
  test.each([
    ['Größe', 'Größe'],
    ['測定 ok', '<U+6E2C><U+5B9A> ok'],
    ['👍🏽', '<U+1F44D><U+1F3FD>'],
    ['a\u202eb', 'a<U+202E>b'],
    // Composed where there is a composed letter: Unicode Standard Annex 15.
    ['e\u0301', 'é'],
  ])('%j is shown as %j', (text, shown) => {
    expect(spellMissing(text, latin)).toBe(shown)
  })

  test('and those that run from right to left, which the font may have, are spelt out', () => {
    expect(spellMissing('א1', () => true)).toBe('<U+05D0>1')
  })

  test('are never left out', () => {
    const back = (text: string) =>
      text.replaceAll(/<U\+([\dA-F]{4,6})>/g, (_, hex) => String.fromCodePoint(Number.parseInt(hex, 16)))
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        expect(back(spellMissing(text, latin))).toBe(back(neutralise(text.normalize('NFC'))))
      }),
    )
  })
})

describe('lines', () => {
  // Every letter as wide as it is in a font of one width.
  const letters = makeLetters(
    (text) => [...text].length * 5,
    () => true,
  )
  const text = fc
    .array(fc.string({ unit: fc.constantFrom('a', 'é', '-', '.', '測'), maxLength: 40 }))
    .map((words) => words.join(' '))

  test('fit their width and hold every letter and space in its order', () => {
    fc.assert(
      fc.property(text, fc.integer({ min: 5, max: 200 }), (words, width) => {
        const lines = letters.wrap(words, look, width)
        expect(lines.length).toBeGreaterThan(0)
        for (const line of lines) expect(letters.measure(line.trimEnd(), look)).toBeLessThanOrEqual(width)
        expect(lines.join('')).toBe(words.replaceAll(/ +/g, ' ').trim())
      }),
    )
  })

  test('break at spaces, and a long word at its joints', () => {
    expect(letters.wrap('one two three', look, 40)).toEqual(['one two ', 'three'])
    expect(letters.wrap('aaaaaaa-bbbb', look, 50)).toEqual(['aaaaaaa-', 'bbbb'])
  })
})

describe('pages', () => {
  interface Drawn {
    page: number
    index: number
    y: number
    height: number
  }

  function lay(pieces: { height: number; keep: boolean }[], again = 0): Drawn[] {
    const drawn: Drawn[] = []
    let page = 1
    const all = pieces.map(
      ({ height, keep }, index): Piece => ({
        height,
        keep,
        draw: (y) => void drawn.push({ page, index, y, height }),
        ...(again > 0
          ? { again: { height: again, draw: (y: number) => void drawn.push({ page, index: -1, y, height: again }) } }
          : {}),
      }),
    )
    flow(all, { top: 10, bottom: 110, next: () => void page++ })
    return drawn
  }

  const piece = fc.record({ height: fc.integer({ min: 1, max: 60 }), keep: fc.boolean() })

  test('hold every piece once, in order, within their edges', () => {
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 60 }), fc.constantFrom(0, 15), (pieces, again) => {
        const drawn = lay(pieces, again)
        expect(drawn.filter(({ index }) => index >= 0).map(({ index }) => index)).toEqual([...pieces.keys()])
        for (const { y, height } of drawn) {
          expect(y).toBeGreaterThanOrEqual(10)
          expect(y + height).toBeLessThanOrEqual(110)
        }
      }),
    )
  })

  test('never end with a piece that must not stand without its next, where both fit a page', () => {
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 60 }), (pieces) => {
        const drawn = lay(pieces)
        for (const [at, { page, index }] of drawn.entries()) {
          const next = drawn[at + 1]
          if (!pieces[index]?.keep || next === undefined || next.page === page) continue
          let start = index
          while (pieces[start - 1]?.keep) start--
          let end = index
          while (pieces[end]?.keep && end < pieces.length - 1) end++
          const height = pieces.slice(start, end + 1).reduce((sum, one) => sum + one.height, 0)
          expect(height).toBeGreaterThan(100)
        }
      }),
    )
  })

  test('begin with the heading row of a table that goes on', () => {
    const drawn = lay(
      [
        { height: 60, keep: false },
        { height: 60, keep: false },
      ],
      15,
    )
    expect(drawn.map(({ page, index, y }) => [page, index, y])).toEqual([
      [1, 0, 10],
      [2, -1, 10],
      [2, 1, 25],
    ])
  })
})
