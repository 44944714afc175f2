/** Vocabulary pages: what a user may add, and what is said of a page that cannot be used. */
import { describe, expect, test } from 'vitest'
import { compileVocabulary, parseVocabularyPage, VocabularyError } from '../../src/facts/vocabulary.ts'
import { vocabulary } from './shipped-vocabulary.ts'

const mine = (yaml: string) => parseVocabularyPage(yaml, 'mine.yaml')

test('a page adds phrases to the lists of the pages before it', () => {
  const added = compileVocabulary([
    mine('vocabulary: 1\nlabels: { jobNumber: [job] }\naliases: { auftrag: job }'),
    mine('vocabulary: 1\nlabels: { jobNumber: [zorbel no], plate: [tag] }'),
  ])
  const keys = (text: string) => added.labels.whole(added.tokens(text)).map(({ key, rank }) => [key, rank])
  expect(keys('Job')).toEqual([['jobNumber', 0]])
  expect(keys('Auftrag')).toEqual([['jobNumber', 0]])
  expect(keys('Zorbel No')).toEqual([['jobNumber', 1]])
  expect(keys('Tag')).toEqual([['plate', 0]])
})

describe('a page that cannot be used', () => {
  const messageOf = (yaml: string): string => {
    try {
      mine(yaml)
    } catch (error) {
      if (error instanceof VocabularyError) return error.message
      throw error
    }
    return ''
  }

  test('is refused with the line and column of the fault', () => {
    expect(messageOf('vocabulary: 1\nlabels:\n  zorbel: [a]\n')).toMatch(/^mine\.yaml:\d+:\d+: .*zorbel/)
    expect(messageOf('vocabulary: 1\nlabels: [')).toMatch(/^mine\.yaml:2:\d+: /)
  })

  test('is refused with all of its faults at once', () => {
    expect(messageOf('vocabulary: 2\nzorbel: 1\n').split('\n').length).toBeGreaterThan(1)
  })

  test('is refused where aliases of YAML would blow it up', () => {
    expect(() => mine('vocabulary: 1\naliases: &a { x: y }\nlabels: *a\n')).toThrow()
  })
})

describe('the page that ships', () => {
  test('calls no phrase both fine and faulty', () => {
    for (const text of ['OK', 'no codes', 'fault', 'no response', 'not fitted', 'no communication'])
      expect(vocabulary.moduleStates.whole(vocabulary.tokens(text)), text).toHaveLength(1)
  })

  test('lets no outcome be both complete and not', () => {
    for (const text of ['completed', 'not completed', 'failed', 'aborted', 'not performed', 'successful'])
      expect(vocabulary.outcomes.whole(vocabulary.tokens(text)), text).toHaveLength(1)
  })
})
