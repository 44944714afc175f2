/** The text that a program laid with a picture, against what is read in the picture. */
import { describe, expect, test } from 'vitest'
import { illegible } from '../../src/facts/illegible.ts'
import type { Word } from '../../src/facts/reading.ts'
import { compareLayer } from '../../src/reading/layer-against-picture.ts'
import { draw, page } from './page-builder.ts'

const laid = (...words: Word[]) => page(words.map((word) => ({ ...word, layer: true as const })))
/** As read in a picture: boxes round the ink, a point or two off. */
const seen = (words: readonly Word[], confidence = 95): Word[] =>
  words.map(({ box: [x0, y0, x1, y1], ...word }) => ({
    ...word,
    confidence,
    box: [x0 + 1, y0 + 2, x1 + 2, y1 - 1],
    shown: [x0 + 1, y0 + 2, x1 + 2, y1 - 1],
  }))

/** Which of three became of each word of the layer. */
function became(layer: string, picture: readonly Word[]) {
  const { alike, unsure, differing } = compareLayer(laid(...draw(40, 40, layer)), picture)
  return {
    alike: alike.map(({ text }) => text),
    unsure: unsure.map(({ text }) => text),
    differing: differing.map(({ text, seen: read }) => [text, read]),
  }
}

test('a word that reads alike bears the text out', () => {
  const words = draw(40, 40, 'Odometer 48,220 mi')
  expect(became('Odometer 48,220 mi', seen(words))).toEqual({
    alike: ['Odometer', '48,220', 'mi'],
    unsure: [],
    differing: [],
  })
})

test('a value that is surely another one differs, with what is seen', () => {
  const { differing } = compareLayer(laid(...draw(40, 40, 'C1A67-54')), seen(draw(40, 40, 'C1A64-54')))
  expect(differing).toMatchObject([{ text: 'C1A67-54', seen: 'C1A64-54', box: [40, 40, 80, 50] }])
})

describe('nothing is said against', () => {
  test.each([
    ['look-alikes', 'UO155-B7', 'U0155-87'],
    ['case and marks', 'v48.220', 'V48,220.'],
    ['points and commas', '1.346,20', '1,346.20'],
    ['other dashes', '−0.27', '-0.27'],
  ])('%s, which read alike', (_, layer, picture) => {
    expect(became(layer, seen(draw(40, 40, picture)))).toEqual({ alike: [layer], unsure: [], differing: [] })
  })

  test.each([
    ['a word that could not be read', '48220', [{ ...(draw(40, 40, '48224')[0] as Word), text: illegible }]],
    ['a place where nothing was read', '48220', draw(200, 40, '48224')],
    ['another line', '48220', draw(40, 52, '48224')],
    ['a digit that coarse print makes of another', '48229', draw(40, 40, '48228')],
    ['a point lost', '13.8', draw(40, 40, '138')],
    ['a sign lost', '-0.27', draw(40, 40, '0.27')],
    ['a character lost', '48220', draw(40, 40, '4822')],
    ['a character doubled', '48220', draw(40, 40, '482207')],
  ] as const)('%s, which is unsure', (_, layer, picture) => {
    expect(became(layer, seen(picture))).toEqual({ alike: [], unsure: [layer], differing: [] })
  })

  test('a word without digits that was not read surely', () => {
    expect(became('PASSED', seen(draw(40, 40, 'FAILED'), 85)).unsure).toEqual(['PASSED'])
    expect(became('PASSED', seen(draw(40, 40, 'FAILED'), 95)).differing).toEqual([['PASSED', 'FAILED']])
  })

  test('words that were set apart otherwise', () => {
    const joined = draw(40, 40, 'Yaw-0.27')
    const apart = [...draw(40, 40, 'Yaw'), ...draw(55, 40, '-0.27')]
    expect(compareLayer(laid(...apart), seen(joined))).toMatchObject({ alike: [{ text: 'Yaw' }, { text: '-0.27' }] })
    expect(compareLayer(laid(...joined), seen(apart))).toMatchObject({ alike: [{ text: 'Yaw-0.27' }] })
  })
})

test('words that the page shows itself are not compared', () => {
  const compared = compareLayer(page(draw(40, 40, '48220')), seen(draw(40, 40, '11111')))
  expect(compared).toEqual({ alike: [], unsure: [], differing: [] })
})
