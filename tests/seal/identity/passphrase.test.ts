import fc from 'fast-check'
import { expect, test } from 'vitest'
import { holdPassphrase } from '../../../src/seal/identity/index.ts'
import { subject } from './invented.ts'

test.each([
  ['', 'it has 0 characters'],
  ['Kz7!pQ2#vM9', 'it has 11 characters'],
  ['aaaaaaaaaaaaaaaa', 'it repeats itself'],
  ['xyxyxyxyxyxyxyxy', 'it repeats itself'],
  ['passwordpassword', 'it repeats itself'],
  ['Password12345678', 'it repeats itself'],
  ['abcdefghijklmnop', 'follows the alphabet'],
  ['zyxwvutsrqponmlk', 'follows the alphabet'],
  ['1234567890123456', 'it is digits alone'],
  ['abcd1234567890123456', 'follows the alphabet'],
  ['qwertyuiopasdfghjkl', 'follows the alphabet'],
  ['QWERTZUIOP123456', 'follows the alphabet'],
  ['1q2w3e4r5t6y7u', 'follows the alphabet'],
  ['314159265358979', 'it is digits alone'],
  ['20261125 / 2026', 'it is digits alone'],
  ['changeme1234', 'it repeats itself'],
  ['aabbccddeeff', 'it repeats itself'],
  ['asdfasdf1234', 'it repeats itself'],
  ['Fernhollow Calibration', 'little more than a name'],
  ['fernhollowcalibration2026', 'little more than a name'],
  ['Bay3@fernhollow.example', 'little more than a name'],
  ['TamsinOrrell!1', 'little more than a name'],
])('%j is refused', (passphrase, because) => {
  expect(() => holdPassphrase(passphrase, subject)).toThrow(
    expect.objectContaining({ code: 'passphrase-weak', message: expect.stringContaining(because) }),
  )
})

test.each([
  'quillwort gable otter tin',
  'Kz7!pQ2#vM9w',
  'Fernhollow quillwort gable otter',
  'ночь улица фонарь аптека',
])('%j is taken', (passphrase) => {
  expect(() => holdPassphrase(passphrase, subject)).not.toThrow()
})

test('passphrases drawn at random from many letters are hardly ever refused', () => {
  const letters = 'ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz23456789'
  let state = 7
  // A linear congruential generator (Numerical Recipes): every letter as likely as any other, the same each time.
  const draw = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return letters.charAt(Math.floor((state / 2 ** 32) * letters.length))
  }
  const refused = Array.from({ length: 5000 }, () => Array.from({ length: 14 }, draw).join('')).filter((drawn) => {
    try {
      holdPassphrase(drawn, { commonName: 'Tamsin Orrell' })
      return false
    } catch {
      return true
    }
  })
  expect(refused.length).toBeLessThan(10)
})

test('one character again and again is refused at any length', () => {
  fc.assert(
    fc.property(
      fc.string({ minLength: 1, maxLength: 1, unit: 'grapheme' }),
      fc.integer({ min: 12, max: 99 }),
      (one, times) => {
        expect(() => holdPassphrase(one.repeat(times), subject)).toThrow(
          expect.objectContaining({ code: 'passphrase-weak' }),
        )
      },
    ),
  )
})
