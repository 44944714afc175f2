/** Words and phrases compared as people read them. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makeLexicon, tokensOf } from '../../src/facts/phrases.ts'

const aliases = new Map([
  ['tyre', ['tire']],
  ['s/n', ['serial', 'no']],
  ['windscreen', ['windshield']],
])

test.each([
  ['Front Radar', ['front', 'radar']],
  ['FRONT-RADAR:', ['front', 'radar']],
  ["technician's", ['technicians']],
  ['RO #4471', ['ro', 'no', '4471']],
  ['S/N', ['serial', 'no']],
  ['Tyre  pressure', ['tire', 'pressure']],
  ['100 %', ['100', '%']],
  ['✓ OK', ['✓', 'ok']],
  ['Ｆｒｏｎｔ', ['front']],
  ['…', []],
])('the tokens of %s', (text, tokens) => {
  expect(tokensOf(text, aliases)).toEqual(tokens)
})

test('white space and case never matter', () => {
  fc.assert(
    fc.property(fc.array(fc.stringMatching(/^[a-z]{1,8}$/), { maxLength: 6 }), (words) => {
      expect(tokensOf(` ${words.join('   ').toUpperCase()} `, aliases)).toEqual(tokensOf(words.join(' '), aliases))
    }),
  )
})

describe('a lexicon', () => {
  const lexicon = makeLexicon(
    {
      radar: ['front radar', 'radar'],
      camera: ['camera', 'front camera'],
      glass: ['windscreen', 'radar'],
      count: [17],
    },
    aliases,
  )
  const keys = (entries: readonly { key: string }[] | undefined) => entries?.map(({ key }) => key)

  test('knows a phrase as a whole, with its place in the list', () => {
    expect(lexicon.whole(['front', 'radar'])).toEqual([{ key: 'radar', rank: 0, length: 2 }])
    expect(lexicon.whole(['front'])).toEqual([])
    expect(lexicon.whole([])).toEqual([])
    expect(keys(lexicon.whole(['17']))).toEqual(['count'])
  })

  test('keeps every meaning of a phrase', () => {
    expect(keys(lexicon.whole(['radar']))).toEqual(['radar', 'glass'])
  })

  test('knows the spellings of the aliases', () => {
    expect(keys(lexicon.whole(tokensOf('Windshield', aliases)))).toEqual(['glass'])
  })

  test('finds the longest phrase at a place, and all of them', () => {
    expect(lexicon.longestAt(['the', 'front', 'camera'], 1)?.length).toBe(2)
    expect(lexicon.longestAt(['the', 'front', 'camera'], 0)).toBeNull()
    expect(lexicon.allAt(['radar'], 0).map(({ length }) => length)).toEqual([1])
  })

  test('finds phrases within a text, the longest first, none inside another', () => {
    const found = lexicon.within(['camera', 'and', 'front', 'camera'])
    expect(found.map(({ from, length }) => [from, length])).toEqual([
      [2, 2],
      [0, 1],
    ])
  })
})

test('accents do not count, nor does how an umlaut or a sharp s is written', () => {
  const plain = new Map<string, string[]>()
  expect(tokensOf('Prüfer MATRÍCULA Étalonnage Stoßfänger', plain)).toEqual([
    'prufer',
    'matricula',
    'etalonnage',
    'stossfanger',
  ])
})
