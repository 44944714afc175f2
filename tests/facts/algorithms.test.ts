import { describe, expect, test } from 'vitest'
import { type AlgorithmRule, judgeAlgorithm } from '../../src/facts/algorithms.ts'

const rules: AlgorithmRule[] = [
  { name: 'sha-256', basis: 'invented' },
  { name: 'sha-1', until: '2013-12-31', basis: 'invented' },
  { name: 'rsa-pkcs1', leastBits: 2048, until: '2030-12-31', basis: 'invented' },
  { name: 'rsa-pkcs1', leastBits: 3072, until: '2040-12-31', basis: 'invented' },
]

describe('judgeAlgorithm', () => {
  test.each([
    ['sha-256', null, '2099-01-01', { answer: 'allowed', until: null }],
    ['sha-1', null, '2013-12-31', { answer: 'allowed', until: '2013-12-31' }],
    ['sha-1', null, '2014-01-01', { answer: 'aged', until: '2013-12-31' }],
    ['md5', null, '2000-01-01', { answer: 'unknown', until: null }],
    ['rsa-pkcs1', 1024, '2000-01-01', { answer: 'unknown', until: null }],
    ['rsa-pkcs1', null, '2000-01-01', { answer: 'unknown', until: null }],
    ['rsa-pkcs1', 2048, '2031-01-01', { answer: 'aged', until: '2030-12-31' }],
    ['rsa-pkcs1', 4096, '2031-01-01', { answer: 'allowed', until: '2040-12-31' }],
  ] as const)('%s of %s bits on %s', (name, bits, day, expected) => {
    expect(judgeAlgorithm(rules, name, day, bits)).toEqual(expected)
  })
})
