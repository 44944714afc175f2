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
