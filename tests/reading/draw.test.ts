/** Drawings held against what was put on the page, read back pixel by pixel. */
import { createCanvas, loadImage } from '@napi-rs/canvas'
import PDFDocument from 'pdfkit'
import { describe, expect, test } from 'vitest'
import type { Drawing, DrawingWish } from '../../src/facts/drawing.ts'
import type { Box } from '../../src/facts/reading.ts'
import { drawFile } from '../../src/reading/draw.ts'
import { readPdf } from '../../src/reading/pdf.ts'

async function makePdf(draw: (document: typeof PDFDocument.prototype) => void): Promise<Uint8Array> {
  const document = new PDFDocument({ size: [600, 800], margin: 0 })
  const chunks: Buffer[] = []
  document.on('data', (chunk: Buffer) => chunks.push(chunk))
  const ended = new Promise((resolve) => document.on('end', resolve))
  draw(document)
  document.end()
  await ended
  return Uint8Array.from(Buffer.concat(chunks))
}

const pdf = { path: 'a.pdf', media: 'application/pdf' }

async function drawOne(bytes: Uint8Array, wish: DrawingWish): Promise<Drawing> {
  const [drawn] = await drawFile(bytes, pdf, [wish])
  if (drawn === undefined || 'fault' in drawn) throw new Error(drawn?.fault ?? 'nothing')
  return drawn
}

/** Red, green and blue at a point of the page. */
async function colorAt({ jpeg, widthPixels, heightPixels, region }: Drawing, x: number, y: number): Promise<number[]> {
  const canvas = createCanvas(widthPixels, heightPixels)
  const context = canvas.getContext('2d')
  context.drawImage(await loadImage(jpeg), 0, 0)
  const scale = widthPixels / (region[2] - region[0])
  const [at, down] = [Math.round((x - region[0]) * scale), Math.round((y - region[1]) * scale)]
  return [...context.getImageData(at, down, 1, 1).data.subarray(0, 3)]
}

const isRed = ([red = 0, green = 255, blue = 255]: number[]) => red > 200 && green < 70 && blue < 70
const isWhite = (color: number[]) => color.every((part) => part > 240)

describe('a page', () => {
  const square: Box = [300, 500, 340, 520]
  const bytes = makePdf((document) => {
    document.rect(300, 500, 40, 20).fill('#ff0000')
    document.fill('#000000').text('upright words to read', 50, 50)
  })

  test('is drawn where its marks are, in its own units', async () => {
    const drawing = await drawOne(await bytes, { page: 1, marks: [square] })
    expect(drawing.region[0]).toBe(0)
    expect(drawing.region[2]).toBe(600)
    expect(drawing.region[1]).toBeLessThan(500)
    expect(drawing.region[3]).toBeGreaterThan(520)
    expect(drawing.region[3] - drawing.region[1]).toBeLessThan(200)
    expect(isRed(await colorAt(drawing, 320, 510))).toBe(true)
    expect(isRed(await colorAt(drawing, 303, 503))).toBe(true)
    expect(isWhite(await colorAt(drawing, 290, 510))).toBe(true)
    expect(isWhite(await colorAt(drawing, 320, 530))).toBe(true)
  })

  test('is drawn whole where nothing is marked, and where the marks are far apart', async () => {
    for (const marks of [[], [[10, 10, 20, 20] as const, [10, 780, 20, 790] as const]]) {
      const drawing = await drawOne(await bytes, { page: 1, marks })
      expect(drawing.region).toEqual([0, 0, 600, 800])
      expect(isRed(await colorAt(drawing, 320, 510))).toBe(true)
    }
  })

  test('that reads sideways is turned as its words are', async () => {
    const turned = await makePdf((document) => {
      document.rotate(90, { origin: [300, 300] }).text('these words run down the page', 100, 300)
      document.rect(100, 320, 60, 20).fill('#ff0000')
    })
    const { pages } = await readPdf(turned, pdf)
    expect(pages[0]).toMatchObject({ width: 800, height: 600 })
    const box = pages[0]?.words[0]?.box as Box
    const drawing = await drawOne(turned, { page: 1, marks: [box] })
    // The square stands 20 points beneath the line's top, in the way that the words read.
    expect(isRed(await colorAt(drawing, box[0] + 20, box[1] + 30))).toBe(true)
  })

  test('that is not there, or a file that is damaged, has a fault and spares the others', async () => {
    const drawn = await drawFile(await bytes, pdf, [
      { page: 7, marks: [] },
      { page: 1, marks: [] },
    ])
    expect(drawn[0]).toHaveProperty('fault')
    expect(drawn[1]).toHaveProperty('jpeg')
    expect(await drawFile(Uint8Array.of(1, 2, 3), pdf, [{ page: 1, marks: [] }])).toEqual([
      { fault: expect.any(String) },
    ])
  })
})

describe('a photo', () => {
  const photo = (width: number, height: number) => {
    const canvas = createCanvas(width, height)
    const context = canvas.getContext('2d')
    context.fillStyle = '#ff0000'
    context.fillRect(0, 0, width, height)
    return canvas
  }

  test.each(['image/jpeg', 'image/png'] as const)('as %s is scaled down', async (media) => {
    const bytes = Uint8Array.from(photo(2200, 1100).toBuffer(media as 'image/png'))
    const [drawn] = await drawFile(bytes, { path: 'a', media }, [{ page: 1, marks: [] }])
    expect(drawn).toMatchObject({ widthPixels: 1100, heightPixels: 550, region: [0, 0, 2200, 1100] })
    expect(isRed(await colorAt(drawn as Drawing, 1000, 500))).toBe(true)
  })

  test('that is small stays as small as it is', async () => {
    const bytes = Uint8Array.from(photo(30, 20).toBuffer('image/png'))
    expect(await drawFile(bytes, { path: 'a', media: 'image/png' }, [{ page: 1, marks: [] }])).toMatchObject([
      { widthPixels: 30, heightPixels: 20 },
    ])
  })

  test('of a size that only its head claims is not unpacked', async () => {
    const bytes = Uint8Array.from(photo(30, 20).toBuffer('image/png'))
    // Width and height of IHDR: PNG (W3C), 11.2.1.
    new DataView(bytes.buffer).setUint32(16, 60_000)
    new DataView(bytes.buffer).setUint32(20, 60_000)
    expect(await drawFile(bytes, { path: 'a', media: 'image/png' }, [{ page: 1, marks: [] }])).toEqual([
      { fault: 'it is damaged or too large' },
    ])
  })

  test('in a format that is not drawn has a fault', async () => {
    const drawn = await drawFile(Uint8Array.of(66, 77, 0, 0), { path: 'a', media: 'image/bmp' }, [
      { page: 1, marks: [] },
    ])
    expect(drawn).toEqual([{ fault: 'its format is not drawn' }])
  })
})
