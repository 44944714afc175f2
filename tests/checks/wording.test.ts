import { expect, test } from 'vitest'
import { findPhrases, mentions } from '../../src/checks/wording.ts'

test.each([
  ['Front bumper cover (R&R)', ['front bumper', 'r r'], ['front bumper', 'r r']],
  ['TIE-ROD, left', ['tie rod'], ['tie rod']],
  ['Bodywork', ['body'], []],
  ['anything', ['', '!'], []],
  ['', ['a'], []],
])('%s', (text, phrases, found) => {
  expect(findPhrases(text, phrases)).toEqual(found)
  expect(mentions(text, phrases)).toBe(found.length > 0)
})
