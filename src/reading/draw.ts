/** Draws pages of a file: as pictures for people, and to be looked at where a page has no words of its own. */
import type { Canvas } from '@napi-rs/canvas'
import type { Drawing, DrawingWish, Drawn } from '../facts/drawing.ts'
import type { Box } from '../facts/reading.ts'
import { findTurn } from './pdf.ts'
import { openDocument, type PdfDocument, type PdfPage, withPdfjs } from './pdf-library.ts'
import { type Canvases, decodePhoto, mostPixels, paintPhoto } from './pixels.ts'
import type { ReadingHint } from './read.ts'

/** Pixels across, enough for ten-point print on paper of letter size. */
const widest = 1100
/** A narrow page is not blown up further: pixels a point. */
const largest = 2
/** Pixels across of a page that takes the place of the page itself. */
const widestCovered = 1700
/** Points by which what is painted over is wider than its words. */
const around = 2
/** Points above and below the marks that are shown with them. */
const margin = 42
/** Where marks take more of the height than this, the whole page is shown. */
const mostOfPage = 0.6
const quality = 82
/** Pixels of a page that is drawn to be read. */
const mostOfRaster = 16_000_000

type PdfOperators = Parameters<typeof findTurn>[1]
type PageContext = Parameters<PdfPage['render']>[0]['canvasContext']

/**
 * Draws what is wished for, in that order. PDF, JPEG, PNG, WebP, GIF, TIFF and HEIC; never throws for what the bytes hold: what
 * cannot be drawn has a fault in words that follow "cannot be shown: ".
 *
 * Loads native code, so call it in a process made for it.
 */
export async function drawFile(
  bytes: Uint8Array,
  { media }: ReadingHint,
  wishes: readonly DrawingWish[],
): Promise<Drawn[]> {
  const canvases = await import('@napi-rs/canvas')
  if (media === 'application/pdf') return drawPdf(canvases, bytes, wishes)
  const pages = new Map<number, Drawn>()
  for (const { page } of wishes) {
    if (!pages.has(page)) pages.set(page, await drawPhoto(canvases, bytes, media, page))
  }
  return wishes.map(({ page }) => pages.get(page) ?? { fault: 'it has no such page' })
}

/** Each state of the file that is wished for is opened once. */
async function drawPdf(canvases: Canvases, bytes: Uint8Array, wishes: readonly DrawingWish[]): Promise<Drawn[]> {
  const drawn = new Map<DrawingWish, Drawn>()
  for (const [end, own] of Map.groupBy(wishes, (wish) => wish.end ?? bytes.length))
    for (const [index, answer] of (await drawState(canvases, bytes.subarray(0, end), own)).entries())
      drawn.set(own[index] as DrawingWish, answer)
  return wishes.map((wish) => drawn.get(wish) ?? { fault: 'it was not drawn' })
}

async function drawState(canvases: Canvases, bytes: Uint8Array, wishes: readonly DrawingWish[]): Promise<Drawn[]> {
  return withPdfjs(async (pdfjs) => {
    const task = openDocument(pdfjs, bytes, mostPixels)
    try {
      const document = await task.promise
      const drawn: Drawn[] = []
      for (const wish of wishes) drawn.push(await attempt(() => drawPage(canvases, document, pdfjs.OPS, wish)))
      return drawn
    } catch (error) {
      return wishes.map(() => faultOf(error))
    } finally {
      await task.destroy().catch(() => undefined)
    }
  })
}

/**
 * One page of a PDF as a picture to be read, at `scale` pixels a point or fewer where it would have too many, upright by
 * its own /Rotate. Never throws for what the bytes hold.
 */
export async function rasterisePage(
  canvases: Canvases,
  bytes: Uint8Array,
  number: number,
  scale: number,
): Promise<{ image: Canvas; scale: number } | { fault: string }> {
  return withPdfjs(async (pdfjs) => {
    const task = openDocument(pdfjs, bytes, mostPixels)
    try {
      const page = await (await task.promise).getPage(number)
      const rotation = (page.rotate + (await findTurn(page, pdfjs.OPS))) % 360
      const { width, height } = page.getViewport({ scale: 1, rotation })
      if (!(width >= 1 && height >= 1)) return { fault: 'the page has no size to be drawn at' }
      const held = Math.min(scale, Math.sqrt(mostOfRaster / (width * height)))
      const image = canvases.createCanvas(Math.ceil(width * held), Math.ceil(height * held))
      await paint(page, image, held, rotation, [0, 0, width, height])
      return { image, scale: held }
    } catch (error) {
      return faultOf(error)
    } finally {
      await task.destroy().catch(() => undefined)
    }
  })
}

