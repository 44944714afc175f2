/** The four corners of a page or screen that a photo shows on a darker ground. */
import { type Grey, shrink } from './grey.ts'
import type { Point } from './projective.ts'

/** Longer side of the picture that is searched. */
const searched = 400
/** Of the picture. */
const leastArea = 0.12
const mostArea = 0.97
/** Of the four-sided figure that is light, and of its sides that part light from dark. */
const leastFilled = 0.9
const leastParted = 0.8
/** Between light and dark. */
const leastContrast = 25

/** Corners clockwise from the top left, in pixels of `grey`; null where no such figure shows beyond doubt. */
export function findOutline(grey: Grey): Point[] | null {
  const by = Math.max(1, Math.ceil(Math.max(grey.width, grey.height) / searched))
  const small = shrink(grey, by)
  const split = splitLevels(small)
  if (split === null) return null
  const spot = largestSpot(small, split)
  if (spot === null) return null
  const corners = cornersOf(spot, small.width)
  if (corners === null || !isPage(corners, spot, small, split)) return null
  return corners.map(([x, y]) => [(x + 0.5) * by, (y + 0.5) * by])
}

/** The level that parts light from dark best (Otsu 1979); null where they do not differ much. */
function splitLevels({ levels }: Grey): number | null {
  const counts = new Float64Array(256)
  for (const level of levels) counts[level] = (counts[level] ?? 0) + 1
  let total = 0
  counts.forEach((count, level) => {
    total += count * level
  })
  let [dark, sumOfDark, best, at, apart] = [0, 0, 0, 0, 0]
  for (let level = 0; level < 255; level++) {
    dark += counts[level] ?? 0
    sumOfDark += level * (counts[level] ?? 0)
    const light = levels.length - dark
    if (dark === 0 || light === 0) continue
    const difference = (total - sumOfDark) / light - sumOfDark / dark
    const variance = dark * light * difference ** 2
    if (variance > best) [best, at, apart] = [variance, level, difference]
  }
  return apart >= leastContrast ? at : null
}

/** Pixels of the largest light spot; what is written on it does not part it. */
function largestSpot({ width, height, levels }: Grey, split: number): Int32Array | null {
  const seen = new Uint8Array(levels.length)
  const queue = new Int32Array(levels.length)
  let largest: Int32Array | null = null
  for (let start = 0; start < levels.length; start++) {
    if (seen[start] === 1 || (levels[start] ?? 0) <= split) continue
    let [head, tail] = [0, 0]
    const visit = (at: number) => {
      if (seen[at] === 1 || (levels[at] ?? 0) <= split) return
      seen[at] = 1
      queue[tail++] = at
    }
    visit(start)
    while (head < tail) {
      const at = queue[head++] ?? 0
      const x = at % width
      if (x > 0) visit(at - 1)
      if (x < width - 1) visit(at + 1)
      if (at >= width) visit(at - width)
      if (at < width * (height - 1)) visit(at + width)
    }
    if (tail > (largest?.length ?? 0)) largest = queue.slice(0, tail)
  }
  return largest
}

/** The points of the spot that lie furthest along the diagonals. */
function cornersOf(spot: Int32Array, width: number): Point[] | null {
  const directions = [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
  ] as const
  const tops = directions.map(() => Number.NEGATIVE_INFINITY)
  const corners: Point[] = directions.map(() => [0, 0])
  for (const at of spot) {
    const [x, y] = [at % width, Math.floor(at / width)]
    directions.forEach(([u, v], index) => {
      const reached = u * x + v * y
      if (reached > (tops[index] ?? 0)) {
        tops[index] = reached
        corners[index] = [x, y]
      }
    })
  }
  return corners
}

function isPage(corners: readonly Point[], spot: Int32Array, grey: Grey, split: number): boolean {
  const area = areaOf(corners)
  const whole = grey.width * grey.height
  if (area < leastArea * whole || area > mostArea * whole) return false
  if (!anglesAreLikely(corners)) return false
  // Print is dark, so not every point within is light; none may be light beyond the sides.
  const outside = spot.filter((at) => !isWithin(corners, at % grey.width, Math.floor(at / grey.width), 2)).length
  if (outside > 0.02 * spot.length || spot.length < (leastFilled - 0.35) * area) return false
  return sidesPart(corners, grey, split)
}

function areaOf(corners: readonly Point[]): number {
  return Math.abs(
    corners.reduce((sum, [x, y], at) => {
      const [nextX, nextY] = corners[(at + 1) % 4] ?? [0, 0]
      return sum + (x * nextY - nextX * y) / 2
    }, 0),
  )
}

/** A rectangle seen at an angle keeps corners between 55 and 125 degrees. */
function anglesAreLikely(corners: readonly Point[]): boolean {
  return corners.every(([x, y], at) => {
    const [px, py] = corners[(at + 3) % 4] ?? [0, 0]
    const [nx, ny] = corners[(at + 1) % 4] ?? [0, 0]
    const [a, b] = [Math.hypot(px - x, py - y), Math.hypot(nx - x, ny - y)]
    if (a < 20 || b < 20) return false
    const cosine = ((px - x) * (nx - x) + (py - y) * (ny - y)) / (a * b)
    return Math.abs(cosine) < Math.cos((55 * Math.PI) / 180)
  })
}

function isWithin(corners: readonly Point[], x: number, y: number, slack: number): boolean {
  return corners.every(([ax, ay], at) => {
    const [bx, by] = corners[(at + 1) % 4] ?? [0, 0]
    const length = Math.hypot(bx - ax, by - ay)
    return ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length >= -slack
  })
}

/** Along each side, it is light within and dark without. */
function sidesPart(corners: readonly Point[], { width, height, levels }: Grey, split: number): boolean {
  return corners.every(([ax, ay], at) => {
    const [bx, by] = corners[(at + 1) % 4] ?? [0, 0]
    const length = Math.hypot(bx - ax, by - ay)
    const [inX, inY] = [-(by - ay) / length, (bx - ax) / length]
    const level = (x: number, y: number) => {
      const [column, row] = [Math.round(x), Math.round(y)]
      return column >= 0 && row >= 0 && column < width && row < height ? (levels[row * width + column] ?? 0) : null
    }
    let [parted, seen] = [0, 0]
    for (let part = 0.05; part < 0.96; part += 0.02) {
      const [x, y] = [ax + (bx - ax) * part, ay + (by - ay) * part]
      const [within, without] = [level(x + inX * 3, y + inY * 3), level(x - inX * 4, y - inY * 4)]
      seen++
      // Where the page leaves the picture, nothing is to be seen beyond it.
      if (within !== null && within > split && (without === null || without <= split)) parted++
    }
    return parted >= leastParted * seen
  })
}
