/** Readings of one trouble code, which by SAE J2012 is one of P, C, B, U, a digit 0 to 3 and three hexadecimal digits. */
import { expect, test } from 'vitest'
import { agreeOnCode } from '../../../src/reading/picture-words/agree-on-code.ts'

test.each([
  [['P1EAF:72', 'PIEAF:72'], 'P1EAF:72'],
  [['PIEAF:72', 'P1EAF:72'], 'P1EAF:72'],
  [['B0OC94', 'BOC94'], 'B0OC94'],
  [['|U0155-87', 'UO155-87', 'U0I55-87'], 'U0155-87'],
  // Both are codes: what it is cannot be told.
  [['C1825', 'C1B25'], null],
  [['C1825', 'CI825', 'C1B25'], null],
  [['U0G55', 'U0655'], null],
  [['U0155', 'U0156'], null],
  [['U0155'], null],
  [['Front', 'Fr0nt'], null],
])('%j agree on %j', (readings, agreed) => {
  expect(agreeOnCode(readings)).toBe(agreed)
})
