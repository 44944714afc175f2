/** The geometry of laying a page straight, against what it must be by construction. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { findMarks, findScript, type Mark } from '../../../src/reading/picture-words/marks.ts'
import { findOutline } from '../../../src/reading/picture-words/outline.ts'
import {
  chain,
  inverse,
  mapPoint,
  moved,
  ontoQuadrilateral,
  type Point,
  rotated,
  scaled,
  warp,
} from '../../../src/reading/picture-words/projective.ts'
import { measureSlant } from '../../../src/reading/picture-words/slant.ts'

const close = ([x, y]: Point, [u, v]: Point, slack = 1e-6) => Math.abs(x - u) < slack && Math.abs(y - v) < slack

const corners: Point[] = [
  [12, 20],
  [410, 35],
  [440, 560],
  [5, 530],
]

test('the corners of a rectangle go to those of the figure, in their order', () => {
  const map = ontoQuadrilateral(300, 400, corners)
  const rectangle: Point[] = [
    [0, 0],
    [300, 0],
    [300, 400],
    [0, 400],
  ]
  rectangle.forEach((corner, at) => {
    expect(close(mapPoint(map, corner), corners[at] as Point)).toBe(true)
  })
})

test('a map and its inverse bring every point back', () => {
  const map = chain(scaled(1.7), rotated(11), moved(30, -4), ontoQuadrilateral(300, 400, corners))
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 150 }), fc.integer({ min: 0, max: 200 }), (x, y) =>
      close(mapPoint(inverse(map), mapPoint(map, [x, y])), [x, y], 1e-3),
    ),
  )
})

test('turning by 90 degrees clockwise takes what is right to below', () => {
  expect(close(mapPoint(rotated(90), [1, 0]), [0, 1])).toBe(true)
})

/** Eight lines of forty letters, with their feet on lines turned by so many degrees. */
function lettersAt(degrees: number): Mark[] {
  const slope = Math.tan((degrees * Math.PI) / 180)
  return Array.from({ length: 320 }, (_, at) => {
    const x = 40 + (at % 40) * 20
    const y1 = Math.round(200 + Math.floor(at / 40) * 40 + x * slope)
    return { x0: x, x1: x + 12, y0: y1 - 14, y1, area: 80 }
  })
}

test.each([-14.2, -6, -1.3, 0, 0.4, 3.7, 12.5])(
  'lines turned by %f degrees are told to a fifth of a degree',
  (degrees) => {
    expect(Math.abs(measureSlant(lettersAt(degrees), 14) - degrees)).toBeLessThan(0.2)
  },
)

/** A light page with dark bars for words, on a dark table. */
function photograph(page: readonly Point[]) {
  const flat = { width: 300, height: 400, levels: new Uint8Array(300 * 400).fill(225) }
  for (let row = 40; row < 360; row += 24)
    for (let x = 30; x < 270; x++) if (x % 9 < 6) for (let y = row; y < row + 8; y++) flat.levels[y * 300 + x] = 40
  const seen = warp(flat, inverse(ontoQuadrilateral(300, 400, page)), 460, 600)
  // Beyond the page, the table.
  const whole = warp(
    { ...flat, levels: flat.levels.map(() => 0) },
    inverse(ontoQuadrilateral(300, 400, page)),
    460,
    600,
  )
  return { ...seen, levels: seen.levels.map((level, at) => (whole.levels[at] === 255 ? 60 : level)) }
}

test('the outline of a page on a darker table is found to three pixels', () => {
  const found = findOutline(photograph(corners))
  expect(found).not.toBeNull()
  corners.forEach((corner, at) => {
    expect(close((found ?? [])[at] as Point, corner, 4)).toBe(true)
  })
})

test('a scan has no outline, and letters beside each other are told from letters beneath', () => {
  const scan = photograph([
    [0, 0],
    [460, 0],
    [460, 600],
    [0, 600],
  ])
  expect(findOutline(scan)).toBeNull()
  const upright = findScript(findMarks(scan))
  expect(upright.beside).toBeGreaterThan(upright.beneath)
  const turned = findScript(findMarks(warp(scan, chain(rotated(-90), moved(0, 600)), 600, 460)))
  expect(turned.beneath).toBeGreaterThan(turned.beside)
})
