import { describe, expect, test } from 'vitest'
import { findRange, hourMarks, placeHours } from '../../../src/desk/page/logic/hours.ts'
import { shapeProgress } from '../../../src/desk/page/logic/progress-shape.ts'
import { marksTo, roundDown } from '../../../src/desk/page/logic/round-marks.ts'

const span = (from: number, to: number) => ({ possible: [from, to] as const, certain: null })

describe('the hours of a day', () => {
  test.each([
    [
      [span(8.2, 8.4), span(10.1, 11.2)],
      [8, 12],
    ],
    [
      [span(9.9, 10.2), span(15, 16.1)],
      [9, 17],
    ],
    [[span(-3, 30)], [0, 24]],
    [[span(23, 23.5)], [20, 24]],
    [[{ possible: null, certain: null }], null],
  ])('%j', (events, range) => {
    expect(findRange(events)).toEqual(range)
  })

  test('a span lies where its hours are, and what goes on beyond is open', () => {
    expect(placeHours([9, 11], [8, 12])).toEqual({ from: 0.25, to: 0.75, openBefore: false, openAfter: false })
    expect(placeHours([2, 30], [8, 12])).toMatchObject({ from: 0, to: 1, openBefore: true, openAfter: true })
  })

  test('a moment can be seen, also at the end', () => {
    const { from, to } = placeHours([12, 12], [8, 12])
    expect(to - from).toBeCloseTo(0.008)
    expect(to).toBeLessThanOrEqual(1)
  })

  test('marks are whole hours, not at the ends', () => {
    expect(hourMarks([8, 12])).toEqual([9, 10, 11])
    expect(hourMarks([0, 24])).toEqual([4, 8, 12, 16, 20])
  })
})

describe('axes', () => {
  test.each([
    [91, [0, 20, 40, 60, 80, 100]],
    [1, [0, 0.2, 0.4, 0.6, 0.8, 1]],
    [0, [0, 1]],
  ])('round marks up to %f', (most, marks) => {
    expect(marksTo(most)).toEqual(marks)
  })

  test.each([
    [1234, 1000],
    [999, 500],
    [0.03, 0.02],
    [0, 0],
  ])('the round number below %f', (most, round) => {
    expect(roundDown(most)).toBe(round)
  })
})

describe('the progress of a calibration', () => {
  const at = (second: number) => ({ earliest: new Date(second * 1000).toISOString(), latest: '' })

  test('by time where all readings have one', () => {
    expect(
      shapeProgress([
        { percent: 0, at: at(0) },
        { percent: 50, at: at(90) },
        { percent: 100, at: at(100) },
      ]),
    ).toEqual([
      { x: 0, y: 0 },
      { x: 0.9, y: 0.5 },
      { x: 1, y: 1 },
    ])
  })

  test('evenly else, and within its bounds', () => {
    expect(
      shapeProgress([{ percent: -5 }, { percent: 40, at: at(5) }, { percent: 130 }]).map(({ x, y }) => [x, y]),
    ).toEqual([
      [0, 0],
      [0.5, 0.4],
      [1, 1],
    ])
  })
})
