/** Bar codes in pictures, by ZXing (zxing-cpp, compiled to WebAssembly). */
import type { Canvas } from '@napi-rs/canvas'
import { prepareZXingModule, type ReadResult, readBarcodes } from 'zxing-wasm/reader'
import type { Barcode, Box, Symbology } from '../facts/reading.ts'
import { type Canvases, flatten, paintPhoto, type Raster } from './pixels.ts'

const names: Readonly<Record<string, Symbology>> = {
  Code39: 'code-39',
  Code128: 'code-128',
  DataMatrix: 'data-matrix',
  QRCode: 'qr-code',
  PDF417: 'pdf417',
}

/** Pixels of the longer side, for the first look. */
const usual = 2400
/** Lines that are turned by 12 degrees or less are read; quarter turns are tried by the reader itself. */
const turns = [0, 24, 48, 72] as const
const mostCodes = 20
/** Code 39 has no check character that must be there: fewer characters may be read out of a grille or a tread. */
const leastOfCode39 = 4

/** Call once, with the bytes of `zxing-wasm/reader/zxing_reader.wasm`, before anything is read. */
export function prepareBarcodes(wasm: Uint8Array<ArrayBuffer>): void {
  const { buffer, byteOffset, byteLength } = wasm
  // Without the bytes, the package would fetch them from a server.
  const wasmBinary = buffer.slice(byteOffset, byteOffset + byteLength)
  prepareZXingModule({ overrides: { wasmBinary }, fireImmediately: true })
}

/** One way of looking. */
interface Sight {
  longest: number
  degrees: number
  /** Light and shadow taken away. */
  flat: boolean
}

/**
 * What stands in a photo; boxes in its pixels, upright. Looked at in one way after the other, until something is found. A page
 * is looked at once: its codes stand as its words do, or a quarter turned, and it is lit evenly.
 */
export async function findBarcodes(canvases: Canvases, image: Raster, isPage = false): Promise<Barcode[]> {
  const full = Math.max(image.width, image.height)
  const sights: Sight[] = [
    ...turns.map((degrees) => ({ longest: usual, degrees, flat: false })),
    ...turns.map((degrees) => ({ longest: usual, degrees, flat: true })),
    ...(full > usual ? [{ longest: full, degrees: 0, flat: false }] : []),
  ]
  for (const sight of isPage ? sights.slice(0, 1) : sights) {
    const found = await read(canvases, image, sight)
    const sure = await confirm(canvases, image, sight, found)
    if (sure.length > 0) return sure
  }
  return []
}

/** PDF417 has been read out of a slanted picture as something else: it counts when another look says the same. */
async function confirm(canvases: Canvases, image: Raster, sight: Sight, found: readonly Barcode[]): Promise<Barcode[]> {
  if (!found.some(({ symbology }) => symbology === 'pdf417')) return [...found]
  const longest = Math.min(sight.longest, Math.max(image.width, image.height)) * 0.83
  const others = await Promise.all(
    [
      { ...sight, flat: !sight.flat },
      { ...sight, longest },
    ].map((other) => read(canvases, image, other)),
  )
  const texts = new Set(others.flat().map(({ text }) => text))
  return found.filter(({ symbology, text }) => symbology !== 'pdf417' || texts.has(text))
}

async function read(canvases: Canvases, image: Raster, { longest, degrees, flat }: Sight): Promise<Barcode[]> {
  const canvas = paintPhoto(canvases, image, longest, degrees)
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height)
  if (flat) flatten(data, canvas.width, canvas.height)
  const picture = { data, width: canvas.width, height: canvas.height, colorSpace: 'srgb' } as const
  // Its types ask for the ImageData of browsers, though it reads what has the same fields.
  const results = await readBarcodes(picture as unknown as Parameters<typeof readBarcodes>[0], {
    formats: ['Code39', 'Code128', 'DataMatrix', 'QRCode', 'PDF417'],
    tryHarder: true,
    maxNumberOfSymbols: mostCodes,
  })
  return results.flatMap((result) => describe(result, turnBack(canvas, image, longest, degrees)))
}

function describe(result: ReadResult, place: (x: number, y: number) => [number, number]): Barcode[] {
  const symbology = names[result.format]
  // Labels part their fields by control characters (ISO/IEC 15434).
  const text = result.text.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
  if (!result.isValid || symbology === undefined || text === '') return []
  if (symbology === 'code-39' && text.length < leastOfCode39) return []
  const { topLeft, topRight, bottomLeft, bottomRight } = result.position
  const corners = [topLeft, topRight, bottomLeft, bottomRight].map(({ x, y }) => place(x, y))
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)]
  const box: Box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
  return [{ symbology, text: text.slice(0, 2000), page: 1, box }]
}

/** From a point of the canvas to the pixel of the picture that was painted there by `paintPhoto`. */
function turnBack(canvas: Canvas, image: Raster, longest: number, degrees: number) {
  const scale = Math.min(1, longest / Math.max(image.width, image.height))
  const angle = (degrees * Math.PI) / 180
  const [sine, cosine] = [Math.sin(angle), Math.cos(angle)]
  return (x: number, y: number): [number, number] => {
    const [fromX, fromY] = [x - canvas.width / 2, y - canvas.height / 2]
    const [alongX, alongY] = [fromX * cosine + fromY * sine, fromY * cosine - fromX * sine]
    const hold = (value: number, most: number) => Math.round(Math.min(most, Math.max(0, value)) * 10) / 10
    return [hold(alongX / scale + image.width / 2, image.width), hold(alongY / scale + image.height / 2, image.height)]
  }
}
