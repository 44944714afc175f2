import { describe, expect, test } from 'vitest'
import { gatherLooks } from '../../../src/desk/page/logic/looks.ts'

const place = (file: string, page: number, y: number, text: string) => ({
  file,
  page,
  box: [10, y, 50, y + 10] as const,
  text,
})

describe('what is shown beside a finding', () => {
  test('one page for all places on it, in the order of the finding', () => {
    const looks = gatherLooks({
      evidence: [place('b.pdf', 2, 10, 'VIN 1'), place('a.pdf', 1, 10, 'VIN 2'), place('b.pdf', 2, 40, 'VIN 1')],
    })
    expect(looks.map(({ file, page, marks, words }) => [file, page, marks.length, words])).toEqual([
      ['b.pdf', 2, 2, ['VIN 1']],
      ['a.pdf', 1, 1, ['VIN 2']],
    ])
  })

  test('readings that tell against each other come first and next to each other', () => {
    const one = { ...place('c.pdf', 3, 10, 'failed'), label: 'first saved', end: 900 }
    const other = { ...place('c.pdf', 3, 10, 'passed'), label: 'as it is' }
    const looks = gatherLooks({ evidence: [place('a.pdf', 1, 10, 'x')], contrasts: [{ what: 'page 3', one, other }] })
    expect(looks.map(({ file, label, end, words }) => [file, label, end, words])).toEqual([
      ['c.pdf', 'first saved', 900, ['failed']],
      ['c.pdf', 'as it is', null, ['passed']],
      ['a.pdf', null, null, ['x']],
    ])
  })

  test('two readings of one page are one look, which is neither of them', () => {
    const one = { ...place('c.pdf', 1, 10, 'Failed'), label: 'in the text' }
    const other = { ...place('c.pdf', 1, 10, 'Completed'), label: 'seen there' }
    expect(gatherLooks({ evidence: [], contrasts: [{ what: 'page 1', one, other }] })).toMatchObject([
      { label: null, words: ['Failed', 'Completed'], marks: [[10, 10, 50, 20]] },
    ])
  })

  test('a file as a whole is shown from its first page, without marks', () => {
    expect(gatherLooks({ evidence: [{ file: 'p.jpg', text: 'made by X' }] })).toEqual([
      { file: 'p.jpg', page: 1, marks: [], words: [], label: null, end: null },
    ])
  })

  test('the same place twice is marked once', () => {
    const looks = gatherLooks({ evidence: [place('a.pdf', 1, 10, 'x'), place('a.pdf', 1, 10, 'x')] })
    expect(looks[0]?.marks).toHaveLength(1)
  })
})
