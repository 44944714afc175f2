import { expect, test } from 'vitest'
import { composeSentence, formatNumber, joinList } from '../../src/findings/sentence.ts'

test('values stand where the text names them', () => {
  const text = '{a} has {n}, {list}; {yes}, {no}, {none}.'
  expect(composeSentence(text, { a: 'A', n: 1.005, list: ['x', 2, 'z'], yes: true, no: false, none: null })).toBe(
    'A has 1, x, 2 and z; yes, no, not stated.',
  )
})

test('braces and dollar signs in the data stay as they are', () => {
  expect(composeSentence('{a} and {b}', { a: '{b}', b: '$&' })).toBe('{b} and $&')
})

test('a name that the data lack is an error', () => {
  expect(() => composeSentence('{gone}', {})).toThrow('{gone}')
  expect(() => composeSentence('{constructor}', {})).toThrow('{constructor}')
})

test.each([
  [0.1 + 0.2, '0.3'],
  [48211, '48211'],
  [-0.001, '0'],
  [-12.345, '-12.35'],
  [1234567.891, '1234567.89'],
  [1e21, '1000000000000000000000'],
  [Number.POSITIVE_INFINITY, 'unlimited'],
  [Number.NaN, 'unknown'],
])('number %d', (value, text) => {
  expect(formatNumber(value)).toBe(text)
})

test('lists', () => {
  expect([[], ['a'], ['a', 'b'], ['a', 'b', 'c']].map(joinList)).toEqual(['none', 'a', 'a and b', 'a, b and c'])
})
