/** What a picture looks like as a whole, so that copies of it are found. */
import { type Canvases, type Raster, toGreys } from './pixels.ts'

/** Fields on each side. */
const fields = 16
/** Levels of 256 by which the fields must spread (standard deviation): a blank sheet looks like any other. */
const leastSpread = 3

/** See `Look`. */
export function describeLikeness(canvases: Canvases, image: Raster): string | null {
  return writeLikeness(measureFields(canvases, image))
}

/** Of the levels of 16 by 16 fields, row by row. */
export function writeLikeness(levels: readonly number[]): string | null {
  const mean = levels.reduce((sum, level) => sum + level, 0) / levels.length
  const spread = Math.sqrt(levels.reduce((sum, level) => sum + (level - mean) ** 2, 0) / levels.length)
  return spread < leastSpread ? null : Buffer.from(levels.map(Math.round)).toString('hex')
}

/** Each field is the mean of its pixels: drawn larger than the fields first, so that no pixel is passed over. */
function measureFields(canvases: Canvases, image: Raster): number[] {
  const cell = 16
  const side = fields * cell
  const context = canvases.createCanvas(side, side).getContext('2d')
  context.imageSmoothingQuality = 'high'
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, side, side)
  context.drawImage(image, 0, 0, side, side)
  const greys = toGreys(context.getImageData(0, 0, side, side).data)
  const sums = new Array<number>(fields ** 2).fill(0)
  for (const [at, grey] of greys.entries()) {
    const field = Math.floor(at / side / cell) * fields + Math.floor((at % side) / cell)
    sums[field] = (sums[field] ?? 0) + grey
  }
  return sums.map((sum) => sum / cell ** 2)
}
