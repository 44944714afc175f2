/** Looks at pictures: bar codes, what a picture looks like as a whole, and whether its small copy looks the same. */
import type { Look, Looked } from '../facts/look.ts'
import type { Reading } from '../facts/reading.ts'
import { findBarcodes } from './barcodes.ts'
import { describeLikeness } from './likeness.ts'
import { decodePhoto } from './pixels.ts'
import type { ReadingHint } from './read.ts'
import { lookAtThumbnail } from './thumbnail.ts'

/** Whether there is anything to look at in a file of this media type. */
export const isPicture = (media: string): boolean => media.startsWith('image/')

/**
 * Looks at one picture, of a TIFF at its first page; never throws for what the bytes hold. Of formats that are not decoded,
 * says so. `prepareBarcodes` first.
 *
 * Loads native code, so call it in a process made for it.
 */
export async function lookAtFile(bytes: Uint8Array, { media }: ReadingHint): Promise<Looked> {
  try {
    const canvases = await import('@napi-rs/canvas')
    const image = await decodePhoto(canvases, bytes, media)
    if ('fault' in image) return image
    const look: Look = { barcodes: await findBarcodes(canvases, image), likeness: describeLikeness(canvases, image) }
    const thumbnail = await lookAtThumbnail(canvases, bytes, image)
    return thumbnail ? { ...look, thumbnail } : look
  } catch (error) {
    return { fault: error instanceof Error ? error.message : String(error) }
  }
}

/** A reading with what was seen. A picture that could not be looked at has none, which is not the same as nothing. */
export const addLook = (reading: Reading, looked: Looked): Reading =>
  'fault' in looked || !reading.picture
    ? reading
    : { ...reading, barcodes: looked.barcodes, picture: { ...reading.picture, ...seen(looked) } }

const seen = ({ likeness, thumbnail }: Look) => ({ likeness, ...(thumbnail ? { thumbnail } : {}) })
