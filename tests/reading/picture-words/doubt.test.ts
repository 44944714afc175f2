/** What becomes of words that a picture shows unsurely. */
import { describe, expect, test } from 'vitest'
import { illegible } from '../../../src/facts/illegible.ts'
import type { Word } from '../../../src/facts/reading.ts'
import { agreeOnVin, mayBeVin } from '../../../src/reading/picture-words/agree-on-vin.ts'
import { judgeWords } from '../../../src/reading/picture-words/doubt.ts'

const word = (text: string, confidence: number): Word => ({ text, confidence, box: [0, 0, 9, 9], size: 9 })
const judged = (text: string, confidence: number) => judgeWords([word(text, confidence)]).map((one) => one.text)

test.each([
  ['Odometer', 91, ['Odometer']],
  ['Odometer', 60, [illegible]],
  ['48,220', 95, ['48,220']],
  // As sure of a word without digits would do.
  ['48,220', 84, [illegible]],
  ['‘Front', 95, ['Front']],
  ['|', 96, []],
  ['/', 96, ['/']],
  ['ou', 6, []],
  ['13.8V', 95, ['13.8V']],
  // A speck before a number that has a point of its own.
  ['.13.8V', 95, ['13.8V']],
  ['.48,220km', 95, ['48,220km']],
  ['.5°', 95, ['.5°']],
  // A fraction, or a speck: one is a thousand times the other.
  ['.230kPa', 95, [illegible]],
])('%s, sure to %d', (text, confidence, texts) => {
  expect(judged(text, confidence)).toEqual(texts)
})

test('the marks of a value with its limits are kept, and dots that lead to one are not', () => {
  const read = (texts: readonly string[], confidence: number) =>
    judgeWords(texts.map((text) => word(text, /\d/.test(text) ? 95 : confidence))).map(({ text }) => text)
  const printed = ['0.14', '°', '(-1.0', '...', '1.0', '°)']
  expect(read(printed, 60)).toEqual(['0.14', '°', '(-1.0', '..', '1.0', '°)'])
  expect(read(printed, 20)).toEqual(['0.14', '(-1.0', '1.0'])
  expect(read(['Total', '...', '12.00', '...'], 60)).toEqual([illegible, '12.00'])
})

test.each([
  [['13.6', 'V'], 69, ['13.6', 'V']],
  [['12,8', 'V,'], 55, ['12,8', 'V,']],
  [['18858', 'mi'], 52, ['18858', 'mi']],
  [['13.6', 'V'], 40, ['13.6', illegible]],
  [['Series', 'V'], 69, [illegible, illegible]],
  [['13.6', 'VX'], 69, ['13.6', illegible]],
])('a unit behind a number is told by few letters: %j, sure to %d', (texts, confidence, read) => {
  const words = texts.map((text) => word(text, /\d/.test(text) ? 95 : confidence))
  expect(judgeWords(words).map(({ text }) => text)).toEqual(read)
})

test('what was read in its place is kept beside a word that cannot be read', () => {
  expect(judgeWords([word('1331V', 50)])).toMatchObject([{ text: illegible, readAs: '1331V' }])
})

describe('a vehicle number read several times', () => {
  // 1M8GDM9AXKP042788: the common worked example of the check digit, from memory; its check digit is X.
  const vin = '1M8GDM9AXKP042788'
  test.each([
    ['both right', vin, vin, vin],
    ['letters that no such number has', 'IM8GDM9AXKPO42788', vin, vin],
    ['one of them wrong in one place', '1M8GDM9AXKP042788', '1M8GDM9AXKP0427B8', null],
    ['one with a character too many', '1M8GDM9AXKKP042788', vin, vin],
    ['both wrong in the same way', '1M8GDM9AXKP0427B8', '1M8GDM9AXKP0427B8', null],
    ['one of another length', '1M8GDM9AXKP04278', vin, null],
    ['both with a character too many', '1M8GDM9AXKKP042788', '1M8GDM9AXKKP042788', null],
    ['both with a line before it', `I${vin}`, `I${vin}`, vin],
    ['both with a line behind it', `${vin}I`, `${vin}I`, vin],
    ['nothing alike', '1M8GDM9AXKP042788', '5YJSA1DG9DFP14705', null],
  ])('%s', (_, one, other, agreed) => {
    expect(agreeOnVin([one, other])).toBe(agreed)
  })

  test('is left out where it has to be put together, though the check digit holds by chance', () => {
    // Four readings of one blurred picture of 7XBME6DVXRC104729; the last holds, and is wrong.
    const readings = ['TXBMFAIVXRC104729', 'TXBMEAIVXRC104729', 'TXBMESODVXRC104729', 'TXBMESDVXRC104729']
    expect(agreeOnVin(readings)).toBeNull()
    expect(agreeOnVin([...readings, '7XBME6DVXRC104729', '7XBME6DVXRC104729'])).toBeNull()
    expect(agreeOnVin(['nothing', vin, 'like it', vin])).toBe(vin)
    expect(agreeOnVin([`${vin}8`, `1${vin}`, vin])).toBe(vin)
    expect(agreeOnVin(['nothing', vin])).toBeNull()
    expect(agreeOnVin([])).toBeNull()
  })

  test('words and sums of money are not taken for one', () => {
    expect(['Recommendations', '1,346.20', '2026-01-15T10:15:00-07:00'].map(mayBeVin)).toEqual([false, false, true])
  })
})
