/** By how much the lines of a page are turned, told from where its letters stand. */
import type { Mark } from './marks.ts'

/** Either way, in degrees. */
export const steepest = 15
const coarse = 0.25
const fine = 0.03
/** So many letters tell as much as all. */
const enough = 4000

/**
 * The angle of the lines in degrees, clockwise as the picture is seen, from −15 to 15: the one at which the feet of the
 * letters fall into the fewest, fullest rows (projection profile; Postl 1986, Baird 1987). `size`: height of a letter.
 */
export function measureSlant(letters: readonly Mark[], size: number, sideways = false): number {
  const step = Math.max(1, Math.floor(letters.length / enough))
  const feet = letters
    .filter((_, at) => at % step === 0)
    .map(({ x0, x1, y0, y1 }) => (sideways ? { x: (y0 + y1) / 2, y: -x0 } : { x: (x0 + x1) / 2, y: y1 }))
  const row = Math.max(0.75, size / 8)
  const rate = (degrees: number) => fullness(feet, Math.tan((degrees * Math.PI) / 180), row)
  const near = best(-steepest, steepest, coarse, rate)
  return best(near - coarse, near + coarse, fine, rate)
}

function best(from: number, to: number, step: number, rate: (degrees: number) => number): number {
  let [top, at] = [-1, 0]
  for (let degrees = from; degrees <= to + step / 2; degrees += step) {
    const rated = rate(degrees)
    // Of equals, the one nearer to straight.
    if (rated > top || (rated === top && Math.abs(degrees) < Math.abs(at))) [top, at] = [rated, degrees]
  }
  return at
}

/** Rows and half of what falls into the rows beside them, so that a row cut in two counts the same wherever it is cut. */
function fullness(feet: readonly { x: number; y: number }[], slope: number, row: number): number {
  const rows = new Map<number, number>()
  for (const { x, y } of feet) {
    const at = Math.round((y - x * slope) / row)
    rows.set(at, (rows.get(at) ?? 0) + 1)
  }
  let sum = 0
  for (const [at, count] of rows) sum += count * (count + (rows.get(at + 1) ?? 0))
  return sum
}
