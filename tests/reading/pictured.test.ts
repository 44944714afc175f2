/** What a reading says of itself once the words of its pictures were added. */
import { expect, test } from 'vitest'
import type { Reading, Word } from '../../src/facts/reading.ts'
import { addSeen, listLookedAt } from '../../src/reading/pictured.ts'

const reading: Reading = {
  media: 'image/png',
  pages: [{ number: 1, width: 900, height: 900, unit: 'px', words: [], pictured: true }],
  problems: [],
}
// 1M8GDM9AXKP042788: the common worked example of the check digit.
const vin = '1M8GDM9AXKP042788'
const word = (text: string, readAs?: string): Word => ({
  text,
  confidence: 97,
  box: [0, 0, 90, 12],
  size: 12,
  ...(readAs === undefined ? {} : { readAs }),
})

const problemsOf = (...words: Word[]) =>
  addSeen(reading, [{ page: 1, looked: { barcodes: [], likeness: null }, words: { words, confidence: 95 } }]).problems

test('characters of a number that were chosen are told, with what was read first', () => {
  const problems = problemsOf(word('VIN'), word(vin, '1M8GDM9AXKPO42788'), word('1.0', '10'))
  expect(problems.map(({ code }) => code)).toEqual(['read-from-picture', 'look-alikes-chosen'])
  expect(problems[1]?.message).toContain(`${vin} (page 1, first read as 1M8GDM9AXKPO42788)`)
  expect(problems[1]?.message).toContain('1.0 (page 1, first read as 10)')
})

test.each([
  ['was read so at once', word(vin)],
  ['lost a rule beside it', word(vin, `|${vin}`)],
  ['differs in case alone', word('14.1V', '14.1v')],
  ['has no digits', word('Registration', 'Reyistration')],
  ['is not used', word('▯', '1M8GDM9AXKPO42788')],
])('nothing is told of a word that %s', (_, one) => {
  expect(problemsOf(word('VIN'), one).map(({ code }) => code)).toEqual(['read-from-picture'])
})

test('words laid with a picture stay the words of the page, and are held against those read in it', () => {
  const laid = { ...word('48220'), layer: true as const }
  const { confidence: _, ...printed } = laid
  const scan: Reading = {
    media: 'application/pdf',
    pages: [{ number: 1, width: 612, height: 792, unit: 'pt', words: [printed] }],
    problems: [],
  }
  const see = (words: Word[]) =>
    addSeen(scan, [{ page: 1, looked: { barcodes: [], likeness: null }, words: { words, confidence: 95 } }])
  const { pages, problems } = see([word('48224')])
  expect(problems).toEqual([])
  expect(pages[0]?.words).toEqual([printed])
  expect(pages[0]?.compared?.differing).toMatchObject([{ text: '48220', seen: '48224' }])
  // Nothing that could be read: nothing was compared.
  expect(see([]).pages[0]).not.toHaveProperty('compared')
  expect(listLookedAt(scan)).toEqual([1])
})