async function attempt(draw: () => Promise<Drawn>): Promise<Drawn> {
  try {
    return await draw()
  } catch (error) {
    return faultOf(error)
  }
}

const faultOf = (error: unknown): { fault: string } => ({
  fault: error instanceof Error ? error.message : String(error),
})

async function drawPage(
  canvases: Canvases,
  document: PdfDocument,
  ops: PdfOperators,
  { page: number, marks, covers }: DrawingWish,
): Promise<Drawn> {
  const page = await document.getPage(number)
  const rotation = (page.rotate + (await findTurn(page, ops))) % 360
  const { width, height } = page.getViewport({ scale: 1, rotation })
  if (!(width >= 1 && height >= 1 && height / width < 50)) return { fault: 'the page has no size to be drawn at' }
  if (covers !== undefined && (await showsPictures(page, ops)))
    return { fault: 'it shows a picture, and what stands in that is not known' }
  const region = covers === undefined ? chooseRegion(marks, width, height) : ([0, 0, width, height] as const)
  const scale = covers === undefined ? Math.min(widest / width, largest) : Math.min(widestCovered / width, largest)
  const canvas = canvases.createCanvas(Math.ceil(width * scale), Math.ceil((region[3] - region[1]) * scale))
  await paint(page, canvas, scale, rotation, region)
  if (covers !== undefined) cover(canvas, covers, scale)
  page.cleanup()
  return finish(canvas, region)
}

/** Pictures as they are, as masks, and within the page's own code (ISO 32000-1, 8.9). */
async function showsPictures(page: PdfPage, ops: PdfOperators): Promise<boolean> {
  const { fnArray } = await page.getOperatorList()
  const names = Object.entries(ops).filter(([name]) => /image/i.test(name) && /paint/i.test(name))
  const pictures = new Set(names.map(([, code]) => code as number))
  return fnArray.some((code) => pictures.has(code))
}

function cover(canvas: Canvas, covers: readonly Box[], scale: number): void {
  const context = canvas.getContext('2d')
  context.setTransform(1, 0, 0, 1, 0, 0)
  context.globalAlpha = 1
  context.fillStyle = '#000000'
  for (const [x0, y0, x1, y1] of covers)
    context.fillRect(
      (x0 - around) * scale,
      (y0 - around) * scale,
      (x1 - x0 + 2 * around) * scale,
      (y1 - y0 + 2 * around) * scale,
    )
}

/** The whole width, and the height that the marks take with what stands around them. */
function chooseRegion(marks: readonly Box[], width: number, height: number): Box {
  const top = Math.max(0, Math.floor(Math.min(...marks.map(([, y0]) => y0)) - margin))
  const bottom = Math.min(height, Math.ceil(Math.max(...marks.map(([, , , y1]) => y1)) + margin))
  const fits = bottom > top && bottom - top <= height * mostOfPage
  return marks.length > 0 && fits ? [0, top, width, bottom] : [0, 0, width, height]
}

async function paint(page: PdfPage, canvas: Canvas, scale: number, rotation: number, region: Box): Promise<void> {
  const context = canvas.getContext('2d')
  context.fillStyle = '#ffffff'
  context.fillRect(0, 0, canvas.width, canvas.height)
  const viewport = page.getViewport({ scale, rotation, offsetY: -region[1] * scale })
  // pdfjs draws on what has the methods of a browser's canvas, though its types ask for the thing itself.
  const target = { canvas: null, canvasContext: context as unknown as PageContext, viewport }
  await page.render(target).promise
}

async function drawPhoto(canvases: Canvases, bytes: Uint8Array, media: string, page: number): Promise<Drawn> {
  return attempt(async () => {
    const image = await decodePhoto(canvases, bytes, media, page)
    if ('fault' in image) return image
    return finish(paintPhoto(canvases, image, widest), [0, 0, image.width, image.height])
  })
}

function finish(canvas: Canvas, region: Box): Drawing {
  const jpeg = Uint8Array.from(canvas.encodeSync('jpeg', quality))
  return { jpeg, widthPixels: canvas.width, heightPixels: canvas.height, region }
}
