/** A page as a scanner or a phone would bring it, from its PDF. The same page, harm and seed give the same bytes. */
import { type Canvas, createCanvas } from '@napi-rs/canvas'
import { openDocument, withPdfjs } from '../../../src/reading/pdf-library.ts'
import { type Chance, makeChance } from '../defects/chance.ts'
import type { Harm } from './levels.ts'
import { type Pixels, type Point, projectionOf, warp } from './warp.ts'

export interface PagePicture {
  bytes: Uint8Array
  media: 'image/jpeg' | 'image/png'
  /** Pixels. */
  width: number
  height: number
}

const white = 255
/** Of a desk. */
const dark = 70

/** The only page of a PDF, drawn at `dpi` on white. */
export function drawPage(pdf: Uint8Array, dpi: number): Promise<Canvas> {
  return withPdfjs(async (pdfjs) => {
    const task = openDocument(pdfjs, pdf, 50_000_000)
    try {
      const page = await (await task.promise).getPage(1)
      const viewport = page.getViewport({ scale: dpi / 72 })
      const canvas = createCanvas(Math.ceil(viewport.width), Math.ceil(viewport.height))
      const context = canvas.getContext('2d')
      context.fillStyle = '#ffffff'
      context.fillRect(0, 0, canvas.width, canvas.height)
      const target = { canvas: null, canvasContext: context as never, viewport }
      await page.render(target).promise
      return canvas
    } finally {
      await task.destroy().catch(() => undefined)
    }
  })
}

/** Turned, slanted and moved, on a ground that holds it. */
function lay(sheet: Canvas, { turned = 0, corners, dark: onDesk }: Harm): Canvas {
  if (turned === 0 && !corners) return sheet
  const { width, height } = sheet
  const angle = (turned * Math.PI) / 180
  const [cosine, sine] = [Math.cos(angle), Math.sin(angle)]
  const edges: Point[] = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ]
  const seen = edges.map(([x, y], index): Point => {
    const [byX, byY] = corners?.[index] ?? [0, 0]
    const [dx, dy] = [x + byX * width - width / 2, y + byY * height - height / 2]
    return [dx * cosine - dy * sine, dx * sine + dy * cosine]
  })
  const margin = onDesk ? 0.03 * Math.max(width, height) : 0
  const [left, top] = [Math.min(...seen.map(([x]) => x)) - margin, Math.min(...seen.map(([, y]) => y)) - margin]
  const across = Math.ceil(Math.max(...seen.map(([x]) => x)) + margin - left)
  const down = Math.ceil(Math.max(...seen.map(([, y]) => y)) + margin - top)
  const back = projectionOf(
    seen.map(([x, y]): Point => [x - left, y - top]),
    edges,
  )
  return toCanvas(warp(pixelsOf(sheet), across, down, back, onDesk ? dark : white))
}

const pixelsOf = (canvas: Canvas): Pixels => {
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height)
  return { data, width: canvas.width, height: canvas.height }
}

function toCanvas({ data, width, height }: Pixels): Canvas {
  const canvas = createCanvas(width, height)
  const context = canvas.getContext('2d')
  const picture = context.createImageData(width, height)
  picture.data.set(data)
  context.putImageData(picture, 0, 0)
  return canvas
}

function blur(canvas: Canvas, deviation: number): Canvas {
  const out = createCanvas(canvas.width, canvas.height)
  const context = out.getContext('2d')
  context.filter = `blur(${deviation}px)`
  context.drawImage(canvas, 0, 0)
  return out
}

/** A soft-edged shadow, and then what the sensor adds by chance. */
function expose({ data, width, height }: Pixels, { shadow, noise = 0 }: Harm, chance: Chance): void {
  const angle = ((shadow?.direction ?? 0) * Math.PI) / 180
  const [towardsX, towardsY] = [Math.cos(angle), Math.sin(angle)]
  const reach = Math.hypot(width, height) / 2
  for (let y = 0, at = 0; y < height; y++)
    for (let x = 0; x < width; x++, at += 4) {
      const along = ((x - width / 2) * towardsX + (y - height / 2) * towardsY) / reach
      const light = 1 - (shadow?.depth ?? 0) / (1 + Math.exp(-6 * along))
      const grain = noise > 0 ? noise * chance.normal() : 0
      for (let band = 0; band < 3; band++) data[at + band] = (data[at + band] as number) * light + grain
    }
}

export async function degrade(pdf: Uint8Array, harm: Harm, seed: number): Promise<PagePicture> {
  let canvas = lay(await drawPage(pdf, harm.dpi), harm)
  if (harm.blurred) canvas = blur(canvas, harm.blurred)
  if (harm.shadow || harm.noise) {
    const pixels = pixelsOf(canvas)
    expose(pixels, harm, makeChance(seed))
    canvas = toCanvas(pixels)
  }
  const { width, height } = canvas
  if (harm.quality === undefined)
    return { bytes: copy(canvas.toBuffer('image/png')), media: 'image/png', width, height }
  return { bytes: copy(canvas.encodeSync('jpeg', harm.quality)), media: 'image/jpeg', width, height }
}

const copy = (bytes: Uint8Array): Uint8Array => Uint8Array.from(bytes)
