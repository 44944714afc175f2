import { describe, expect, test } from 'vitest'
import { shapeSpeed } from '../../../src/desk/page/logic/speed-shape.ts'

const run = (...speeds: (number | null)[]) => speeds.flatMap((kmh, second) => (kmh === null ? [] : [{ second, kmh }]))

describe('speed over time', () => {
  test('a silence that is too long is a gap, and breaks the line', () => {
    const shape = shapeSpeed(run(50, 50, null, null, null, 50, 50), 3)
    expect(shape?.gaps).toEqual([[1, 5]])
    expect(shape?.runs.map((points) => points.length)).toEqual([2, 2])
  })

  test('one as long as the limit is none', () => {
    expect(shapeSpeed(run(50, null, null, 50), 3)?.gaps).toEqual([])
  })

  test('a stop lasts from the first slow point to the first fast one', () => {
    expect(shapeSpeed(run(50, 1, 0, 0, 2, 40), 60)?.stops).toEqual([[1, 5]])
    expect(shapeSpeed(run(50, 40, 0, 0, 0, 0), 60)?.stops).toEqual([[2, 5]])
  })

  test('slowing for a moment is no stop', () => {
    expect(shapeSpeed(run(50, 2, 40, 40), 60)?.stops).toEqual([])
  })

  test('a gap is no stop', () => {
    const shape = shapeSpeed(
      [
        { second: 0, kmh: 0 },
        { second: 500, kmh: 0 },
        { second: 501, kmh: 30 },
      ],
      60,
    )
    expect(shape?.stops).toEqual([])
    expect(shape?.gaps).toEqual([[0, 500]])
  })

  test('extents', () => {
    expect(shapeSpeed(run(10, 91, 20), 60)).toMatchObject({ seconds: [0, 2], mostKmh: 91 })
    expect(shapeSpeed(run(10), 60)).toBeNull()
  })
})
