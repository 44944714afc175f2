/** The service information that a calibration followed. Documents and marks are invented. */
import { expect, test } from 'vitest'
import { recognise } from './recognised.ts'

const proceduresOf = (text: string) =>
  recognise(`SENSOR CALIBRATION RECORD\n${text}`, 'calibration').calibrations?.map(({ procedure }) => procedure)

test('in a sentence, by its mark and date', () => {
  expect(
    proceduresOf(`
      1. Front camera - static
      The procedure (YTI 44-118 of 2026-05-02) was begun 15 September 2026.
      Result: Passed
    `),
  ).toEqual(['YTI 44-118 of 2026-05-02'])
})

test('at the head, for all that stands beneath', () => {
  expect(
    proceduresOf(`
      Procedure: TB 41-07, 10/2025
      Front camera
      Method: Static    Result: Passed
      Front radar
      Method: Dynamic   Result: Passed
    `),
  ).toEqual(['TB 41-07, 10/2025', 'TB 41-07, 10/2025'])
})

test.each([
  [
    'a plain reference at the head, which may be the job’s',
    'Reference: RO 4471\nFront camera\nMethod: Static   Result: Passed',
  ],
  ['another paper’s number', 'Front camera\nMethod: Static   Result: Passed\nSee report AB 12-118, 2026-05-02'],
  ['a mark without a date', 'Front camera\nMethod: Static   Result: Passed\nFrame FB 12-118, blue'],
])('not %s', (_what, text) => {
  expect(proceduresOf(text)).toEqual([undefined])
})

test('in a sentence that says what was followed, over the end of a line', () => {
  expect(
    proceduresOf(`
      We certify that the front radar was calibrated by the dynamic
      method in accordance with Zellan procedure ZP-77/B dated 3
      March 2026. The calibration was completed.
    `),
  ).toEqual(['Zellan procedure ZP-77/B dated 3 March 2026'])
  expect(proceduresOf('The front radar was aimed by Ilse Maronne as per the manual of 2026.\nResult: Passed')).toEqual([
    undefined,
  ])
})
