/**
 * Looks at pictures: bar codes, words, what a picture looks like as a whole, and whether its small copy looks the same.
 */
import { scaleBox } from '../facts/layout.ts'
import type { Look, Looked, PageWords } from '../facts/look.ts'
import { findBarcodes } from './barcodes.ts'
import { rasterisePage } from './draw.ts'
import { describeLikeness } from './likeness.ts'
import { readWords } from './picture-words/read-words.ts'
import { type Canvases, decodePhoto, type Raster } from './pixels.ts'
import type { ReadingHint } from './read.ts'
import { lookAtThumbnail } from './thumbnail.ts'

/** Whether there is anything to look at in a file of this media type. */
export const isPicture = (media: string): boolean => media.startsWith('image/')

/** Pixels a point at which a page is drawn to be looked at: 240 dots an inch. */
const drawnAt = 240 / 72

/**
 * Looks at one picture, or at a page of a PDF as a picture; never throws for what the bytes hold. JPEG, PNG, WebP, GIF,
 * TIFF, HEIC and PDF; of others, says that they are not decoded. A page has no likeness: forms look alike.
 * `prepareBarcodes` first.
 *
 * Loads native code, so call it in a process made for it.
 */
export async function lookAtFile(bytes: Uint8Array, hint: ReadingHint, page = 1): Promise<Looked> {
  return withRaster(bytes, hint, page, async (canvases, image, scale) => {
    const barcodes = (await findBarcodes(canvases, image, hint.media === pdf)).map((code) => ({
      ...code,
      page,
      box: scaleBox(code.box, 1 / scale),
    }))
    if (hint.media === pdf || page > 1) return { barcodes, likeness: null }
    const look: Look = { barcodes, likeness: describeLikeness(canvases, image) }
    const thumbnail = await lookAtThumbnail(canvases, bytes, image)
    return thumbnail ? { ...look, thumbnail } : look
  })
}

/** Reads the words of a page that is a picture, in the units of the page; otherwise as `lookAtFile`. `prepareWords` first. */
export async function readPictureWords(
  bytes: Uint8Array,
  hint: ReadingHint,
  page: number,
): Promise<PageWords | { fault: string }> {
  return withRaster(bytes, hint, page, async (canvases, image, scale) => {
    const { words, confidence } = await readWords(canvases, image)
    const placed = words.map((word) => ({
      ...word,
      box: scaleBox(word.box, 1 / scale),
      shown: scaleBox(word.shown ?? word.box, 1 / scale),
      size: word.size / scale,
    }))
    return { words: placed, confidence }
  })
}

const pdf = 'application/pdf'

async function withRaster<T>(
  bytes: Uint8Array,
  { media }: ReadingHint,
  page: number,
  look: (canvases: Canvases, image: Raster, scale: number) => Promise<T>,
): Promise<T | { fault: string }> {
  try {
    const canvases = await import('@napi-rs/canvas')
    if (media === pdf) {
      const drawn = await rasterisePage(canvases, bytes, page, drawnAt)
      return 'fault' in drawn ? drawn : await look(canvases, drawn.image, drawn.scale)
    }
    const image = await decodePhoto(canvases, bytes, media, page)
    return 'fault' in image ? image : await look(canvases, image, 1)
  } catch (error) {
    return { fault: error instanceof Error ? error.message : String(error) }
  }
}
