/** Pictures decoded into pixels, within limits. Loads native code, so use it in a process made for it. */
import type { Canvas, Image } from '@napi-rs/canvas'
import type { Pixels } from './decode-tiff.ts'
import { isSideways, lookAtPicture } from './picture-structure.ts'

export type Canvases = typeof import('@napi-rs/canvas')

/** A decoded picture, upright. */
export type Raster = Image | Canvas

/** Of a picture inside a page, or of a photo. Decoded, a pixel takes four bytes. */
export const mostPixels = 50_000_000

/**
 * JPEG, PNG, WebP, GIF, HEIC, or page `page` (from 1) of a TIFF, upright as its camera says. Gives a fault in words for what
 * is not decoded, and rejects with what the decoder throws.
 */
export async function decodePhoto(
  canvases: Canvases,
  bytes: Uint8Array,
  media: string,
  page = 1,
): Promise<Raster | { fault: string }> {
  const structure = lookAtPicture(bytes)
  if (structure === null || !/^image\/(jpeg|png|webp|gif|tiff|heic)$/.test(media))
    return { fault: 'its format is not drawn' }
  const { width, height } = structure.pages?.[page - 1] ?? structure
  if (!(width * height > 0) || width * height > mostPixels) return { fault: 'it is damaged or too large' }
  if (media === 'image/tiff') {
    const { decodeTiff } = await import('./decode-tiff.ts')
    return makeRaster(canvases, decodeTiff(bytes, page, mostPixels))
  }
  if (page !== 1) return { fault: 'it has no such page' }
  if (media === 'image/heic') {
    const { decodeHeic } = await import('./decode-heic.ts')
    return makeRaster(canvases, await decodeHeic(bytes, mostPixels))
  }
  return turnUpright(canvases, await canvases.loadImage(bytes), structure.orientation)
}

function makeRaster(
  canvases: Canvases,
  pixels: (Pixels & { orientation?: number }) | { fault: string },
): Raster | { fault: string } {
  if ('fault' in pixels) return pixels
  const { rgba, width, height, orientation } = pixels
  const stored = canvases.createCanvas(width, height)
  const data = new Uint8ClampedArray(rgba.buffer as ArrayBuffer, rgba.byteOffset, rgba.length)
  stored.getContext('2d').putImageData(new canvases.ImageData(data, width, height), 0, 0)
  return turnUpright(canvases, stored, orientation)
}

/** Turned and mirrored as the orientation says (TIFF 6.0, section 8; CIPA DC-008, 4.6.4). */
function turnUpright(canvases: Canvases, stored: Raster, orientation = 1): Raster {
  const { width, height } = stored
  const turn = turns[orientation]
  if (turn === undefined) return stored
  const upright = isSideways(orientation) ? canvases.createCanvas(height, width) : canvases.createCanvas(width, height)
  const context = upright.getContext('2d')
  context.setTransform(...turn(width, height))
  context.drawImage(stored, 0, 0)
  return upright
}

type Transform = [a: number, b: number, c: number, d: number, e: number, f: number]

/** From a point as stored to where it stands upright, for each orientation but 1. */
const turns: Readonly<Record<number, (width: number, height: number) => Transform>> = {
  2: (width) => [-1, 0, 0, 1, width, 0],
  3: (width, height) => [-1, 0, 0, -1, width, height],
  4: (_, height) => [1, 0, 0, -1, 0, height],
  5: () => [0, 1, 1, 0, 0, 0],
  6: (_, height) => [0, 1, -1, 0, height, 0],
  7: (width, height) => [0, -1, -1, 0, height, width],
  8: (width) => [0, -1, 1, 0, 0, width],
}

/** The picture with its longer side no longer than `longest`, turned clockwise by `degrees` on a white ground that holds it. */
export function paintPhoto(canvases: Canvases, image: Raster, longest: number, degrees = 0): Canvas {
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
