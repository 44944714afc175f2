/** What a picture looks like as a whole, so that copies of it are found. */
import type { Image } from '@napi-rs/canvas'
import type { Canvases } from './pixels.ts'

const [across, down] = [17, 16]
/** So that the noise of a saved picture does not speak where all is of one level. */
const leastStep = 1.5
/** Levels of 256 by which neighbouring fields must differ to count, and how many must: a blank sheet looks like any other. */
const leastContrast = 1
const leastCounting = 48

/**
 * Difference hash (dHash): the picture in 17 by 16 fields of grey; a bit is set where a field is darker than the next on
 * its right, from the top left, the first in the highest bit. 64 bits, as are usual, do not tell apart two photos of light
 * falling on two labels. Null where hardly any neighbours differ.
 */
export function hashPicture(canvases: Canvases, image: Image): string | null {
  return hashFields(measureFields(canvases, image))
}

/** Of 272 levels of grey, row by row. */
export function hashFields(fields: readonly number[]): string | null {
  let bits = 0n
  let counting = 0
  for (let row = 0; row < down; row++)
    for (let column = 0; column + 1 < across; column++) {
      const at = row * across + column
      const difference = (fields[at + 1] ?? 0) - (fields[at] ?? 0)
      bits = (bits << 1n) | (difference > leastStep ? 1n : 0n)
      if (Math.abs(difference) >= leastContrast) counting++
    }
  return counting < leastCounting ? null : bits.toString(16).padStart(64, '0')
}

/** Each field is the mean of its pixels: halved step by step, so that no pixel is passed over. */
function measureFields(canvases: Canvases, image: Image): number[] {
  const cells = 16
  const canvas = canvases.createCanvas(across * cells, down * cells)
  const context = canvas.getContext('2d')
  context.imageSmoothingEnabled = true
  context.imageSmoothingQuality = 'high'
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, canvas.width, canvas.height)
  context.drawImage(image, 0, 0, canvas.width, canvas.height)
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height)
  const sums = new Array<number>(across * down).fill(0)
  for (let y = 0; y < canvas.height; y++)
    for (let x = 0; x < canvas.width; x++) {
      const pixel = (y * canvas.width + x) * 4
      // ITU-R BT.601 luma.
      const grey = 0.299 * (data[pixel] ?? 0) + 0.587 * (data[pixel + 1] ?? 0) + 0.114 * (data[pixel + 2] ?? 0)
      const field = Math.floor(y / cells) * across + Math.floor(x / cells)
      sums[field] = (sums[field] ?? 0) + grey
    }
  return sums.map((sum) => sum / cells ** 2)
}
