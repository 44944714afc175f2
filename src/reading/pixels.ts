/** Pictures decoded into pixels, within limits. Loads native code, so use it in a process made for it. */
import type { Canvas, Image } from '@napi-rs/canvas'
import { lookAtPicture } from './picture-structure.ts'

export type Canvases = typeof import('@napi-rs/canvas')

/** Of a picture inside a page, or of a photo. Decoded, a pixel takes four bytes. */
export const mostPixels = 50_000_000

/**
 * JPEG, PNG, WebP or GIF, upright as its camera says. Gives a fault in words for what is not decoded, and rejects with what
 * the decoder throws.
 */
export async function decodePhoto(
  canvases: Canvases,
  bytes: Uint8Array,
  media: string,
): Promise<Image | { fault: string }> {
  const structure = lookAtPicture(bytes)
  if (structure === null || !/^image\/(jpeg|png|webp|gif)$/.test(media)) return { fault: 'its format is not drawn' }
  const pixels = structure.width * structure.height
  if (!(pixels > 0) || pixels > mostPixels) return { fault: 'it is damaged or too large' }
  return canvases.loadImage(bytes)
}

/** The picture with its longer side no longer than `longest`, turned clockwise by `degrees` on a white ground that holds it. */
export function paintPhoto(canvases: Canvases, image: Image, longest: number, degrees = 0): Canvas {
  const scale = Math.min(1, longest / Math.max(image.width, image.height))
  const [width, height] = [Math.max(1, image.width * scale), Math.max(1, image.height * scale)]
  const angle = (degrees * Math.PI) / 180
  const [sine, cosine] = [Math.abs(Math.sin(angle)), Math.abs(Math.cos(angle))]
  const canvas = canvases.createCanvas(
    Math.max(1, Math.round(width * cosine + height * sine)),
    Math.max(1, Math.round(width * sine + height * cosine)),
  )
  const context = canvas.getContext('2d')
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, canvas.width, canvas.height)
  context.translate(canvas.width / 2, canvas.height / 2)
  context.rotate(angle)
  context.drawImage(image, -width / 2, -height / 2, width, height)
  return canvas
}

/** The luma of each pixel (ITU-R BT.601), of an RGBA picture. */
export function toGreys(data: Uint8ClampedArray): Uint8Array {
  const greys = new Uint8Array(data.length / 4)
  for (let at = 0, from = 0; at < greys.length; at++, from += 4)
    greys[at] = 0.299 * (data[from] ?? 0) + 0.587 * (data[from + 1] ?? 0) + 0.114 * (data[from + 2] ?? 0)
  return greys
}

/**
 * Takes light and shadow away, in place: each pixel of an RGBA picture becomes the grey that it has against the mean of
 * what is around it.
 */
export function flatten(data: Uint8ClampedArray, width: number, height: number): void {
  const greys = toGreys(data)
  const sums = sumUp(greys, width, height)
  const reach = Math.max(8, Math.round(Math.min(width, height) / 24))
  for (let y = 0; y < height; y++) {
    const [top, bottom] = [Math.max(0, y - reach), Math.min(height, y + reach + 1)]
    for (let x = 0; x < width; x++) {
      const [left, right] = [Math.max(0, x - reach), Math.min(width, x + reach + 1)]
      const at = (row: number, column: number) => sums[row * (width + 1) + column] ?? 0
      const sum = at(bottom, right) - at(top, right) - at(bottom, left) + at(top, left)
      const mean = sum / ((bottom - top) * (right - left))
      data.fill(
        Math.min(255, (150 * (greys[y * width + x] ?? 0)) / Math.max(1, mean)),
        (y * width + x) * 4,
        (y * width + x) * 4 + 3,
      )
    }
  }
}

/** Sums of all above and to the left: a summed-area table, one row and column larger. */
function sumUp(greys: Uint8Array, width: number, height: number): Float64Array {
  const sums = new Float64Array((width + 1) * (height + 1))
  for (let y = 0; y < height; y++) {
    let row = 0
    for (let x = 0; x < width; x++) {
      row += greys[y * width + x] ?? 0
      sums[(y + 1) * (width + 1) + x + 1] = (sums[y * (width + 1) + x + 1] ?? 0) + row
    }
  }
  return sums
}
