/** Pearson's coefficient of Anscombe's first set is 0.81642 (Anscombe, The American Statistician 27, 1973; from memory). */
import { describe, expect, it } from 'vitest'
import { correlate } from '../../src/facts/correlation.ts'

const series = (speeds: readonly number[], from = 0) => speeds.map((speed, at) => ({ time: from + at, speed }))
const limits = { mostLag: 0, leastSeconds: 5, leastSpread: 0 }

it('is the coefficient of the textbook', () => {
  const x = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5]
  const y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68]
  expect(correlate(series(x), series(y), limits)?.coefficient).toBeCloseTo(0.81642, 5)
})

describe('of one motion on two clocks', () => {
  const motion = Array.from({ length: 300 }, (_, at) => 15 + 8 * Math.sin(at / 17) + 3 * Math.sin(at / 5))

  it.each([0, 7, -23, 60])('finds a lag of %i s', (lag) => {
    const found = correlate(series(motion), series(motion, lag), { mostLag: 60, leastSeconds: 60, leastSpread: 1 })
    expect(found?.lagSeconds).toBe(lag)
    expect(found?.coefficient).toBeCloseTo(1, 9)
  })

  it('abstains where the speed is steady, or too little is known of both', () => {
    const steady = series(motion.map(() => 20))
    expect(correlate(steady, steady, { mostLag: 10, leastSeconds: 60, leastSpread: 1 })).toBeNull()
    expect(correlate(series(motion), series(motion, 280), { mostLag: 10, leastSeconds: 60, leastSpread: 1 })).toBeNull()
    expect(correlate([], [], limits)).toBeNull()
  })

  it('does not fill in gaps', () => {
    const holed = series(motion).filter(({ time }) => time < 50 || time > 200)
    const found = correlate(holed, series(motion), { mostLag: 0, leastSeconds: 60, leastSpread: 1 })
    expect(found?.pairs.length).toBe(149)
  })
})
