/** The small copy inside a picture's file (CIPA DC-008, 4.5.8: IFD1), against the picture: who changes the one may forget the other. */
import exifreader from 'exifreader'
import { compareLikenesses } from '../facts/look.ts'
import type { ThumbnailLook } from '../facts/reading.ts'
import { describeLikeness } from './likeness.ts'
import { type Canvases, decodePhoto, type Raster } from './pixels.ts'

/** Small copies are 160 by 120 as a rule, and 64 kB at most in a JPEG. */
const mostBytes = 1_000_000

/**
 * Looks at the thumbnail of `bytes`, whose picture is decoded already. The smallest difference of those it has turned each
 * way, with and without dark bars, and against the middle of the picture in its own shape: cameras write it in one of these ways.
 * Undefined where there is none, or none that can be decoded.
 */
export async function lookAtThumbnail(
  canvases: Canvases,
  bytes: Uint8Array,
  image: Raster,
): Promise<ThumbnailLook | undefined> {
  const jpeg = thumbnailOf(bytes)
  if (jpeg === null) return undefined
  const small = await decodePhoto(canvases, jpeg, 'image/jpeg').catch(() => null)
  if (small === null || 'fault' in small) return undefined
  const { width, height } = small
  const turned = [0, 1, 2, 3].map((quarters) => turn(canvases, small, quarters))
  // What is dark at its edges need not have bars there.
  const views = turned.flatMap((view) => [view, trimBars(canvases, view)])
  const pairs = views.flatMap((view) => [[view, image] as const, [view, cutMiddle(canvases, image, view)] as const])
  const differences = pairs.flatMap(([view, whole]) => {
    const [one, other] = [describeLikeness(canvases, view), describeLikeness(canvases, whole)]
    return one === null || other === null ? [] : [compareLikenesses(one, other)]
  })
  return { width, height, levels: differences.length === 0 ? null : Math.min(...differences) }
}

function thumbnailOf(bytes: Uint8Array): Uint8Array | null {
  try {
    const { Thumbnail: found } = exifreader.load(Uint8Array.from(bytes).buffer, { expanded: true })
    const image = (found as { image?: ArrayBuffer } | undefined)?.image
    return image && image.byteLength > 0 && image.byteLength <= mostBytes ? new Uint8Array(image) : null
  } catch {
    // Camera data that cannot be read: the reader says so.
    return null
  }
}

function turn(canvases: Canvases, image: Raster, quarters: number): Raster {
  if (quarters === 0) return image
  const { width, height } = image
  const canvas = quarters % 2 === 1 ? canvases.createCanvas(height, width) : canvases.createCanvas(width, height)
  const context = canvas.getContext('2d')
  context.translate(canvas.width / 2, canvas.height / 2)
  context.rotate((quarters * Math.PI) / 2)
  context.drawImage(image, -width / 2, -height / 2)
  return canvas
}

function cut(canvases: Canvases, image: Raster, x: number, y: number, width: number, height: number): Raster {
  const canvas = canvases.createCanvas(Math.max(1, Math.round(width)), Math.max(1, Math.round(height)))
  canvas.getContext('2d').drawImage(image, x, y, width, height, 0, 0, canvas.width, canvas.height)
  return canvas
}

/** The largest middle part of the picture that has the shape of `view`. */
function cutMiddle(canvases: Canvases, image: Raster, view: Raster): Raster {
  const shape = view.width / view.height
  const width = Math.min(image.width, image.height * shape)
  const height = Math.min(image.height, image.width / shape)
  return cut(canvases, image, (image.width - width) / 2, (image.height - height) / 2, width, height)
}

/** Darker than this, of 256, in every pixel but what compression blurs. */
const darkest = 24

/** Without the dark bars above and below, or beside it, that fill a small copy of another shape; equal on both sides. */
function trimBars(canvases: Canvases, image: Raster): Raster {
  const { width, height } = image
  const context = canvases.createCanvas(width, height).getContext('2d')
  context.drawImage(image, 0, 0)
  const { data } = context.getImageData(0, 0, width, height)
  const isDark = (x: number, y: number) => {
    const at = 4 * (y * width + x)
    return Math.max(data[at] ?? 0, data[at + 1] ?? 0, data[at + 2] ?? 0) <= darkest
  }
  const row = (y: number) => Array.from({ length: width }, (_, x) => isDark(x, y)).every(Boolean)
  const column = (x: number) => Array.from({ length: height }, (_, y) => isDark(x, y)).every(Boolean)
  const bars = (isBar: (at: number) => boolean, length: number) => {
    let bar = 0
    while (bar < length / 3 && isBar(bar) && isBar(length - 1 - bar)) bar++
    // The edge of a bar is blurred into the picture.
    return bar > 1 ? bar + 1 : 0
  }
  const [above, beside] = [bars(row, height), bars(column, width)]
  if (above === 0 && beside === 0) return image
  return cut(canvases, image, beside, above, width - 2 * beside, height - 2 * above)
}
