/** The point of a number, looked for as a mark: at low resolution it is the first that a reader of words loses. */
import type { Grey } from './grey.ts'
import { findMarks, type Mark } from './marks.ts'

/** In heights of a digit. */
const largest = 0.36
const offFoot = 0.22
const leastArea = 0.006

/**
 * Whether a small mark stands at the foot between two tall ones. `size`: height of a common letter in the picture; `from`
 * and `to`: where to look, in pixels from the left.
 */
export function showsPoint(word: Grey, size: number, from = 0, to = word.width): boolean {
  const marks = findMarks(word, Math.round(size), 14)
  const heightOf = ({ y0, y1 }: Mark) => y1 - y0
  const tallest = Math.max(0, ...marks.map(heightOf))
  const tall = marks.filter((mark) => heightOf(mark) >= 0.75 * tallest)
  const foot = tall.map(({ y1 }) => y1).sort((a, b) => a - b)[tall.length >> 1] ?? 0
  return marks.some(
    (mark) =>
      mark.x0 >= from &&
      mark.x1 <= to &&
      Math.max(heightOf(mark), mark.x1 - mark.x0) <= largest * tallest &&
      mark.area >= leastArea * tallest * tallest &&
      Math.abs(mark.y1 - foot) <= offFoot * tallest &&
      tall.some(({ x1 }) => x1 <= mark.x0 + 2) &&
      tall.some(({ x0 }) => x0 >= mark.x1 - 2),
  )
}
