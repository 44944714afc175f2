import { describe, expect, test } from 'vitest'
import {
  boundMarks,
  chooseScale,
  fitWidth,
  markBands,
  placeMark,
  scrollToSee,
  stepZoom,
} from '../../../src/desk/page/logic/scale.ts'
import type { Box } from '../../../src/index.ts'

const page = { width: 600, height: 800 }
const room = { width: 420, height: 340 }

describe('the scale that a page is shown at', () => {
  test('the whole width where nothing is marked', () => {
    expect(chooseScale(page, room, [], 'pt')).toBeCloseTo(0.7)
  })

  test('large enough to read print of 10 points where something is', () => {
    expect(chooseScale(page, room, [[100, 100, 180, 110]], 'pt')).toBeCloseTo(1.3)
  })

  test('no larger than what is marked fits in', () => {
    const scale = chooseScale(page, room, [[20, 100, 580, 110]], 'pt')
    expect(560 * scale).toBeLessThanOrEqual(420 * 0.9 + 0.001)
  })

  test('a picture is shown whole, and nearer where small words are marked on it', () => {
    const photo = { width: 4000, height: 3000 }
    expect(chooseScale(photo, room, [], 'px')).toBeCloseTo(0.105)
    expect(chooseScale(photo, room, [[1000, 1000, 1200, 1020]], 'px')).toBeCloseTo(13 / 20)
  })

  test('a room that was not measured gives 1', () => {
    expect(fitWidth(page, { width: 0, height: 0 })).toBe(1)
  })

  test('steps go up and down, and end', () => {
    expect(stepZoom(1.3, 'in')).toBe(1.5)
    expect(stepZoom(1.3, 'out')).toBe(1.25)
    expect(stepZoom(6, 'in')).toBe(6)
    expect(stepZoom(0.25, 'out')).toBe(0.25)
  })
})

describe('marks', () => {
  const marks: Box[] = [
    [100, 200, 160, 212],
    [40, 90, 300, 99],
    [10, 95, 20, 104],
  ]

  test('stand where their words do, whatever part of the page is shown', () => {
    expect(placeMark([110, 220, 160, 230], [10, 20], 2, 0)).toEqual({ left: 200, top: 400, width: 100, height: 20 })
  })

  test('are seen even where they are lines', () => {
    expect(placeMark([5, 5, 5, 5], [0, 0], 1, 0)).toMatchObject({ width: 2, height: 2 })
  })

  test('have one box round them', () => {
    expect(boundMarks(marks)).toEqual([10, 90, 300, 212])
    expect(boundMarks([])).toBeNull()
  })

  test('light bands that join where they touch', () => {
    expect(markBands(marks)).toEqual([
      { from: 90, to: 104 },
      { from: 200, to: 212 },
    ])
  })

  test('are scrolled to: a third from the top, and sideways no further than to their end', () => {
    const target = { left: 100, top: 900, width: 80, height: 20 }
    expect(scrollToSee(target, { width: 400, height: 300 })).toEqual({ left: 0, top: 810 })
    expect(scrollToSee({ ...target, left: 700 }, { width: 400, height: 300 }).left).toBe(404)
    expect(scrollToSee({ ...target, left: 700, width: 900 }, { width: 400, height: 300 }).left).toBe(692)
    expect(scrollToSee({ ...target, top: 10 }, { width: 400, height: 300 }).top).toBe(0)
  })
})
